"""Where the sheet lies under its window: fitted, scrolled, and which of it is painted anew."""

from collections.abc import Iterable

from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QRegion
from PySide6.QtWidgets import QGraphicsView, QWidget

from fixplan.desk.drawn import DrawnSheet

FIT_MARGIN_MM = 3.0
WORTH_ONE_MORE = 0.65
"""A further page is fitted in too while the pages stay at least this share of one page's size."""


def scrolled(view: QGraphicsView, dx_px: float, dy_px: float) -> tuple[float, float]:
    """Scroll a view by whole pixels; gives what could not be scrolled, at the scene's edge."""
    rest = []
    for bar, step in (
        (view.horizontalScrollBar(), dx_px),
        (view.verticalScrollBar(), dy_px),
    ):
        before = bar.value()
        bar.setValue(before - round(step))
        rest.append(step - (before - bar.value()))
    return rest[0], rest[1]


def exposed_boxes(view: QGraphicsView, region: QRegion) -> tuple[QRectF, ...]:
    """The boxes of the scene that a view paints anew: two strips after a scroll."""
    boxes: Iterable[QRect] = iter(region)  # type: ignore[call-overload]  # not in the stub
    return tuple(view.mapToScene(box.adjusted(-1, -1, 1, 1)).boundingRect() for box in boxes)


def fitting_mm(drawn: DrawnSheet, port: QWidget) -> QRectF:
    """The first pages, with an edge, that are to be seen whole."""
    edge = FIT_MARGIN_MM
    first = drawn.pages[0]
    around = QRectF(0, 0, first.width_mm, first.height_mm).adjusted(-edge, -edge, edge, edge)
    alone = fit_scale(around, port)
    for index, page in enumerate(drawn.pages[1:], 1):
        more = QRectF(drawn.page_origin_mm(index), 0, page.width_mm, page.height_mm)
        wider = around.united(more.adjusted(-edge, -edge, edge, edge))
        if fit_scale(wider, port) < WORTH_ONE_MORE * alone:
            break
        around = wider
    return around


def fit_scale(around: QRectF, port: QWidget) -> float:
    """Pixels per millimetre at which a rectangle of the scene fills the viewport."""
    return min(port.width() / around.width(), port.height() / around.height())
