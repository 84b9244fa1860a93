"""The days after at the desk: the card "Trips", and opening the plan a trip was done from."""

from collections.abc import Sequence

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QWidget

from fixplan.case.trip_edits import plan_of
from fixplan.desk.feature import Feature, Room
from fixplan.desk.panels.trips import TripsCard, system_now

MINUTE_MS = 60_000


class DeskFeature(Feature):
    """The card and its commands; clocks are told anew each minute."""

    def __init__(self, room: Room) -> None:
        super().__init__(room)
        self.card = TripsCard(room.bench, room.attempt, system_now)
        self.card.plan_asked.connect(lambda trip: room.attempt(lambda: self.open_kept_plan(trip)))
        self._minute = QTimer(self)
        self._minute.setInterval(MINUTE_MS)
        self._minute.timeout.connect(self._tick)
        self._minute.start()

    def cards(self) -> Sequence[QWidget]:
        """The card of the trips."""
        return (self.card,)

    def begin(self) -> None:
        """Another case."""
        self.card.refresh()

    def go_to_trips(self) -> None:
        """Bring the card into sight and give it the keys."""
        from fixplan.desk.kit_feature import scroll_to

        scroll_to(self.card.line)
        self.card.line.setFocus()

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
