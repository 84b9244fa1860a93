"""Commands about findings, panels and paper that need more than one part of the window."""

from typing import TYPE_CHECKING

from fixplan.checks.finding import Finding
from fixplan.desk import dialogs

if TYPE_CHECKING:
    from fixplan.desk.window import DeskWindow


class WindowCommands:
    """One method each, by the command's name."""

    def __init__(self, window: "DeskWindow") -> None:
        self._window = window

    def accept_finding(self) -> None:
        """Ask for the reason and accept the current finding."""
        finding = self._window.column.findings.current
        if finding is not None and finding.is_open:
            self.ask_to_accept(finding)
        else:
            self._window.say("Choose an open stop or caution in the findings first.")

    def withdraw_finding(self) -> None:
        """Take the acceptance of the current finding back."""
        finding = self._window.column.findings.current
        if finding is not None and finding.accepted is not None:
            self._window.edits.withdraw(finding)
        else:
            self._window.say("Choose an accepted finding in the findings first.")

    def check_list(self) -> None:
        """Give the keys to the findings."""
        self._window.column.findings.take_focus()

    def go_to_selected(self) -> None:
        """Give the keys to the selected thing's card."""
        self._window.column.take_focus()

    def snap(self) -> None:
        """Snap to whole millimetres, or not."""
        self._window.bench.options.is_snapping = self._window.actions_by_name["snap"].isChecked()
        self._window.settings.keep_snapping(self._window.bench.options.is_snapping)
        self._window.status.refresh()

    def side_panel(self) -> None:
        """Show the column at the right, or give the sheet the whole window."""
        self._window.column.setVisible(self._window.actions_by_name["side_panel"].isChecked())

    def export(self, ending: str) -> None:
        """Write the sheet, and say where it lies."""
        written = self._window.files.export(ending)
        if written:
            names = ", ".join(path.name for path in written)
            self._window.statusBar().showMessage(f"Written: {names} in {written[0].parent}", 15000)

    def print_sheet(self) -> None:
        """Print the sheet on the paper that is shown."""
        from fixplan.desk.printing import ask_printer, print_pages

        printer = ask_printer(self._window.bench.paper, self._window)
        if printer is not None:
            print_pages(self._window.files.pages(self._window.bench.paper), printer)

    def offer_recovery(self) -> None:
        """Ask about every recovery copy that no window holds, also those put off."""
        if not self._window.ask_about_copies(with_left=True):
            self._window.say("There is no recovery copy of a lost window.")

    def show_why(self, finding: Finding) -> None:
        """The rule behind a finding, its diagram and its sources."""
        from fixplan.desk.why_dialog import WhyDialog

        WhyDialog(self._window.document.case, finding, self._window).exec()

    def read(self, page: str) -> None:
        """A page of help."""
        from fixplan.desk.reading import show_page

        show_page(page, self._window)

    def ask_to_accept(self, finding: Finding) -> None:
        """Ask for the reason and accept a finding."""
        reason = dialogs.ReasonDialog.ask(finding, self._window)
        if reason is not None:
            self._window.edits.accept(finding, reason)
