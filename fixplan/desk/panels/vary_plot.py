"""Stiffness against one thing of the frame: four lines told apart by their dashes, in percent."""

from collections.abc import Iterator
from itertools import pairwise
from math import ceil, floor
from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from fixplan.desk.firmness import MODES
from fixplan.desk.guard import guarded, guarded_with
from fixplan.desk.theme import colours
from fixplan.frame.varying import AXES, Point, Varied

DASHES = (
    Qt.PenStyle.SolidLine,
    Qt.PenStyle.DashLine,
    Qt.PenStyle.DotLine,
    Qt.PenStyle.DashDotLine,
)
DOT_PX = 3.2
PLOT_PX = 150
STEP_PERCENT = 25


class Place(NamedTuple):
    """One point of a line: where it is in the plot, and its variant."""

    at: QPointF
    point: Point


class VaryPlot(QWidget):
    """The plot of one gap; a dot is hollow where something speaks against the variant."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.varied: Varied | None = None
        self.gap = 0
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Stiffness against one thing")

    def show_varied(self, varied: Varied | None, gap: int) -> None:
        """Show another plot, or none."""
        self.varied, self.gap = varied, gap
        self.setVisible(varied is not None)
        self.setAccessibleDescription("; ".join(self.told()))
        self.updateGeometry()
        self.update()

    def told(self) -> Iterator[str]:
        """Each variant in words, for a screen reader and as the plot's description."""
        varied = self.varied
        if varied is None:
            return
        for point in varied.points:
            shares = [varied.share(point, self.gap, mode) for mode in range(len(MODES))]
            words = [
                f"{name} {100 * share:.0f} %"
                for name, share in zip(MODES, shares, strict=True)
                if share is not None
            ]
            present = " (present)" if point.variant.is_present else ""
            told = ", ".join(words) or "free to move"
            against = f"; {point.variant.against}" if point.variant.against else ""
            yield f"{point.variant.words}{present}: {told}{against}"

    @guarded_with(QSize())
    def sizeHint(self) -> QSize:
        """The plot, its axis and the four names."""
        return QSize(320, PLOT_PX + 5 * self._line())

    @guarded_with(QSize())
    def minimumSizeHint(self) -> QSize:
        """The same height at any width."""
        return QSize(240, self.sizeHint().height())

    @guarded
    def paintEvent(self, event: QPaintEvent) -> None:
        """Axis, lines, dots, names."""
        del event
        if self.varied is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        box = QRectF(44, 8, self.width() - 60, PLOT_PX - 8)
        low, high = self._range()
        self._paint_scale(painter, box, low, high)
        self._paint_axis(painter, box)
        for mode, dash in enumerate(DASHES):
            self._paint_line(painter, mode, dash, box, low, high)
        self._paint_names(painter, PLOT_PX + 2.4 * self._line())
        painter.end()

    def _line(self) -> int:
        return self.fontMetrics().height()

    def _range(self) -> tuple[int, int]:
        """Percent from and to, in whole steps, 100 always inside."""
        varied = self.varied
        shares = [1.0]
        if varied is not None:
            found = (varied.share(p, self.gap, m) for p in varied.points for m in range(len(MODES)))
            shares += [one for one in found if one is not None]
        low = STEP_PERCENT * floor((100 * min(shares) - 1) / STEP_PERCENT)
        high = STEP_PERCENT * ceil((100 * max(shares) + 1) / STEP_PERCENT)
        return max(low, 0), high

    def _x(self, number: int, box: QRectF) -> float:
        """Where a variant stands: in proportion, or evenly where it has no axis."""
        varied = self.varied
        if varied is None or len(varied.points) < 2:
            return box.center().x()
        if not AXES[varied.thing]:
            return box.left() + box.width() * (number + 0.5) / len(varied.points)
        first, last = varied.points[0].variant.x, varied.points[-1].variant.x
        share = (varied.points[number].variant.x - first) / (last - first)
        return box.left() + box.width() * share

    def _places(self, mode: int, box: QRectF, low: int, high: int) -> Iterator[Place]:
        varied = self.varied
        if varied is None:
            return
        for number, point in enumerate(varied.points):
            share = varied.share(point, self.gap, mode)
            if share is not None:
                y = box.bottom() - box.height() * (100 * share - low) / (high - low)
                yield Place(QPointF(self._x(number, box), y), point)

    def _paint_scale(self, painter: QPainter, box: QRectF, low: int, high: int) -> None:
        """Lines at whole steps; the one at 100 % is the present frame."""
        step = STEP_PERCENT * max(ceil((high - low) / STEP_PERCENT / 6), 1)
        ticks = sorted({*range(low, high + 1, step), 100})
        for percent in ticks:
            y = box.bottom() - box.height() * (percent - low) / (high - low)
            painter.setPen(QPen(QColor(colours().ink if percent == 100 else colours().line), 1))
            painter.drawLine(QPointF(box.left(), y), QPointF(box.right(), y))
            if percent == 100 or abs(percent - 100) >= step / 2:
                painter.setPen(QColor(colours().soft))
                words = QRectF(0, y - self._line() / 2, box.left() - 6, self._line())
                painter.drawText(words, Qt.AlignmentFlag.AlignRight, f"{percent} %")

    def _paint_axis(self, painter: QPainter, box: QRectF) -> None:
        """The variants' words beneath, the present one bold with a line up to its dots."""
        varied = self.varied
        if varied is None:
            return
        order = sorted(range(len(varied.points)), key=lambda n: not self._is_present(n))
        shown: list[tuple[float, float]] = []
        for number in order:
            variant = varied.points[number].variant
            x, font = self._x(number, box), self.font()
            font.setBold(variant.is_present)
            painter.setFont(font)
            wide = painter.fontMetrics().horizontalAdvance(variant.words) + 8.0
            left = min(max(x - wide / 2, 0.0), self.width() - wide)
            if variant.is_present:
                painter.setPen(QPen(QColor(colours().ink), 1, Qt.PenStyle.DashLine))
                painter.drawLine(QPointF(x, box.top()), QPointF(x, box.bottom()))
            if any(left < end and start < left + wide for start, end in shown):
                continue
            shown.append((left, left + wide))
            painter.setPen(QColor(colours().ink if variant.is_present else colours().soft))
            under = QRectF(left, box.bottom() + 3, wide, self._line())
            painter.drawText(under, Qt.AlignmentFlag.AlignHCenter, variant.words)
        painter.setFont(self.font())
        painter.setPen(QColor(colours().soft))
        title = QRectF(0, box.bottom() + 3 + self._line(), self.width(), self._line())
        painter.drawText(title, Qt.AlignmentFlag.AlignHCenter, AXES[varied.thing])

    def _is_present(self, number: int) -> bool:
        return self.varied is not None and self.varied.points[number].variant.is_present

    def _paint_line(
        self, painter: QPainter, mode: int, dash: Qt.PenStyle, box: QRectF, low: int, high: int
    ) -> None:
        places = list(self._places(mode, box, low, high))
        painter.setPen(QPen(QColor(colours().ink), 1.5, dash))
        for before, after in pairwise(places):
            painter.drawLine(before.at, after.at)
        painter.setPen(QPen(QColor(colours().ink), 1.2))
        for place in places:
            hollow = bool(place.point.variant.against)
            painter.setBrush(QColor(colours().card) if hollow else QColor(colours().ink))
            painter.drawEllipse(place.at, DOT_PX, DOT_PX)

    def _paint_names(self, painter: QPainter, top: float) -> None:
        """Which dash is which stiffness, two in a row."""
        half = self.width() / 2
        for mode, (name, dash) in enumerate(zip(MODES, DASHES, strict=True)):
            x, y = (mode % 2) * half, top + (mode // 2) * 1.2 * self._line()
            painter.setPen(QPen(QColor(colours().ink), 1.5, dash))
            middle = y + self._line() / 2
            painter.drawLine(QPointF(x + 2, middle), QPointF(x + 34, middle))
            painter.setPen(QColor(colours().ink))
            words = QRectF(x + 40, y, half - 40, self._line())
            painter.drawText(words, Qt.AlignmentFlag.AlignVCenter, name)
