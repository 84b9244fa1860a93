"""The time line of the trips: what is planned by when; trips can be dragged, or moved by keys."""

from collections.abc import Callable
from datetime import datetime, timedelta

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from fixplan.desk.guard import guarded, guarded_with
from fixplan.desk.theme import colours
from fixplan.trips.time_line import Mark, TimeLine

ROUND_PX = 11.0
SIDE_PX = 22.0
GRAB_PX = 14.0
NUDGE = timedelta(minutes=15)
LEAP = timedelta(hours=1)


class TripLine(QWidget):
    """Trips as numbered discs (filled: done), the injury as a square, limits as strokes beneath.

    Signals: `picked` (a trip's id), `moved` (a trip's id and its new time in UTC).
    """

    picked = Signal(str)
    moved = Signal(str, object)

    def __init__(self, words_at: Callable[[datetime], str], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._words_at = words_at
        self._line: TimeLine | None = None
        self._chosen = ""
        self._dragged: Mark | None = None
        self._to: datetime | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Time line of the trips")

    def show_line(self, line: TimeLine | None, chosen: str) -> None:
        """Show another line, and which trip is chosen."""
        self._line, self._chosen = line, chosen
        if line is None or self._dragged not in line.marks:
            self._dragged = self._to = None
        told = "no times yet" if line is None else "; ".join(mark.words for mark in line.marks)
        self.setAccessibleDescription(f"{told}. Arrow keys move the trip that is chosen")
        self.update()

    def place_of(self, trip: str) -> QPointF:
        """The middle of a trip's disc, in pixels of this widget."""
        line = self._line
        mark = next(one for one in line.marks if one.trip == trip) if line is not None else None
        return QPointF(0, 0) if mark is None else QPointF(self._x(mark.at), self._middle())

    def _x(self, at: datetime) -> float:
        width = self.width() - 2 * SIDE_PX
        return SIDE_PX + width * (self._line.share(at) if self._line is not None else 0.0)

    def _middle(self) -> float:
        return self.height() * 0.42

    def _trip_near(self, at: QPointF) -> Mark | None:
        if self._line is None:
            return None
        near = [one for one in self._line.marks if one.trip and self._gap(one, at) <= GRAB_PX]
        return min(near, key=lambda one: self._gap(one, at), default=None)

    def _gap(self, mark: Mark, at: QPointF) -> float:
        return float(abs(self._x(mark.at) - at.x()) + abs(self._middle() - at.y()) / 2)

    def _nudge(self, by: timedelta) -> None:
        marks = self._line.marks if self._line is not None else ()
        mark = next((one for one in marks if one.trip == self._chosen), None)
        if mark is not None and mark.kind == "trip":
            self.moved.emit(mark.trip, mark.at + by)

    def _step(self, by: int) -> None:
        trips = [one.trip for one in self._line.marks if one.trip] if self._line else []
        if trips:
            at = trips.index(self._chosen) + by if self._chosen in trips else 0
            self.picked.emit(trips[max(0, min(at, len(trips) - 1))])

    def _paint_ticks(self, painter: QPainter, line: TimeLine) -> None:
        painter.setPen(QPen(QColor(colours().faint), 1.4))
        painter.drawLine(
            QPointF(SIDE_PX, self._middle()), QPointF(self.width() - SIDE_PX, self._middle())
        )
        free = -1e9
        letters = painter.fontMetrics()
        for at, words in line.ticks:
            x, half = self._x(at), letters.horizontalAdvance(words) / 2
            painter.setPen(QPen(QColor(colours().faint), 1.0))
            painter.drawLine(QPointF(x, self._middle() - 4), QPointF(x, self._middle() + 4))
            if x - half > free and x + half <= self.width():
                painter.setPen(QColor(colours().soft))
                painter.drawText(QPointF(x - half, self.height() - 4.0), words)
                free = x + half + 6

    def _paint_mark(self, painter: QPainter, mark: Mark) -> None:
        at = self._to if self._dragged == mark and self._to is not None else mark.at
        x, y = self._x(at), self._middle()
        if mark.kind in ("limit", "late"):
            pen = QPen(
                QColor(colours().severity["stop"])
                if mark.kind == "late"
                else QColor(colours().soft),
                2.0,
            )
            painter.setPen(pen)
            painter.drawLine(QPointF(x, y + 12), QPointF(x, y + 21))
        elif mark.kind == "now":
            painter.setPen(QPen(QColor(colours().ink), 1.2, Qt.PenStyle.DashLine))
            painter.drawLine(QPointF(x, 3), QPointF(x, y + 16))
        elif mark.kind == "injury":
            painter.setPen(QPen(QColor(colours().ink), 1.4))
            painter.setBrush(QColor(colours().ink))
            painter.drawRect(QRectF(x - 5, y - 5, 10, 10))
        else:
            self._paint_disc(painter, mark, QPointF(x, y))

    def _paint_disc(self, painter: QPainter, mark: Mark, at: QPointF) -> None:
        is_done, is_chosen = mark.kind == "done", mark.trip == self._chosen
        painter.setPen(QPen(QColor(colours().ink), 2.6 if is_chosen else 1.3))
        painter.setBrush(QColor(colours().ink) if is_done else QColor(colours().card))
        painter.drawEllipse(at, ROUND_PX, ROUND_PX)
        painter.setPen(QColor(colours().card) if is_done else QColor(colours().ink))
        box = QRectF(at.x() - ROUND_PX, at.y() - ROUND_PX, 2 * ROUND_PX, 2 * ROUND_PX)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, mark.label)

    def _paint_new_time(self, painter: QPainter) -> None:
        """While a trip is dragged, the time that it would have."""
        if self._to is not None:
            painter.setPen(QColor(colours().ink))
            words = self._words_at(self._to)
            room = max(0.0, self.width() - painter.fontMetrics().horizontalAdvance(words) - 4.0)
            left = min(max(4.0, self._x(self._to) - 40), room)
            painter.drawText(QPointF(left, painter.fontMetrics().ascent() + 1.0), words)

    # Qt

    @guarded_with(QSize())
    def sizeHint(self) -> QSize:
        """Room for the discs, the limits and a line of words."""
        return QSize(260, 64 + self.fontMetrics().height())

    @guarded
    def paintEvent(self, event: QPaintEvent) -> None:
        """The line, its ticks and marks; discs above all else."""
        del event
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if self._line is None:
            painter.setPen(QColor(colours().soft))
            painter.drawText(
                self.rect(), Qt.AlignmentFlag.AlignCenter, "No times yet: type the time of injury"
            )
        else:
            self._paint_ticks(painter, self._line)
            for mark in sorted(self._line.marks, key=lambda one: one.kind in ("trip", "done")):
                self._paint_mark(painter, mark)
            self._paint_new_time(painter)
        if self.hasFocus():
            painter.setPen(QPen(QColor(colours().mark), 1))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()

    @guarded
    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose a trip; one that is not done can be dragged."""
        mark = self._trip_near(event.position())
        if mark is None or event.button() != Qt.MouseButton.LeftButton:
            return
        self.picked.emit(mark.trip)
        self._dragged = self._trip_near(event.position()) if mark.kind == "trip" else None

    @guarded
    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag, with the time under the hand; else tell what lies there."""
        line = self._line
        if line is not None and self._dragged is not None:
            share = (event.position().x() - SIDE_PX) / max(1.0, self.width() - 2 * SIDE_PX)
            self._to = line.time_at(share)
            self.update()
            return
        near = self._any_near(event.position())
        words = "" if near is None else f"{near.words}\n{self._words_at(near.at)}"
        if words != self.toolTip():
            self.setToolTip(words)

    def _any_near(self, at: QPointF) -> Mark | None:
        marks = self._line.marks if self._line is not None else ()
        near = [one for one in marks if abs(self._x(one.at) - at.x()) <= 6]
        return self._trip_near(at) or (near[0] if near else None)

    @guarded
    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Leave the trip where it was dragged to."""
        del event
        mark, to = self._dragged, self._to
        self._dragged = self._to = None
        if mark is not None and to is not None and to != mark.at:
            self.moved.emit(mark.trip, to)
        self.update()

    @guarded
    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Left and right move the chosen trip, with Shift by an hour; up and down choose."""
        far = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        by = LEAP if far else NUDGE
        match event.key():
            case Qt.Key.Key_Left:
                self._nudge(-by)
            case Qt.Key.Key_Right:
                self._nudge(by)
            case Qt.Key.Key_Up:
                self._step(-1)
            case Qt.Key.Key_Down:
                self._step(1)
            case _:
                super().keyPressEvent(event)
