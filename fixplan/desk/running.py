"""The running program: its windows, what happens at the start, and what happens at a crash."""

# Qt's import hook reads the source of every module that is imported after it, which costs more
# than the modules themselves; so what knows no Qt comes first.
import fixplan.checks.run
import fixplan.sheet.pages  # noqa: F401

# isort: split
import sys
from functools import partial
from pathlib import Path

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from fixplan.case.recovery import recovery_folder
from fixplan.desk import dialogs
from fixplan.desk.crash import CrashGuard
from fixplan.desk.document import CaseDocument
from fixplan.desk.settings import Settings
from fixplan.desk.theme import dress
from fixplan.desk.tidying import begin_tidying
from fixplan.desk.window import DeskWindow

OFFSET_PX = 32


class Desk:
    """All windows of one process."""

    def __init__(self) -> None:
        running = QApplication.instance()
        self._application = running if isinstance(running, QApplication) else _application()
        self._settings = Settings()
        self._dress()
        self._application.styleHints().colorSchemeChanged.connect(self._dress)
        self._windows: list[DeskWindow] = []
        self.guard = CrashGuard(self._documents, self._tell, recovery_folder())

    def _dress(self) -> None:
        """Light or dark, as the user or the system has it."""
        dress(self._application, self._settings.colours)

    def new_window(self) -> DeskWindow:
        """A further window; not shown yet."""
        window = DeskWindow(self._settings, self.new_window)
        geometry = self._settings.geometry
        if geometry is None or not window.restoreGeometry(geometry):
            _fill_screen(window)
        if self._windows:
            last = self._windows[-1].pos()
            window.move(last.x() + OFFSET_PX, last.y() + OFFSET_PX)
        self._windows.append(window)
        return window

    def begin(self, window: DeskWindow) -> None:
        """After the first paint: cautions of the first start, then copies of lost windows."""
        begin_tidying()
        from fixplan.desk.reading import cautions

        told = cautions()
        window.attempt(window.ask_about_copies)
        if not self._settings.has_seen(told):
            window.cautions.show_cautions(told, partial(self._read, told))

    def _read(self, told: tuple[str, ...], again: bool) -> None:
        """The cautions have been read; they come again when that is asked for."""
        if not again:
            self._settings.keep_seen(told)

    def run(self) -> int:
        """Run until the last window is closed."""
        self.guard.install()
        return self._application.exec()

    def _documents(self) -> list[CaseDocument]:
        return [window.document for window in self._windows]

    def _tell(self, sentence: str) -> None:
        """Tell after the event in which the fault came: a box would run Qt inside it."""
        QTimer.singleShot(0, lambda: dialogs.tell(QApplication.activeWindow(), "fixplan", sentence))


def _application() -> QApplication:
    application = QApplication(sys.argv[:1])
    application.setApplicationName("fixplan")
    application.setApplicationDisplayName("")
    application.setDesktopFileName("fixplan")
    return application


def _fill_screen(window: DeskWindow) -> None:
    """The first window takes most of the screen, up to a size at which the sheet reads well."""
    room = QApplication.primaryScreen().availableGeometry()
    width, height = min(room.width(), 2560), min(room.height(), 1600)
    window.resize(width, height - 30)
    window.move(room.x(), room.y())


def open_desk(path: Path | None) -> int:
    """Open the desk, with a case or without; returns the number to end with."""
    desk = Desk()
    window = desk.new_window()
    if path is not None:
        window.attempt(partial(window.open_path, path))
    window.show()
    QTimer.singleShot(0, partial(desk.begin, window))
    return desk.run()
