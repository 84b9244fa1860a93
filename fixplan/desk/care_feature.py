"""Dead space, debridement and cover at the desk: two cards under Trips."""

from collections.abc import Sequence

from PySide6.QtWidgets import QScrollArea, QWidget

from fixplan.desk.feature import Feature, Room
from fixplan.desk.panels.dead_space import DeadSpaceCard
from fixplan.desk.panels.debridement import DebridementCard


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


def _scroll_to(card: QWidget) -> None:
    """Bring a card into sight within whatever scrolls it."""
    holder = card.parentWidget()
    while holder is not None and not isinstance(holder, QScrollArea):
        holder = holder.parentWidget()
    if isinstance(holder, QScrollArea):
        holder.ensureWidgetVisible(card)
