"""Kit at the desk: the card "Kit to open"."""

from collections.abc import Sequence

from PySide6.QtWidgets import QDialog, QMainWindow, QScrollArea, QWidget

from fixplan.desk.feature import Feature, Room
from fixplan.desk.kit_watch import KitWatch
from fixplan.desk.panels.kit import KitCard
from fixplan.desk.status import ShortenedLabel


class DeskFeature(Feature):
    """The card and its commands."""

    def __init__(self, room: Room) -> None:
        super().__init__(room)
        self.watch = KitWatch(room.bench, self)
        self.card = KitCard(room.bench, self.watch, room.attempt)
        self.words = ShortenedLabel()
        self.words.setAccessibleName("Kit to open")
        if isinstance(room.window, QMainWindow):
            room.window.statusBar().addPermanentWidget(self.words)
        self.watch.changed.connect(self._show_words)

    def cards(self) -> Sequence[QWidget]:
        """The card "Kit to open"."""
        return (self.card,)

    def begin(self) -> None:
        """Another case: ask the trays anew."""
        self.watch.ask()

    def _show_words(self) -> None:
        """The headline in the status bar, for who has scrolled the card away."""
        answer = self.watch.answer
        self.words.show_words("kit not known" if answer is None else answer.headline)

    def go_to_kit(self) -> None:
        """Unfold the card, bring it into sight and give it the keys."""
        self.card.unfold()
        scroll_to(self.card)
        self.card.take_focus()

    def edit_trays(self) -> None:
        """Edit the hospital's own trays, and ask anew what to open."""
        from fixplan.desk.tray_editor import TrayEditor

        if TrayEditor(self.room.window).exec() == QDialog.DialogCode.Accepted:
            self.watch.ask()


def scroll_to(card: QWidget) -> None:
    """Bring a card into sight within whatever scrolls it."""
    holder = card.parentWidget()
    while holder is not None and not isinstance(holder, QScrollArea):
        holder = holder.parentWidget()
    if isinstance(holder, QScrollArea):
        holder.ensureWidgetVisible(card)
