"""One step of the build order at a time, over the whole screen; the next by one key."""

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.desk.guard import guarded
from fixplan.desk.theatre_words import Paragraph, paint_paragraphs
from fixplan.errors import EditError
from fixplan.notes.step_figures import figure_lines
from fixplan.notes.steps import PICTURE, barred_at, step_shapes, steps_of, stops_at
from fixplan.sheet.ink import SEVERITY_INK, SOFT_INK
from fixplan.sheet.paint import paint_shapes

NEXT = (Qt.Key.Key_Space, Qt.Key.Key_Right, Qt.Key.Key_Down, Qt.Key.Key_PageDown, Qt.Key.Key_Return)
BACK = (Qt.Key.Key_Backspace, Qt.Key.Key_Left, Qt.Key.Key_Up, Qt.Key.Key_PageUp)
MOST_STOPS = 3
STOP = SEVERITY_INK["stop"]
HINT = "Space: next    Backspace: back    Esc: leave"
TEXT_SHARE, SIDE_SHARE, FIGURE_SHARE, SMALL_SHARE = 0.062, 0.11, 0.042, 0.026
"""Heights of letters as shares of the screen's height, where there is room for them."""


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
        height, step = float(self.height()), self.steps[self.at]
        counted = f"Step {step.number} of {len(self.steps)}"
        head = (
            Paragraph(_side(self._case), SIDE_SHARE, bold=True),
            Paragraph(counted, SMALL_SHARE * 1.5),
        )
        top = self._say(painter, 0.02 * height, 0.24 * height, head)
        self._say(painter, top, 0.83 * height, self._body())
        if self.at + 1 < len(self.steps):
            then = Paragraph(f"Then: {self.steps[self.at + 1].text}", SMALL_SHARE, SOFT_INK)
            self._say(painter, 0.84 * height, 0.93 * height, (then,))
        hint = Paragraph(HINT, 0.02, SOFT_INK)
        self._say(painter, 0.94 * height, height, (hint,))

    def _body(self) -> list[Paragraph]:
        """The step, what bars it and why, and the figures of what it puts on."""
        step = self.steps[self.at]
        barred = barred_at(self._case, self._findings, self.at)
        return [
            Paragraph(step.text, TEXT_SHARE, bold=True),
            *(Paragraph(one, TEXT_SHARE, STOP, bold=True, is_stop=True) for one in barred),
            *(Paragraph(one, SMALL_SHARE, STOP) for one in self._reasons()),
            *(Paragraph(one, FIGURE_SHARE, gap=0.02) for one in self._figures()),
        ]

    def _figures(self) -> tuple[str, ...]:
        return figure_lines(self._case, self.steps[self.at].puts_on)

    def _reasons(self) -> tuple[str, ...]:
        """Open stops that bar the step; no more than there is room for, the rest counted."""
        found = stops_at(self._case, self._findings, self.at)
        more = len(found) - MOST_STOPS
        return (*found[:MOST_STOPS], f"and {more} more: see the sheet") if more > 0 else found

    def _say(
        self, painter: QPainter, top: float, bottom: float, told: Sequence[Paragraph]
    ) -> float:
        """Paragraphs on the right, between two heights (pixels); where they end below."""
        room = QRectF(0.54 * self.width(), top, 0.43 * self.width(), bottom - top)
        return paint_paragraphs(painter, self.font(), room, float(self.height()), told)

    def _tell(self) -> None:
        """The step for who listens to the screen."""
        step = self.steps[self.at]
        told = (
            f"Step {step.number} of {len(self.steps)}: {step.text}",
            *barred_at(self._case, self._findings, self.at),
            *self._reasons(),
            *self._figures(),
        )
        words = ". ".join(told)
        self.setAccessibleName("Build order")
        self.setAccessibleDescription(words)


def _side(case: Case) -> str:
    """The side in large letters; of a pelvis, that both are meant."""
    return "BOTH SIDES" if case.side == "both" else case.side.upper()
