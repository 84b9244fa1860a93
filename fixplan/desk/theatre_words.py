"""The words of the theatre view: paragraphs in the largest letters that fit their room."""

from collections.abc import Sequence
from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter

from fixplan.sheet.ink import INK
from fixplan.sheet.marks import severity_mark
from fixplan.sheet.paint import paint_shapes

WRAP = int(Qt.TextFlag.TextWordWrap)
SIZES = tuple(step / 50 for step in range(50, 9, -1))
"""From the full size down to a fifth of it."""
LEAST_PX = 8
MARK_MM = 3.0


class Paragraph(NamedTuple):
    """Words; letters' height and the gap above as shares of the screen's height; their look."""

    words: str
    share: float
    colour: str = INK
    bold: bool = False
    gap: float = 0.012
    is_stop: bool = False


def paint_paragraphs(
    painter: QPainter, font: QFont, room: QRectF, screen_px: float, told: Sequence[Paragraph]
) -> float:
    """Paint paragraphs one below the other, the largest way that fits; where they end below."""
    sizes = (size for size in SIZES if _height(font, room, screen_px * size, told) <= room.height())
    height_px = screen_px * next(sizes, SIZES[-1])
    top = room.top()
    for one in told:
        top = _paint(painter, font, (room.left(), top, room.width()), height_px, one)
    return top


def _height(font: QFont, room: QRectF, height_px: float, told: Sequence[Paragraph]) -> float:
    """What the paragraphs take, in pixels."""
    total = 0.0
    for one in told:
        lettered = _font(font, height_px, one)
        width = room.width() - _indent(lettered, one)
        words = QFontMetricsF(lettered).boundingRect(
            QRectF(0, 0, width, 1e5), WRAP, _kept(one.words)
        )
        total += one.gap * height_px + words.height()
    return total


def _paint(
    painter: QPainter,
    font: QFont,
    at: tuple[float, float, float],
    height_px: float,
    one: Paragraph,
) -> float:
    left, top, width = at
    top += one.gap * height_px
    lettered = _font(font, height_px, one)
    indent = _indent(lettered, one)
    painter.setFont(lettered)
    painter.setPen(QColor(one.colour))
    room = QRectF(left + indent, top, width - indent, 1e5)
    used = painter.boundingRect(room, WRAP, _kept(one.words))
    painter.drawText(room, WRAP, _kept(one.words))
    if one.is_stop:
        _paint_stop(painter, QPointF(left, top), lettered.pixelSize())
    return used.bottom()


def _paint_stop(painter: QPainter, at: QPointF, size_px: int) -> None:
    """The mark of an open stop before its sentence, as high as a line of it."""
    painter.save()
    painter.translate(at)
    scale = 0.55 * size_px / MARK_MM
    painter.scale(scale, scale)
    centre = (1.1 * MARK_MM, 0.6 * size_px / scale)
    paint_shapes(painter, severity_mark("stop", "stop", centre, MARK_MM))
    painter.restore()


def _kept(words: str) -> str:
    """Words whose lines break neither within a length nor before a dot."""
    for loose in (" mm", " \u00b7", "length "):
        words = words.replace(loose, loose.replace(" ", "\u00a0"))
    return words


def _indent(font: QFont, one: Paragraph) -> float:
    return 1.5 * font.pixelSize() if one.is_stop else 0.0


def _font(font: QFont, height_px: float, one: Paragraph) -> QFont:
    lettered = QFont(font)
    lettered.setPixelSize(max(int(one.share * height_px), LEAST_PX))
    lettered.setBold(one.bold)
    return lettered
