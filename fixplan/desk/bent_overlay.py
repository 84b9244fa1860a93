"""Puts the bent frame and its stress over the sheet, as long as they are wanted and up to date."""

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QGraphicsScene

from fixplan.desk.bench import Bench
from fixplan.desk.bent import OWNER, Wanted, bent_shapes
from fixplan.desk.hold_watch import HoldWatch
from fixplan.desk.items import ShapesItem
from fixplan.sheet.shapes import AnyShape

ON_TOP = 1e6


class BentOverlay(QObject):
    """One item over everything else on the first page."""

    def __init__(self, bench: Bench, watch: HoldWatch, scene: QGraphicsScene) -> None:
        super().__init__(bench)
        self._bench, self._watch = bench, watch
        self._wanted = Wanted()
        self.item = ShapesItem(OWNER, ())
        self.item.setZValue(ON_TOP)
        scene.addItem(self.item)
        watch.changed.connect(self.refresh)
        bench.drawn_changed.connect(self.refresh)

    def want(self, wanted: Wanted) -> None:
        """Show something else from now on."""
        self._wanted = wanted
        self.refresh()

    def refresh(self) -> None:
        """Bring the item up to date; empty while the drawing is newer than what is known."""
        self.item.replace(self._shapes())

    def _shapes(self) -> tuple[AnyShape, ...]:
        wanted, watch = self._wanted, self._watch
        if not (wanted.bent or wanted.stress) or watch.results is None or not watch.is_current:
            return ()
        drawn = self._bench.drawn
        if watch.case is None or drawn.case is not watch.case:
            return ()
        return bent_shapes(watch.case, watch.results, wanted, drawn.pages[0].views)
