"""The desk's window: menus, actions, wiring, and the one place where errors are told."""

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TypeVar

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QCloseEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QMainWindow, QSplitter, QStackedWidget, QVBoxLayout, QWidget

from fixplan.case.recovery import recovery_folder
from fixplan.checks.finding import Finding
from fixplan.desk import dialogs
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
    ListedMenu,
    list_colours,
    list_frames,
    list_papers,
    list_recent,
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
from fixplan.desk.zone_commands import ZoneCommands
from fixplan.errors import FixplanError
from fixplan.sheet.paper import Paper

T = TypeVar("T")
SHEET_ASPECT = 1.42


class DeskWindow(QMainWindow):
    """One case on one desk."""

    def __init__(self, settings: Settings, new_window: Callable[[], "DeskWindow"]) -> None:
        super().__init__()
        self._settings = settings
        self._new_window = new_window
        self.document = CaseDocument(Recovery(recovery_folder(), self.attempt), self)
        self.selection = Selection(self)
        self.bench = Bench(self.document, self.selection, self)
        self.bench.options.is_snapping = settings.is_snapping
        self.bench.set_paper(settings.paper)
        self.view = SheetView(self.bench, self._attempt_on_sheet)
        self.files = CaseFiles(self.bench, settings, self)
        self.edits = EditCommands(self.bench, self.view)
        self._zones = ZoneCommands(self.bench)
        self._holders = (
            self.edits,
            CopyCommands(self.bench),
            SectionCommands(self.bench),
            self._zones,
            ViewCommands(self.view),
        )
        self._filing = FileCommands(self.files, self.view)
        self.column = Column(self.bench, self.attempt)
        self.holding = HoldCommands(self.bench, self.column, self.view.scene())
        self.commands = (*COMMANDS, *feature_commands())
        self.features = Features(self._room(), self.column)
        self._strip = MessageStrip()
        self.cautions = CautionStrip()
        snaps = ("snap",) if settings.is_snapping else ()
        self.menus = MenuTree(self, self.commands, self._listings(), self._run_command, snaps)
        self.actions_by_name, self.listed_menus = self.menus.actions, self.menus.listed
        self._build()
        self._wire()
        self._show_state()

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
        """Show a sentence above the sheet until it is dismissed or the next change."""
        self._strip.say(sentence)

    def said(self) -> str:
        """The sentence that is shown; empty when there is none."""
        return self._strip.said()

    def _attempt_on_sheet(self, work: Callable[[], object]) -> bool:
        """The same for a gesture: told at the cursor, and in the status bar."""
        try:
            work()
        except FixplanError as problem:
            self.view.show_refusal(str(problem))
            self.statusBar().showMessage(str(problem), 8000)
            if self.view.tool.tells_above and not self.view.is_pressed:
                self.say(str(problem))
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
        if self._filing.open_case(self._settings.folder):
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
        """Lay a starting frame, and say where the bone did not allow it."""
        statements = self.edits.lay_frame(pattern_id)
        self.pick_tool("select")
        if statements:
            self.say(" ".join(statements))

    def accept_finding(self) -> None:
        """Ask for the reason and accept the current finding."""
        finding = self.column.findings.current
        if finding is not None and finding.is_open:
            self._accept(finding)
        else:
            self.say("Choose an open stop or caution in the findings first.")

    def withdraw_finding(self) -> None:
        """Take the acceptance of the current finding back."""
        finding = self.column.findings.current
        if finding is not None and finding.accepted is not None:
            self.edits.withdraw(finding)
        else:
            self.say("Choose an accepted finding in the findings first.")

    def check_list(self) -> None:
        """Give the keys to the findings."""
        self.column.findings.take_focus()

    def go_to_selected(self) -> None:
        """Give the keys to the selected thing's card."""
        self.column.take_focus()

    def edit_limb(self) -> None:
        """Show the limb's card."""
        self.column.show_limb()

    def snap(self) -> None:
        """Snap to whole millimetres, or not."""
        self.bench.options.is_snapping = self.actions_by_name["snap"].isChecked()
        self._settings.keep_snapping(self.bench.options.is_snapping)
        self.status.refresh()

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
        self._settings.keep_paper(paper)
        self.view.fit()

    def set_colours(self, choice: ColourChoice) -> None:
        """Show the desk light or dark from now on; the sheet stays paper."""
        self._settings.keep_colours(choice)
        wear(choice)

    def side_panel(self) -> None:
        """Show the column at the right, or give the sheet the whole window."""
        self.column.setVisible(self.actions_by_name["side_panel"].isChecked())

    def export(self, ending: str) -> None:
        """Write the sheet, and say where it lies."""
        written = self.files.export(ending)
        if written:
            names = ", ".join(path.name for path in written)
            self.statusBar().showMessage(f"Written: {names} in {written[0].parent}", 15000)

    def print_sheet(self) -> None:
        """Print the sheet on the paper that is shown."""
        from fixplan.desk.printing import ask_printer, print_pages

        printer = ask_printer(self.bench.paper, self)
        if printer is not None:
            print_pages(self.files.pages(self.bench.paper), printer)

    def offer_recovery(self) -> None:
        """Ask about every recovery copy that no window holds, also those put off."""
        if not self.ask_about_copies(with_left=True):
            self.say("There is no recovery copy of a lost window.")

    def ask_about_copies(self, *, with_left: bool = False) -> bool:
        """One question for each copy of a lost window; whether there was any."""
        from fixplan.desk.recovering import ask_about_copies

        return ask_about_copies(self, self._settings, self._new_window, with_left=with_left)

    def show_recovered(self) -> None:
        """Show a case that has just been recovered."""
        self._show_opened()

    def show_why(self, finding: Finding) -> None:
        """The rule behind a finding, its diagram and its sources."""
        from fixplan.desk.why_dialog import WhyDialog

        WhyDialog(self.document.case, finding, self).exec()

    def read(self, page: str) -> None:
        """A page of help."""
        from fixplan.desk.reading import show_page

        show_page(page, self)

    # Building

    def _build(self) -> None:
        self.setMinimumSize(640, 400)
        self._strip_of_tools = ToolStrip(lambda name: self._run(partial(self.pick_tool, name)))
        frames = self.listed_menus["starting_frame"]
        self._strip_of_tools.finish(self.actions_by_name, frames, self.menus.sheet_menu())
        self.addToolBar(self._strip_of_tools)
        self._start = StartPage()
        self._pages = QStackedWidget()
        self._pages.addWidget(self._start)
        self._pages.addWidget(self._desk())
        middle = QWidget()
        rows = QVBoxLayout(middle)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(0)
        rows.addWidget(self.cautions)
        rows.addWidget(self._strip)
        rows.addWidget(self._pages, 1)
        self.setCentralWidget(middle)
        self.status = StatusWords(self.bench, self.statusBar())
        self.view.take(SelectTool(self.bench))
        self._start.show_recent(self._settings.recent())

    def _desk(self) -> QSplitter:
        self._split = split = QSplitter(Qt.Orientation.Horizontal)
        split.setHandleWidth(5)
        split.addWidget(self.view)
        split.addWidget(self.column)
        split.setStretchFactor(0, 1)
        split.setStretchFactor(1, 0)
        split.setCollapsible(0, False)
        return split

    def _listings(self) -> dict[str, Callable[[ListedMenu], None]]:
        """What lists the entries of each menu that is listed when it opens."""
        return {
            "recent": partial(
                list_recent, paths=self._settings.recent, work=self._runs(self.open_path)
            ),
            "starting_frame": partial(
                list_frames,
                limb=lambda: self.bench.document.case.limb,
                work=self._runs(self.lay_frame),
            ),
            "colours": partial(
                list_colours,
                shown=lambda: self._settings.colours,
                work=self._runs(self.set_colours),
            ),
            "paper": partial(
                list_papers, shown=lambda: self.bench.paper, work=self._runs(self.set_paper)
            ),
        }

    def _work_of(self, name: str) -> Callable[[], object]:
        """The method that runs a command."""
        if name.startswith("export_"):
            return partial(self.export, name.removeprefix("export_"))
        if name.startswith("show_"):
            return partial(self.read, name.removeprefix("show_"))
        for holder in (self, *self._holders, self.holding, self.files):
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
            settings=self._settings,
            attempt=self.attempt,
            say=self.say,
            pick_tool=self.pick_tool,
            show_opened=self._show_opened,
            open_elsewhere=lambda path: self.new_window().open_path(path),
            elsewhere=self._feature_elsewhere,
        )

    # Wiring

    def _wire(self) -> None:
        self.document.state_changed.connect(self._show_state)
        self.document.case_changed.connect(self._forget_what_is_gone)
        self.document.case_changed.connect(self._strip.hide)
        self.selection.changed.connect(self._show_state)
        self.view.hovered.connect(self.status.show_place)
        self.view.context_asked.connect(self._open_context_menu)
        findings = self.column.findings
        findings.subject_asked.connect(self._show_subject)
        findings.accept_asked.connect(lambda finding: self._run(partial(self._accept, finding)))
        findings.withdraw_asked.connect(
            lambda finding: self._run(partial(self.edits.withdraw, finding))
        )
        findings.why_asked.connect(lambda finding: self._run(partial(self.show_why, finding)))
        self.column.thing.delete_asked.connect(lambda: self._run(self.edits.delete))
        self.column.thing.line_up_asked.connect(lambda: self._run(self.edits.line_up))
        tool = self.column.tool
        tool.preset_asked.connect(lambda name: self._run(partial(self.edits.add_preset, name)))
        tool.numbers_asked.connect(self._draw_by_numbers)
        tool.bar_asked.connect(
            lambda first, second: self._run(partial(self._zones.lay_bar, first, second))
        )
        self.view.card_asked.connect(self.column.take_focus)
        self.column.sheet_asked.connect(self.view.setFocus)
        self._start.new_asked.connect(lambda: self._run(self.new_case))
        self._start.open_asked.connect(lambda: self._run(self.open_case))
        self._start.path_asked.connect(lambda path: self._run(partial(self.open_path, path)))

    def _draw_by_numbers(self, tool: str, where: str, numbers: tuple[float, ...]) -> None:
        """What the card of a drawing tool asks for."""
        works: dict[str, Callable[..., None]] = {
            "pin": self.edits.add_pin,
            "fracture": self.edits.add_fracture,
        }
        work = works.get(tool) or partial(self._zones.add_zone, tool)
        self._run(partial(work, where, *numbers))

    def _run_command(self, name: str) -> None:
        if is_in_column(name) and self.column.isHidden():
            self.actions_by_name["side_panel"].trigger()
        self._run(self._work_of(name))

    def _run(self, work: Callable[[], object]) -> None:
        self.attempt(work)

    def _runs(self, work: Callable[[T], object]) -> Callable[[T], None]:
        """The work for one entry of a list, its errors told."""
        return lambda chosen: self._run(partial(work, chosen))

    def _accept(self, finding: Finding) -> None:
        reason = dialogs.ReasonDialog.ask(finding, self)
        if reason is not None:
            self.edits.accept(finding, reason)

    def _show_subject(self, subject: str) -> None:
        """Select what a finding is about, and bring it into the middle."""
        found = self.bench.drawn.subject_of(subject)
        if found is not None:
            self.selection.select(found)
            self.view.centre_on_subject(found)

    def _forget_what_is_gone(self) -> None:
        if thing_of(self.document.case, self.selection.subject) is None:
            self.selection.select(None)

    def _open_context_menu(self, place: Place, at: QPoint) -> None:
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
        self._strip.hide()
        self._pages.setCurrentIndex(1)
        self._share_width()
        self._show_whole(False)
        self.pick_tool("select")
        self.view.fit()
        self._show_state()

    def _share_width(self) -> None:
        """The column takes what a fitted sheet leaves, within what reads well."""
        least = self.column.minimumWidth()
        sheet = int(self._split.height() * SHEET_ASPECT)
        width = min(max(self.width() - sheet, least), int(1.4 * least))
        self._split.setSizes([self.width() - width, width])

    def _show_state(self) -> None:
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
        strips = (self.cautions, self._strip, self._strip_of_tools)
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
        self._settings.keep_geometry(self.saveGeometry())
        self.document.close()
        event.accept()
