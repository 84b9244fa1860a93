"""What lies over the sheet on the screen only: selection, handles, a line in hand, the caret."""

from collections.abc import Iterable

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen, QPolygonF

from fixplan.desk.tools.base import Handle, Marks
from fixplan.sheet.shapes import AnyShape, Disc, Line, Point, Text

HALO = QColor(43, 108, 176, 70)
MARK = QColor("#1f5f9e")
PAPER = QColor("#ffffff")
HALO_PX = 7.0
HANDLE_PX = 4.5
BETWEEN_PX = 3.0
CARET_PX = 12.0
WORDS_WIDTH_PX = 320.0


def paint_selection(painter: QPainter, shapes: Iterable[AnyShape], px: float) -> None:
    """A pale halo along everything drawn for the selected thing; `px` is a screen pixel in mm."""
    painter.save()
    pen = QPen(HALO, HALO_PX * px)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for shape in shapes:
        _paint_halo(painter, shape)
    painter.restore()


def paint_marks(painter: QPainter, marks: Marks, px: float) -> None:
    """Handles, the line being drawn and the words at its end."""
    painter.save()
    _paint_trail(painter, marks, px)
    for handle in marks.handles:
        _paint_handle(painter, handle, px)
    painter.restore()


def paint_caret(painter: QPainter, at: Point, px: float) -> None:
    """The keyboard's place: a cross with an open middle."""
    painter.save()
    painter.setPen(QPen(MARK, 2 * px))
    reach, gap = CARET_PX * px, 3 * px
    for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        painter.drawLine(
            QPointF(at[0] + gap * dx, at[1] + gap * dy),
            QPointF(at[0] + reach * dx, at[1] + reach * dy),
        )
    painter.restore()


def paint_words(
    painter: QPainter, words: str, at_px: QPointF, within_px: QRect, font: QFont
) -> None:
    """Words at the cursor on a pale card, in screen pixels; kept inside the window and wrapped."""
    painter.save()
    painter.resetTransform()
    painter.setFont(font)
    flags = int(Qt.TextFlag.TextWordWrap)
    room = QRectF(0, 0, WORDS_WIDTH_PX, 4000)
    box = QFontMetricsF(font).boundingRect(room, flags, words)
    card = QRectF(at_px.x() + 18, at_px.y() + 16, box.width() + 16, box.height() + 10)
    card.moveRight(min(card.right(), within_px.right() - 4.0))
    card.moveBottom(min(card.bottom(), within_px.bottom() - 4.0))
    painter.setPen(QPen(QColor("#9aa5b1"), 1))
    painter.setBrush(PAPER)
    painter.drawRoundedRect(card, 4, 4)
    painter.setPen(QColor("#1f2933"))
    painter.drawText(card.adjusted(8, 5, -6, -5), flags, words)
    painter.restore()


def _paint_halo(painter: QPainter, shape: AnyShape) -> None:
    if isinstance(shape, Text):
        return
    if isinstance(shape, Disc):
        painter.drawEllipse(QPointF(*shape.centre), shape.radius_mm, shape.radius_mm)
        return
    line = QPolygonF([QPointF(x, y) for x, y in shape.points])
    if isinstance(shape, Line):
        painter.drawPolyline(line)
    else:
        painter.drawPolygon(line)


def _paint_trail(painter: QPainter, marks: Marks, px: float) -> None:
    if not marks.trail:
        return
    pen = QPen(MARK, 1.6 * px)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    line = [QPointF(x, y) for x, y in marks.trail]
    painter.drawPolyline(line)
    if marks.is_closed and len(marks.trail) > 2:
        pen.setStyle(Qt.PenStyle.DashLine)
        painter.setPen(pen)
        painter.drawLine(line[-1], line[0])
    painter.setBrush(PAPER)
    painter.setPen(QPen(MARK, 1.4 * px))
    painter.drawEllipse(line[0], HANDLE_PX * px, HANDLE_PX * px)


def _paint_handle(painter: QPainter, handle: Handle, px: float) -> None:
    """Points are squares, ends are bars of a square, turning is a ring, gaps are small dots."""
    at = QPointF(*handle.at)
    painter.setPen(QPen(MARK, 1.4 * px))
    painter.setBrush(PAPER)
    if handle.kind == "between":
        painter.setBrush(MARK)
        painter.drawEllipse(at, BETWEEN_PX * px * 0.7, BETWEEN_PX * px * 0.7)
    elif handle.kind == "turn":
        painter.drawEllipse(at, HANDLE_PX * px * 1.2, HANDLE_PX * px * 1.2)
        painter.setBrush(MARK)
        painter.drawEllipse(at, px * 1.5, px * 1.5)
    else:
        half = HANDLE_PX * px
        painter.drawRect(QRectF(at.x() - half, at.y() - half, 2 * half, 2 * half))
