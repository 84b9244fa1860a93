"""The tool in hand on the sheet, the places it is given, and its keys."""

from collections.abc import Callable

from PySide6.QtCore import QPoint, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from fixplan.desk.bench import Bench
from fixplan.desk.drawn import GRAB_PX, Place
from fixplan.desk.sheet_port import SheetPort
from fixplan.desk.tools.base import Tool
from fixplan.sheet.shapes import Point

REFUSED_PX = 60
"""How far the mouse may go before what was refused is no longer told."""
PAN_PX = 60

Attempt = Callable[[Callable[[], None]], bool]

ARROWS: dict[int, tuple[int, int]] = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}


class SheetHold(SheetPort):
    """What works on the sheet, whether by mouse or by keyboard.

    `card_asked`: Enter on what is selected.
    """

    card_asked = Signal()

    def __init__(self, bench: Bench, attempt: Attempt, parent: QWidget | None = None) -> None:
        super().__init__(bench, parent)
        self._attempt = attempt
        self._tool = Tool(bench)
        self._caret: Point | None = None
        self._panned_from: QPoint | None = None
        self._is_pressed = False
        self._refusal = ""
        self._mouse_px = QPointF()
        self._refused_px: QPointF | None = None

    @property
    def tool(self) -> Tool:
        """The tool in hand."""
        return self._tool

    def take(self, tool: Tool) -> None:
        """Take another tool in hand; what the last one was doing is dropped."""
        self._tool.cancel()
        self._tool = tool
        self._is_pressed = False
        if not tool.has_caret:
            self._caret = None
        self.viewport().setCursor(
            Qt.CursorShape.CrossCursor if tool.has_caret else Qt.CursorShape.ArrowCursor
        )
        self._show_marks()

    def let_go(self) -> None:
        """Drop what the tool holds; a further move of the mouse then does nothing."""
        self._is_pressed = False
        self._panned_from = None
        self._tool.cancel()

    @property
    def is_pressed(self) -> bool:
        """Whether the tool is at work under a button that is held down."""
        return self._is_pressed

    @property
    def caret(self) -> Point | None:
        """The keyboard's place on the sheet, in scene mm, once a key has moved it."""
        return self._caret

    def put_caret(self, at: Point) -> None:
        """Put the keyboard's place somewhere on the sheet."""
        self._caret = at
        self.ensureVisible(QRectF(at[0] - 2, at[1] - 2, 4, 4), 20, 20)
        self._tool.hover(self._place_of(at))
        self._show_marks()

    def place_at(self, screen_px: QPointF, keys: Qt.KeyboardModifier) -> Place:
        """What lies under a point of the viewport."""
        scene_pos = self.mapToScene(screen_px.toPoint())
        return self._place_of((scene_pos.x(), scene_pos.y()), keys)

    def _place_of(
        self, at: Point, keys: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier
    ) -> Place:
        return self._bench.drawn.place(
            at,
            GRAB_PX / self.zoom,
            is_shifted=bool(keys & Qt.KeyboardModifier.ShiftModifier),
            is_free=bool(keys & Qt.KeyboardModifier.AltModifier),
        )

    @property
    def refusal(self) -> str:
        """Why the last edit could not be made; empty after one that could."""
        return self._refusal

    def show_refusal(self, sentence: str) -> None:
        """Say where it was tried why an edit cannot be made, until the next step or a way off."""
        self._refusal, self._refused_px = sentence, self._hand_px()
        self._show_marks()

    def drop_refusal(self) -> None:
        """Say it no longer."""
        self._refusal, self._refused_px = "", None
        self._show_marks()

    def _hand_px(self) -> QPointF:
        """Where the hand is, in the viewport: the caret while that has the keys, or the mouse."""
        if self._caret is not None and self.hasFocus():
            return QPointF(self.mapFromScene(QPointF(*self._caret)))
        return self._mouse_px

    def _do(self, work: Callable[[], None], *, is_hover: bool = False) -> None:
        """Run a step of the tool; an edit that cannot be made is told where it was tried."""
        told, at = self._refusal, self._refused_px
        self._refusal, self._refused_px = "", None
        self._attempt(work)
        stays = is_hover and at is not None and not self._refusal
        if stays and at is not None and (self._hand_px() - at).manhattanLength() < REFUSED_PX:
            self._refusal, self._refused_px = told, at
        self._show_marks()

    def pan_by(self, dx_px: float, dy_px: float) -> None:
        """Move the sheet under the window by screen pixels; words at the cursor stay there."""
        super().pan_by(dx_px, dy_px)
        if self._refusal or self._tool.marks().words:
            self._show_marks()

    # Keys

    def _key(self, event: QKeyEvent) -> bool:
        """Whether the canvas had a use for a key."""
        keys = event.modifiers()
        if event.key() in ARROWS:
            return self._arrow(*ARROWS[event.key()], keys)
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            return self._finish_or_click()
        if event.key() == Qt.Key.Key_Backspace:
            return self._tool.step_back()
        if event.key() == Qt.Key.Key_Escape:
            return self._escape()
        if event.key() in (Qt.Key.Key_Tab, Qt.Key.Key_Backtab):
            return self._next_thing(-1 if event.key() == Qt.Key.Key_Backtab else 1)
        return False

    def _arrow(self, right: int, down: int, keys: Qt.KeyboardModifier) -> bool:
        if keys & Qt.KeyboardModifier.ControlModifier:
            self.pan_by(-right * PAN_PX, -down * PAN_PX)
            return True
        step_mm = 5.0 if keys & Qt.KeyboardModifier.ShiftModifier else 1.0
        is_for_caret = self._caret is not None and not self._tool.takes_arrows
        if not is_for_caret and self._tool.nudge(right, down, step_mm):
            return True
        if self._tool.has_caret:
            self._move_caret(right * step_mm, down * step_mm)
        else:
            self.pan_by(-right * PAN_PX, -down * PAN_PX)
        return True

    def _move_caret(self, right_mm: float, down_mm: float) -> None:
        """Move the caret by millimetres of the limb."""
        frame = self._bench.drawn.views[0]
        x, y = self._caret or (
            frame.box.x + 0.5 * frame.box.width,
            frame.box.y + 0.5 * frame.box.height,
        )
        self.put_caret((x + frame.scale * right_mm, y + frame.scale * down_mm))

    def _finish_or_click(self) -> bool:
        if self._tool.finish() or self._click_at_caret():
            return True
        if self._bench.selection.subject is not None:
            self.card_asked.emit()
        return True

    def _click_at_caret(self) -> bool:
        if self._caret is None:
            return False
        place = self._place_of(self._caret)
        self._tool.press(place)
        self._tool.release(place)
        return True

    def _escape(self) -> bool:
        if not self._tool.cancel() and not self._tool.leave():
            self._bench.selection.select(None)
        self._is_pressed = False
        return True

    def _next_thing(self, step: int) -> bool:
        """Select the next thing of the case, in the order of thought; False past the last."""
        ids = self._bench.drawn.subject_ids
        at = self._bench.selection.subject
        position = ids.index(at) + step if at in ids else (0 if step > 0 else len(ids) - 1)
        if not 0 <= position < len(ids):
            self._bench.selection.select(None)
            return False
        self._bench.selection.select(ids[position])
        self.centre_on_subject(ids[position])
        return True
