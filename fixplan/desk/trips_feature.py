"""The days after at the desk: the card "Trips", and opening the plan a trip was done from."""

from collections.abc import Sequence

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QWidget

from fixplan.case.trip_edits import plan_of
from fixplan.desk import dialogs
from fixplan.desk.feature import Feature, Room
from fixplan.desk.panels.prompts import PromptsCard
from fixplan.desk.panels.trips import TripsCard, system_now
from fixplan.trips.zones import printed_in

MINUTE_MS = 60_000


class DeskFeature(Feature):
    """The card and its commands; clocks are told anew each minute."""

    def __init__(self, room: Room) -> None:
        super().__init__(room)
        self.card = TripsCard(room.bench, room.attempt, system_now)
        self.prompts = PromptsCard(room.bench, room.attempt, system_now)
        self.card.plan_asked.connect(lambda trip: room.attempt(lambda: self.open_kept_plan(trip)))
        self._minute = QTimer(self)
        self._minute.setInterval(MINUTE_MS)
        self._minute.timeout.connect(self._tick)
        self._minute.start()

    def cards(self) -> Sequence[QWidget]:
        """The cards of the trips and of the prompts."""
        return self.card, self.prompts

    def begin(self) -> None:
        """Another case."""
        self.card.refresh()
        self.prompts.refresh()

    def go_to_trips(self) -> None:
        """Bring the card into sight and give it the keys."""
        from fixplan.desk.kit_feature import scroll_to

        scroll_to(self.card)
        scroll_to(self.card.headline)
        self.card.line.setFocus()

    def go_to_prompts(self) -> None:
        """Unfold the prompts, bring them into sight and give them the keys."""
        from fixplan.desk.kit_feature import scroll_to

        self.prompts.unfold()
        scroll_to(self.prompts.form)
        self.prompts.form.inputs["compartment.pain_out_of_proportion"].editor().setFocus()

    def write_ward_page(self) -> None:
        """Write the ward page as PDF. Raises FixplanError."""
        from fixplan.sheet.ward_page import ward_pages
        from fixplan.sheet.writing import write_sheet

        files = self.room.files
        path = self.room.bench.document.path
        stem = "plan" if path is None else path.stem
        suggested = self.room.settings.folder / f"{stem}-ward.pdf"
        out = dialogs.ask_save_path(
            self.room.window, "Ward page as PDF", suggested, ".pdf", "PDF (*.pdf)"
        )
        if out is None:
            return
        now = system_now()
        case = self.room.bench.document.case
        pages = ward_pages(case, now, printed_in(case, now))
        write_sheet(pages, out, title=f"{files.name}, ward")
        self.room.say(f"The ward page was written to {out}.")

    def add_trip(self) -> None:
        """Add a trip and show its fields. Raises EditError."""
        self.card.add_trip()
        self.go_to_trips()

    def open_kept_plan(self, trip: str) -> None:
        """Open the plan that a trip was done from, as a case in no file. Raises EditError."""
        kept = plan_of(self.room.bench.document.case, trip)
        if self.room.files.may_leave():
            self.room.files.start(kept.plan)
            self.room.show_opened()
            self.room.say(f"This is plan {kept.snapshot}, which {trip} was done from, as a copy.")

    def _tick(self) -> None:
        """A minute later: nothing while a field is being typed in."""
        holder = self.card.window().focusWidget() if self.card.isVisible() else None
        is_typing = holder is not None and self.card.isAncestorOf(holder)
        if not is_typing or holder is self.card.line:
            self.card.refresh()
