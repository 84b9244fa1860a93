"""The scene of the sheet, in page millimetres."""

from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QGraphicsScene

from fixplan.desk.bench import Bench
from fixplan.desk.guard import guarded
from fixplan.desk.items import PaperItem, ShapesItem
from fixplan.desk.theme import colours
from fixplan.sheet.shapes import AnyShape

Owned = tuple[int, str]


class SheetScene(QGraphicsScene):
    """The pages of the sheet: one item a page and owner, replaced only when its shapes change."""

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self._bench = bench
        self._items: dict[Owned, ShapesItem] = {}
        self._papers: list[PaperItem] = []
        self.exposed: tuple[QRectF, ...] | None = None
        """The boxes that a view paints anew just now; None while none does."""
        bench.drawn_changed.connect(self.refresh)

    @guarded
    def drawBackground(self, painter: QPainter, rect: QRectF | QRect) -> None:
        """The desk under the paper."""
        painter.fillRect(rect, QColor(colours().desk))

    def refresh(self) -> None:
        """Bring the items up to the sheet as it is drawn now."""
        if not self._bench.document.is_open:
            return
        drawn = self._bench.drawn
        self._lay_papers([(page.width_mm, page.height_mm) for page in drawn.pages])
        wanted: dict[Owned, tuple[AnyShape, ...]] = {
            (index, owner): shapes
            for index, page in enumerate(drawn.pages)
            for owner, shapes in page.groups.items()
        }
        for owned in self._items.keys() - wanted.keys():
            self.removeItem(self._items.pop(owned))
        for order, (owned, shapes) in enumerate(wanted.items()):
            self._put(owned, shapes, float(order + 1))

    def shapes_item(self, owner: str, page: int = 0) -> ShapesItem | None:
        """The item of an owner, for those who need to find it."""
        return self._items.get((page, owner))

    def suit_zoom(self, px_per_mm: float) -> None:
        """Keep painted copies of what is small on the screen; what is large is painted in part."""
        for port in [view.viewport().size() for view in self.views()][:1]:
            for item in self._items.values():
                item.suit_zoom(px_per_mm, port)

    def _put(self, owned: Owned, shapes: tuple[AnyShape, ...], z: float) -> None:
        item = self._items.get(owned)
        if item is None:
            item = self._items[owned] = ShapesItem(owned[1], shapes)
            item.setPos(self._bench.drawn.page_origin_mm(owned[0]), 0.0)
            self.addItem(item)
        elif item.shapes != shapes:
            item.replace(shapes)
        if item.zValue() != z:
            item.setZValue(z)

    def _lay_papers(self, sizes: list[tuple[float, float]]) -> None:
        if [paper.size_mm for paper in self._papers] == sizes:
            return
        for paper in self._papers:
            self.removeItem(paper)
        self._papers = [PaperItem(size) for size in sizes]
        for index, paper in enumerate(self._papers):
            paper.setPos(self._bench.drawn.page_origin_mm(index), 0.0)
            self.addItem(paper)
        width = sum(size[0] for size in sizes) + 12.0 * (len(sizes) - 1)
        height = max(size[1] for size in sizes)
        self.setSceneRect(QRectF(-width, -height, 3 * width, 3 * height))
