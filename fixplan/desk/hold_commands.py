"""Commands about firmness, and the wiring of its card, its watch and what lies over the sheet."""

from PySide6.QtWidgets import QGraphicsScene

from fixplan.desk.bench import Bench
from fixplan.desk.bent_overlay import BentOverlay
from fixplan.desk.column import Column


class HoldCommands:
    """Each raises EditError when it cannot."""

    def __init__(self, bench: Bench, column: Column, scene: QGraphicsScene) -> None:
        self._column = column
        self.overlay = BentOverlay(bench, column.watch, scene)
        column.firmness.wanted_changed.connect(self.overlay.want)

    def keep_variant(self) -> None:
        """Keep the frame as it is for comparison."""
        self._column.watch.keep()
        self._column.show_firmness()

    def go_to_firmness(self) -> None:
        """Bring the card into view and give it the keys."""
        self._column.show_firmness()
        self._column.firmness.keep_button.setFocus()

    def begin(self) -> None:
        """Another case has been opened."""
        self._column.watch.begin()
