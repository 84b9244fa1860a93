"""Small drawn charts of firmness: four bars with their ranges, and kept variants side by side."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from fixplan.desk.firmness import FirmRow
from fixplan.desk.guard import guarded, guarded_with
from fixplan.desk.theme import colours

PATTERNS = (
    Qt.BrushStyle.SolidPattern,
    Qt.BrushStyle.BDiagPattern,
    Qt.BrushStyle.Dense5Pattern,
    Qt.BrushStyle.FDiagPattern,
    Qt.BrushStyle.NoBrush,
)
THICK_PX = 8.0
GAP_PX = 14
LEAST_LETTERS = 8


class FirmBars(QWidget):
    """Bars with a range line and a tick at the usual frame; greyed while it is disabled."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.rows: tuple[FirmRow, ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Firmness")

    def show_rows(self, rows: tuple[FirmRow, ...]) -> None:
        """Show other values."""
        if rows != self.rows:
            self.rows = rows
            self.setAccessibleDescription(
                "; ".join(f"{row.name}: {row.figure} {row.change}".strip() for row in rows)
            )
            self.updateGeometry()
            self.update()

    @guarded_with(QSize())
    def sizeHint(self) -> QSize:
        """For each row a line of words and a line for the bar."""
        return QSize(self.words_px(), max(len(self.rows), 1) * 2 * self._line())

    @guarded_with(QSize())
    def minimumSizeHint(self) -> QSize:
        """A figure never loses its unit; a name ends in … where there is too little room for it."""
        return QSize(self.words_px(LEAST_LETTERS), self.sizeHint().height())

    def words_px(self, most_letters: int | None = None) -> int:
        """Width that the longest name and figure take side by side."""
        letters = self.fontMetrics()
        return max(
            (
                letters.horizontalAdvance(row.name[:most_letters])
                + GAP_PX
                + letters.horizontalAdvance(row.figure)
                for row in self.rows
            ),
            default=240,
        )

    @guarded
    def paintEvent(self, event: QPaintEvent) -> None:
        """Names, bars, figures and changes."""
        del event
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for number, row in enumerate(self.rows):
            self._paint_row(painter, row, float(number * 2 * self._line()))
        painter.end()

    def _line(self) -> int:
        return int(self.fontMetrics().height() * 1.2)

    def _paint_row(self, painter: QPainter, row: FirmRow, top: float) -> None:
        """Name and figure above, the bar and its change beneath."""
        wide, line, on = float(self.width()), float(self._line()), self.isEnabled()
        change = self.fontMetrics().horizontalAdvance("+188 %") + 6
        flag = Qt.AlignmentFlag.AlignVCenter
        right = flag | Qt.AlignmentFlag.AlignRight
        painter.setPen(_now("soft") if on else _now("faint"))
        figure = self.fontMetrics().horizontalAdvance(row.figure)
        name = self.fontMetrics().elidedText(
            row.name, Qt.TextElideMode.ElideRight, int(wide) - figure - GAP_PX
        )
        painter.drawText(QRectF(0, top, wide, line), flag, name)
        painter.drawText(QRectF(wide - change, top + line, change, line), right, row.change)
        painter.setPen(_now("ink") if on else _now("faint"))
        painter.drawText(QRectF(0, top, wide, line), right, row.figure)
        middle = top + 1.5 * line
        self._paint_bar(painter, row, QRectF(0, middle - THICK_PX / 2, wide - change - 6, THICK_PX))

    def _paint_bar(self, painter: QPainter, row: FirmRow, box: QRectF) -> None:
        """The trough is twice the usual frame, or the tight end of the range where that is more."""
        scale = max(2 * (row.usual or row.value), row.value, 1e-12)
        radius = THICK_PX / 2
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(_now("trough"))
        painter.drawRoundedRect(box, radius, radius)
        painter.setBrush(_now("fill") if self.isEnabled() else _now("faint"))
        filled = QRectF(box.x(), box.y(), max(box.width() * row.value / scale, 2), box.height())
        painter.drawRoundedRect(filled, radius, radius)
        low, high = (box.x() + box.width() * min(v / scale, 1.0) for v in (row.low, row.high))
        painter.setPen(QPen(_now("ink") if self.isEnabled() else _now("faint"), 1.4))
        under = box.bottom() + 3
        painter.drawLine(QPointF(low, under), QPointF(high, under))
        if row.usual is not None:
            at = box.x() + box.width() * row.usual / scale
            painter.drawLine(QPointF(at, box.top() - 3), QPointF(at, box.bottom() + 3))


class CompareChart(QWidget):
    """Variants side by side: for each stiffness one group of bars, told apart by pattern."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._names: tuple[str, ...] = ()
        self._groups: tuple[tuple[str, tuple[float, ...]], ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Variants side by side")

    def show_groups(
        self, names: tuple[str, ...], groups: tuple[tuple[str, tuple[float, ...]], ...]
    ) -> None:
        """Show the variants' values, a group for each stiffness, relative within the group."""
        self._names, self._groups = names, groups
        self.updateGeometry()
        self.update()

    @guarded_with(QSize())
    def sizeHint(self) -> QSize:
        """Room for the bars and two lines of words."""
        return QSize(360, 70 + 2 * self.fontMetrics().height())

    @guarded
    def paintEvent(self, event: QPaintEvent) -> None:
        """Groups of bars with the stiffness beneath and the variant's name on top."""
        del event
        if not self._groups:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        line = float(self.fontMetrics().height())
        wide = self.width() / len(self._groups)
        for number, (name, values) in enumerate(self._groups):
            box = QRectF(number * wide, line, wide, self.height() - 2 * line)
            self._paint_group(painter, values, box)
            painter.setPen(_now("soft"))
            words = QRectF(box.x(), box.bottom(), wide, line)
            painter.drawText(words, Qt.AlignmentFlag.AlignHCenter, name)
        painter.end()

    def _paint_group(self, painter: QPainter, values: tuple[float, ...], box: QRectF) -> None:
        most = max((*values, 1e-12))
        step = box.width() * 0.84 / max(len(values), 1)
        line = self.fontMetrics().height()
        for number, value in enumerate(values):
            tall = box.height() * value / most
            x = box.x() + 0.08 * box.width() + number * step
            bar = QRectF(x, box.bottom() - tall, step * 0.8, tall)
            painter.setPen(QPen(_now("fill"), 1.2))
            painter.setBrush(QBrush(_now("fill"), PATTERNS[number % len(PATTERNS)]))
            painter.drawRect(bar)
            painter.setPen(_now("ink"))
            top = QRectF(x - step, bar.top() - line, step * 2.8, line)
            painter.drawText(top, Qt.AlignmentFlag.AlignHCenter, self._names[number])


def _now(name: str) -> QColor:
    """One of the desk's colours as it is now."""
    return QColor(str(getattr(colours(), name)))
