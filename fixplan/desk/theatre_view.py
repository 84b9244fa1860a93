"""One step of the build order at a time, over the whole screen; the next by one key."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.desk.guard import guarded
from fixplan.errors import EditError
from fixplan.notes.steps import PICTURE, step_shapes, steps_of, stops_at
from fixplan.sheet.ink import INK, SEVERITY_INK, SOFT_INK
from fixplan.sheet.paint import paint_shapes

NEXT = (Qt.Key.Key_Space, Qt.Key.Key_Right, Qt.Key.Key_Down, Qt.Key.Key_PageDown, Qt.Key.Key_Return)
BACK = (Qt.Key.Key_Backspace, Qt.Key.Key_Left, Qt.Key.Key_Up, Qt.Key.Key_PageUp)
MOST_STOPS = 3
STOP = SEVERITY_INK["stop"]
HINT = "Space: next    Backspace: back    Esc: leave"
TEXT_SHARE, SIDE_SHARE, SMALL_SHARE = 0.062, 0.11, 0.026
"""Heights of letters as shares of the screen's height."""
WRAP = int(Qt.TextFlag.TextWordWrap)


class TheatreView(QWidget):
    """The drawing with what is there by now, and the step in large letters."""

    def __init__(self, case: Case, findings: tuple[Finding, ...], parent: QWidget | None) -> None:
        super().__init__(parent, Qt.WindowType.Window)
        self._case, self._findings = case, findings
        self.steps = steps_of(case)
        if not self.steps:
            raise EditError("There is no frame to build; draw it first.")
        self.at = 0
        self.setWindowTitle("Build order")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._tell()

    def go_to(self, at: int) -> None:
        """Show a step, from 0; past the ends the last one stays."""
        self.at = min(max(at, 0), len(self.steps) - 1)
        self._tell()
        self.update()

    @guarded
    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Space and arrows turn the steps, Escape leaves."""
        key = event.key()
        if key in NEXT:
            self.go_to(self.at + 1)
        elif key in BACK:
            self.go_to(self.at - 1)
        elif key == Qt.Key.Key_Home:
            self.go_to(0)
        elif key == Qt.Key.Key_End:
            self.go_to(len(self.steps) - 1)
        elif key == Qt.Key.Key_Escape:
            self.close()

    @guarded
    def mousePressEvent(self, event: QMouseEvent) -> None:
        """The left button turns to the next step, the right one back."""
        step = 1 if event.button() == Qt.MouseButton.LeftButton else -1
        self.go_to(self.at + step)

    @guarded
    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002 (all is painted anew)
        """The picture on the left, the words on the right."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor("#ffffff"))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._paint_picture(painter)
        self._paint_words(painter)
        painter.end()

    def _paint_picture(self, painter: QPainter) -> None:
        width, height = PICTURE
        scale = min(0.5 * self.width() / width, 0.96 * self.height() / height)
        painter.save()
        painter.translate(QPointF(0.02 * self.width(), 0.5 * (self.height() - scale * height)))
        painter.scale(scale, scale)
        paint_shapes(painter, step_shapes(self._case, self._findings, self.at))
        painter.restore()

    def _paint_words(self, painter: QPainter) -> None:
        left, width, height = 0.54 * self.width(), 0.43 * self.width(), float(self.height())
        step = self.steps[self.at]
        top = self._say(painter, _side(self._case), (left, 0.04 * height, width), SIDE_SHARE)
        counted = f"Step {step.number} of {len(self.steps)}"
        top = self._say(painter, counted, (left, top + 0.03 * height, width), SMALL_SHARE * 1.5)
        top = self._say(painter, step.text, (left, top + 0.02 * height, width), TEXT_SHARE)
        for words in self._stops():
            top = self._say(painter, words, (left, top + 0.015 * height, width), SMALL_SHARE, STOP)
        if self.at + 1 < len(self.steps):
            then = f"Then: {self.steps[self.at + 1].text}"
            at = (left, max(top + 0.05 * height, 0.72 * height), width)
            self._say(painter, then, at, SMALL_SHARE, SOFT_INK)
        self._say(painter, HINT, (left, 0.94 * height, width), 0.02, SOFT_INK)

    def _stops(self) -> tuple[str, ...]:
        """Open stops about what is placed now; no more than there is room for, the rest counted."""
        found = stops_at(self.steps[self.at], self._findings)
        more = len(found) - MOST_STOPS
        told = tuple(f"\u25a0 Stop: {words}" for words in found[:MOST_STOPS])
        return (*told, f"\u25a0 and {more} more: see the sheet") if more > 0 else told

    def _say(
        self,
        painter: QPainter,
        words: str,
        at: tuple[float, float, float],
        share: float,
        colour: str = INK,
    ) -> float:
        """Wrapped words at (left, top) in a width; where they end below."""
        font = QFont(self.font())
        font.setPixelSize(max(int(share * self.height()), 8))
        font.setBold(share >= TEXT_SHARE)
        painter.setFont(font)
        painter.setPen(QColor(colour))
        left, top, width = at
        room = QRectF(left, top, width, self.height())
        used = painter.boundingRect(room, WRAP, words)
        painter.drawText(room, WRAP, words)
        return used.bottom()

    def _tell(self) -> None:
        """The step for who listens to the screen."""
        step = self.steps[self.at]
        words = " ".join((f"Step {step.number} of {len(self.steps)}: {step.text}", *self._stops()))
        self.setAccessibleName("Build order")
        self.setAccessibleDescription(words)


def _side(case: Case) -> str:
    """The side in large letters; of a pelvis, that both are meant."""
    return "BOTH SIDES" if case.side == "both" else case.side.upper()
