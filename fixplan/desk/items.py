"""One graphics item per owner on the sheet; it paints its shapes with the sheet's own painter."""

from collections.abc import Iterator, Sequence

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from fixplan.desk.extent import Extent, around_all, edges_mm
from fixplan.desk.guard import guarded, guarded_with
from fixplan.desk.theme import colours
from fixplan.sheet.paint import paint_shapes
from fixplan.sheet.shapes import AnyShape

PAPER_COLOUR = "#ffffff"
SHADOW_MM = 0.9
CACHED = QGraphicsItem.CacheMode.DeviceCoordinateCache
UNCACHED = QGraphicsItem.CacheMode.NoCache


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

    def suit_zoom(self, px_per_mm: float, port: QSize) -> None:
        """Keep a painted copy only while all of it fits into the window.

        Of a larger one Qt keeps a part, and paints the rest of it anew at every scroll.
        """
        wide, high = self._bounds.width() * px_per_mm, self._bounds.height() * px_per_mm
        mode = CACHED if wide < port.width() and high < port.height() else UNCACHED
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
        """Paint through the sheet's painter; without a kept copy, only what is to be seen anew."""
        exposed = exposed_in(self.scene())
        if exposed is None or self.cacheMode() == CACHED:
            paint_shapes(painter, self.shapes)
            return
        boxes = [_edges_of(box.translated(-self.pos())) for box in exposed]
        paint_shapes(painter, self._within(boxes))

    def _within(self, boxes: Sequence[Extent]) -> Iterator[AnyShape]:
        """The shapes that reach into one of some boxes (left, top, right, bottom)."""
        for shape, edges in zip(self.shapes, self._edges, strict=True):
            if edges is not None and any(
                edges[0] < box[2] and edges[2] > box[0] and edges[1] < box[3] and edges[3] > box[1]
                for box in boxes
            ):
                yield shape


def _edges_of(box: QRectF) -> Extent:
    return box.left(), box.top(), box.right(), box.bottom()


def exposed_in(scene: object) -> tuple[QRectF, ...] | None:
    """Which boxes of a scene are being painted; None: all of it, or nothing is known."""
    return getattr(scene, "exposed", None)
