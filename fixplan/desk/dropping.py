"""A case file dragged onto the window is opened in it."""

from pathlib import Path

from PySide6.QtCore import QEvent, QMimeData, QObject, Qt
from PySide6.QtGui import QDragMoveEvent, QDropEvent

from fixplan.desk.feature import Feature, Room
from fixplan.desk.guard import guarded_with

ENDING = ".json"


class DeskFeature(Feature):
    """Takes drops on the whole window, the sheet included."""

    def __init__(self, room: Room) -> None:
        super().__init__(room)
        room.view.setAcceptDrops(False)
        room.view.viewport().setAcceptDrops(False)
        room.window.setAcceptDrops(True)
        room.window.installEventFilter(self)

    @guarded_with(False)
    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take a single case file; leave everything else alone."""
        if isinstance(event, QDragMoveEvent):  # the first one, on entering, is a kind of it
            if dropped_case(event.mimeData()) is not None:
                take_copy(event)
                return True
        elif isinstance(event, QDropEvent):
            path = dropped_case(event.mimeData())
            if path is not None:
                take_copy(event)
                self.room.attempt(lambda: self._open(path))
                return True
        return super().eventFilter(watched, event)

    def _open(self, path: Path) -> None:
        if self.room.files.may_leave():
            self.room.files.open(path)
            self.room.show_opened()


def take_copy(event: QDropEvent) -> None:
    """Take what is dragged as a copy: after a move its owner would delete the file."""
    event.setDropAction(Qt.DropAction.CopyAction)
    event.accept()


def dropped_case(data: QMimeData) -> Path | None:
    """The one file that is dragged, if it may hold a case."""
    urls = data.urls()
    if len(urls) != 1 or not urls[0].isLocalFile():
        return None
    path = Path(urls[0].toLocalFile())
    return path if path.suffix.lower() == ENDING else None
