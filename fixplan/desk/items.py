"""One graphics item per owner on the sheet; it paints its shapes with the sheet's own painter."""

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from fixplan.desk.extent import around_all, edges_mm
from fixplan.desk.guard import guarded, guarded_with
from fixplan.desk.theme import colours
from fixplan.sheet.paint import paint_shapes
from fixplan.sheet.shapes import AnyShape

PAPER_COLOUR = "#ffffff"
SHADOW_MM = 0.9
CACHED = QGraphicsItem.CacheMode.DeviceCoordinateCache
UNCACHED = QGraphicsItem.CacheMode.NoCache
MOST_CACHED_PX = 2_000_000
"""Painted copies larger than this cost more to move than their seen part to paint."""


class PaperItem(QGraphicsItem):
    """A blank sheet of paper on the desk, with its shadow."""

    def __init__(self, size_mm: tuple[float, float]) -> None:
        super().__init__()
        self.size_mm = size_mm
        self.setZValue(0.0)

    @guarded_with(QRectF())
    def boundingRect(self) -> QRectF:
        """Paper and shadow."""
        return QRectF(0, 0, self.size_mm[0] + SHADOW_MM, self.size_mm[1] + SHADOW_MM)

    @guarded
    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,  # noqa: ARG002 (Qt's signature)
        widget: QWidget | None = None,  # noqa: ARG002 (Qt's signature)
    ) -> None:
        """White paper over its shadow."""
        page = QRectF(0, 0, *self.size_mm)
        painter.fillRect(page.translated(SHADOW_MM, SHADOW_MM), QColor(colours().line))
        painter.fillRect(page, QColor(PAPER_COLOUR))


class ShapesItem(QGraphicsItem):
    """What is drawn for one owner on one page, in page millimetres."""

    def __init__(self, owner: str, shapes: tuple[AnyShape, ...]) -> None:
        super().__init__()
        self.owner = owner
        self.shapes = shapes
        self._edges = [edges_mm(shape) for shape in shapes]
        self._bounds = QRectF(*around_all(self._edges))
        self.setCacheMode(CACHED)

    def suit_zoom(self, px_per_mm: float) -> None:
        """Keep a painted copy only while it is no larger than a screen or so."""
        area = self._bounds.width() * self._bounds.height() * px_per_mm**2
        mode = CACHED if area <= MOST_CACHED_PX else UNCACHED
        if mode != self.cacheMode():
            self.setCacheMode(mode)

    def replace(self, shapes: tuple[AnyShape, ...]) -> None:
        """Draw other shapes from now on; those that stay are not measured again."""
        known = dict(zip(map(id, self.shapes), self._edges, strict=True))
        edges = [known[id(s)] if id(s) in known else edges_mm(s) for s in shapes]
        self.prepareGeometryChange()
        self.shapes, self._edges = shapes, edges
        self._bounds = QRectF(*around_all(edges))
        self.update()

    @guarded_with(QRectF())
    def boundingRect(self) -> QRectF:
        """All that is painted."""
        return self._bounds

    @guarded
    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,  # noqa: ARG002 (Qt's signature)
        widget: QWidget | None = None,  # noqa: ARG002 (Qt's signature)
    ) -> None:
        """Paint through the sheet's painter."""
        paint_shapes(painter, self.shapes)
