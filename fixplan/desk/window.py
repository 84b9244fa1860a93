"""The desk's window: menus, actions, wiring, and the one place where errors are told."""

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TypeVar

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QCloseEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QMainWindow, QSplitter, QStackedWidget, QVBoxLayout, QWidget

from fixplan.case.recovery import recovery_folder
from fixplan.desk.actions import COMMANDS
from fixplan.desk.bench import Bench
from fixplan.desk.canvas import SheetView
from fixplan.desk.case_files import CaseFiles
from fixplan.desk.caution_strip import CautionStrip
from fixplan.desk.column import Column, is_in_column
from fixplan.desk.commands import EditCommands, FileCommands, ViewCommands
from fixplan.desk.copy_commands import CopyCommands
from fixplan.desk.document import CaseDocument
from fixplan.desk.drawn import Place
from fixplan.desk.feature import Feature, Room
from fixplan.desk.features import Features, feature_commands
from fixplan.desk.guard import guarded, guarded_with
from fixplan.desk.hold_commands import HoldCommands
from fixplan.desk.menu_tree import MenuTree
from fixplan.desk.menus import (
    thing_menu,
)
from fixplan.desk.message_strip import MessageStrip
from fixplan.desk.panels.start import StartPage
from fixplan.desk.recovery import Recovery
from fixplan.desk.section_commands import SectionCommands
from fixplan.desk.selection import Selection
from fixplan.desk.settings import Settings
from fixplan.desk.status import StatusWords
from fixplan.desk.subjects import thing_of
from fixplan.desk.tab_order import step_focus
from fixplan.desk.theme import ColourChoice, wear
from fixplan.desk.toolbar import ToolStrip
from fixplan.desk.tools.choices import TOOL_KINDS
from fixplan.desk.tools.select import SelectTool
from fixplan.desk.window_commands import WindowCommands
from fixplan.desk.window_lists import listings
from fixplan.desk.window_wiring import wire
from fixplan.desk.zone_commands import ZoneCommands
from fixplan.errors import FixplanError
from fixplan.sheet.paper import Paper

T = TypeVar("T")
SHEET_ASPECT = 1.42


class DeskWindow(QMainWindow):
    """One case on one desk."""

    def __init__(self, settings: Settings, new_window: Callable[[], "DeskWindow"]) -> None:
        super().__init__()
        self.settings = settings
        self._new_window = new_window
        self.document = CaseDocument(Recovery(recovery_folder(), self.attempt), self)
        self.selection = Selection(self)
        self.bench = Bench(self.document, self.selection, self)
        self.bench.options.is_snapping = settings.is_snapping
        self.bench.set_paper(settings.paper)
        self.view = SheetView(self.bench, self._attempt_on_sheet)
        self.files = CaseFiles(self.bench, settings, self)
        self.edits = EditCommands(self.bench, self.view)
        self.zones = ZoneCommands(self.bench)
        self._holders = (
            self.edits,
            CopyCommands(self.bench),
            SectionCommands(self.bench),
            self.zones,
            ViewCommands(self.bench, self.view),
        )
        self.panel_commands = WindowCommands(self)
        self._filing = FileCommands(self.files, self.view)
        self.column = Column(self.bench, self.attempt)
        self.holding = HoldCommands(self.bench, self.column, self.view.scene())
        self.commands = (*COMMANDS, *feature_commands())
        self.features = Features(self._room(), self.column)
        self.strip = MessageStrip(lambda: self.run(self.edits.undo))
        self.cautions = CautionStrip()
        snaps = ("snap",) if settings.is_snapping else ()
        self.menus = MenuTree(self, self.commands, listings(self), self._run_command, snaps)
        self.actions_by_name, self.listed_menus = self.menus.actions, self.menus.listed
        self._build()
        wire(self)
        self.show_state()

    # Errors

    def attempt(self, work: Callable[[], object]) -> bool:
        """Run work; an error of the domain is told in its own sentence. Whether it went well."""
        try:
            work()
        except FixplanError as problem:
            self.say(str(problem))
            return False
        return True

    def say(self, sentence: str) -> None:
        """Show a sentence over the sheet's foot until it is dismissed or the next change."""
        self.strip.say(sentence)

    def said(self) -> str:
        """The sentence that is shown; empty when there is none."""
        return self.strip.said()

    def _attempt_on_sheet(self, work: Callable[[], object]) -> bool:
        """The same for a gesture: told where it was made, and in the status bar."""
        try:
            work()
        except FixplanError as problem:
            self.view.show_refusal(str(problem))
            self.statusBar().showMessage(str(problem), 8000)
            return False
        return True

    # Commands that need more than one part of the window

    def pick_tool(self, name: str) -> None:
        """Take a tool in hand; the keys go to the sheet."""
        tool = TOOL_KINDS[name](self.bench)
        self.view.take(tool)
        self._strip_of_tools.show_tool(name)
        self.column.show_tool(tool)
        self.status.show_hint(tool.hint)
        self.view.setFocus()

    def new_case(self) -> None:
        """Begin a new case."""
        if self._filing.new_case():
            self._show_opened()
            self._show_whole(True)

    def open_case(self) -> None:
        """Ask for a case and open it."""
        if self._filing.open_case(self.settings.folder):
            self._show_opened()

    def open_path(self, path: Path) -> None:
        """Open this case."""
        if self._filing.open_path(path):
            self._show_opened()

    def new_window(self) -> "DeskWindow":
        """A further, empty window."""
        window = self._new_window()
        window.show()
        return window

    def _feature_elsewhere(self, module: str) -> Feature:
        return self.new_window().features.of(module)

    def lay_frame(self, pattern_id: str) -> None:
        """Lay a starting frame, and say what gave way and where the bone did not allow it."""
        replaced, statements = self.edits.lay_frame(pattern_id)
        self.pick_tool("select")
        told = " ".join(words for words in (replaced, statements) if words)
        if told:
            self.strip.say(told, offers_undo=bool(replaced))

    def edit_limb(self) -> None:
        """Show the limb's card."""
        self.column.show_limb()

    def whole_limb(self) -> None:
        """Show the whole limb, or the part that is printed."""
        self._show_whole(self.actions_by_name["whole_limb"].isChecked())

    def _show_whole(self, is_on: bool) -> None:
        self.actions_by_name["whole_limb"].setChecked(is_on)
        self.view.show_whole_limb(is_on)
        self.status.refresh()

    def set_paper(self, paper: Paper) -> None:
        """Show another paper."""
        self.bench.set_paper(paper)
        self.settings.keep_paper(paper)
        self.view.fit()

    def set_colours(self, choice: ColourChoice) -> None:
        """Show the desk light or dark from now on; the sheet stays paper."""
        self.settings.keep_colours(choice)
        wear(choice)

    def ask_about_copies(self, *, with_left: bool = False) -> bool:
        """One question for each copy of a lost window; whether there was any."""
        from fixplan.desk.recovering import ask_about_copies

        return ask_about_copies(self, self.settings, self._new_window, with_left=with_left)

    def show_recovered(self) -> None:
        """Show a case that has just been recovered."""
        self._show_opened()

    # Building

    def _build(self) -> None:
        self.setMinimumSize(640, 400)
        self._strip_of_tools = ToolStrip(lambda name: self.run(partial(self.pick_tool, name)))
        frames = self.listed_menus["starting_frame"]
        self._strip_of_tools.finish(self.actions_by_name, frames, self.menus.sheet_menu())
        self.addToolBar(self._strip_of_tools)
        self.start = StartPage()
        self._pages = QStackedWidget()
        self._pages.addWidget(self.start)
        self._pages.addWidget(self._desk())
        middle = QWidget()
        rows = QVBoxLayout(middle)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(0)
        rows.addWidget(self.cautions)
        rows.addWidget(self._pages, 1)
        self.strip.float_over(self._pages)
        self.strip.keep_clear_of(self.view.seen)
        self.setCentralWidget(middle)
        self.status = StatusWords(self.bench, self.statusBar())
        self.view.take(SelectTool(self.bench))
        self.start.show_recent(self.settings.recent())

    def _desk(self) -> QSplitter:
        self._split = split = QSplitter(Qt.Orientation.Horizontal)
        split.setHandleWidth(5)
        split.addWidget(self.view)
        split.addWidget(self.column)
        split.setStretchFactor(0, 1)
        split.setCollapsible(0, False)
        return split

    def _work_of(self, name: str) -> Callable[[], object]:
        """The method that runs a command."""
        if name.startswith("export_"):
            return partial(self.panel_commands.export, name.removeprefix("export_"))
        if name.startswith("show_"):
            return partial(self.panel_commands.read, name.removeprefix("show_"))
        for holder in (self, self.panel_commands, *self._holders, self.holding, self.files):
            work = getattr(holder, name, None)
            if callable(work):
                found: Callable[[], object] = work
                return found
        of_feature = self.features.work_of(name)
        if of_feature is None:
            raise AttributeError(f"no method runs the command {name}")
        return of_feature

    def _room(self) -> Room:
        """What a feature may work with."""
        return Room(
            window=self,
            bench=self.bench,
            view=self.view,
            files=self.files,
            settings=self.settings,
            attempt=self.attempt,
            say=self.say,
            pick_tool=self.pick_tool,
            show_opened=self._show_opened,
            open_elsewhere=lambda path: self.new_window().open_path(path),
            elsewhere=self._feature_elsewhere,
        )

    def _run_command(self, name: str) -> None:
        if is_in_column(name) and self.column.isHidden():
            self.actions_by_name["side_panel"].trigger()
        self.run(self._work_of(name))

    def run(self, work: Callable[[], object]) -> None:
        """Run work, its errors told."""
        self.attempt(work)

    def runs(self, work: Callable[[T], object]) -> Callable[[T], None]:
        """The work for one entry of a list, its errors told."""
        return lambda chosen: self.run(partial(work, chosen))

    def show_subject(self, subject: str) -> None:
        """Select what a finding is about, and bring it into the middle."""
        found = self.bench.drawn.subject_of(subject)
        if found is not None:
            self.selection.select(found)
            self.view.centre_on_subject(found)

    def forget_what_is_gone(self) -> None:
        """Select nothing when the selected thing is there no longer."""
        if thing_of(self.document.case, self.selection.subject) is None:
            self.selection.select(None)

    def open_context_menu(self, place: Place, at: QPoint) -> None:
        """What can be done with the thing under the mouse."""
        if place.subject is None:
            return
        self.selection.select(place.subject)
        thing_menu(self.actions_by_name, place.subject, self).exec(at)

    def _show_opened(self) -> None:
        """Bring the desk up for the case that was just opened."""
        self.bench.forget_section()
        self.selection.select(None)
        self.holding.begin()
        self.features.begin()
        self.column.findings.begin()
        self.strip.hide()
        self._pages.setCurrentIndex(1)
        self._share_width()
        self._show_whole(False)
        self.pick_tool("select")
        self.view.fit()
        self.show_state()

    def _share_width(self) -> None:
        """The column takes what a fitted sheet leaves, within what reads well."""
        least = self.column.minimumWidth()
        sheet = int(self._split.height() * SHEET_ASPECT)
        width = min(max(self.width() - sheet, least), int(1.4 * least))
        self._split.setSizes([self.width() - width, width])

    def show_state(self) -> None:
        """Title, and which commands can be used."""
        is_open = self.document.is_open
        self.setWindowTitle(f"{self.files.title} - fixplan" if is_open else "fixplan")
        self.setWindowModified(self.document.is_changed)
        self.menus.show_state(
            is_open=is_open, undo_text=self.document.undo_text, redo_text=self.document.redo_text
        )
        self._strip_of_tools.enable_tools(is_open)
        self.status.refresh()

    @guarded
    def showEvent(self, event: QShowEvent) -> None:
        """Share the width once the window has its size."""
        super().showEvent(event)
        self.features.load_soon()
        self._share_width()
        self.view.fit()

    @guarded
    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another size may need a narrower column."""
        super().resizeEvent(event)
        self.column.hold_width()

    @guarded_with(False)
    def focusNextPrevChild(self, next: bool) -> bool:  # noqa: A002 (Qt's name)
        """Tab: sheet, tool in hand, selected thing, findings, the other cards, the bar."""
        if not self.document.is_open:
            return super().focusNextPrevChild(next)
        strips = (self.cautions, self.strip, self._strip_of_tools)
        groups = [self.view, *self.column.tab_groups(), *strips]
        return step_focus(groups, is_forward=next)

    @guarded
    def closeEvent(self, event: QCloseEvent) -> None:
        """Ask about unsaved changes; then nothing of this window is left behind."""
        event.ignore()
        may_leave = False

        def ask() -> None:
            nonlocal may_leave
            may_leave = self.files.may_leave()

        if not self.attempt(ask) or not may_leave:
            return
        self.settings.keep_geometry(self.saveGeometry())
        self.document.close()
        event.accept()
