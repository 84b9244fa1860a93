"""Dead space, debridement and cover at the desk: two cards under Trips."""

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtWidgets import QScrollArea, QWidget

from fixplan.case.records import Case
from fixplan.desk.feature import Feature, Room
from fixplan.desk.panels.dead_space import DeadSpaceCard
from fixplan.desk.panels.debridement import DebridementCard
from fixplan.trips.plastic_lines import (
    with_extension,
    with_fasciotomy_lines,
    with_perforators,
)


class DeskFeature(Feature):
    """The cards and their commands."""

    def __init__(self, room: Room) -> None:
        super().__init__(room)
        self.space = DeadSpaceCard(room.bench, room.attempt)
        self.debridement = DebridementCard(room.bench, room.attempt)

    def cards(self) -> Sequence[QWidget]:
        """The card about debridement and cover, and that about dead space."""
        return (self.debridement, self.space)

    def begin(self) -> None:
        """Another case."""
        self.space.refresh()
        self.debridement.refresh()

    def go_to_dead_space(self) -> None:
        """Unfold the card and give it the keys."""
        self.space.unfold()
        _scroll_to(self.space)
        self.space.take_focus()

    def go_to_debridement(self) -> None:
        """Unfold the card and give it the keys."""
        self.debridement.unfold()
        _scroll_to(self.debridement)
        self.debridement.take_focus()

    def draw_fasciotomy(self) -> None:
        """Draw the usual fasciotomy lines of what is broken or hurt."""
        self._draw("Draw fasciotomy lines", with_fasciotomy_lines)

    def draw_extension(self) -> None:
        """Draw the planned extension of the selected wound, else of the first."""
        case, subject = self.room.bench.document.case, self.room.bench.selection.subject
        wounds = [one.id for one in case.wounds if one.kind in ("opening", "skin loss")]
        wound = subject if subject in wounds else next(iter(wounds), "")
        self._draw("Draw a wound extension", partial(with_extension, wound_id=str(wound)))

    def mark_perforators(self) -> None:
        """Mark where the perforators are looked for."""
        self._draw("Mark perforators", with_perforators)

    def _draw(self, text: str, change: Callable[[Case], Case]) -> None:
        """Commit what a change draws; a refusal is told by the window."""
        document = self.room.bench.document
        document.commit(text, change(document.case))


def _scroll_to(card: QWidget) -> None:
    """Bring a card into sight within whatever scrolls it."""
    holder = card.parentWidget()
    while holder is not None and not isinstance(holder, QScrollArea):
        holder = holder.parentWidget()
    if isinstance(holder, QScrollArea):
        holder.ensureWidgetVisible(card)
