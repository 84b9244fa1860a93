"""The sheet as canvas: a view of its scene with zoom, pan and a caret.

All tools get their places from here, whether by mouse or by keyboard.
"""

from collections.abc import Callable

import numpy as np
from PySide6.QtCore import QPoint, QPointF, QRect, QRectF, Qt, Signal
from PySide6.QtGui import (
    QCursor,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QGraphicsView, QWidget

from fixplan.desk.bench import Bench
from fixplan.desk.drawn import Place
from fixplan.desk.guard import guarded, guarded_with
from fixplan.desk.overlay import paint_caret, paint_marks, paint_selection, paint_words
from fixplan.desk.scrolling import exposed_boxes, fit_scale, fitting_mm, scrolled
from fixplan.desk.sheet_scene import SheetScene
from fixplan.desk.tools.base import Tool
from fixplan.sheet.shapes import Point

GRAB_PX = 8.0
ZOOM_STEP = 1.25
MOST_ZOOM = 40.0
LEAST_ZOOM = 0.3
PAN_PX = 60

Attempt = Callable[[Callable[[], None]], bool]

ARROWS: dict[int, tuple[int, int]] = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}


class SheetView(QGraphicsView):
    """The window onto the sheet.

    `hovered` gives the place under the mouse or the caret; `card_asked`: Enter on what is selected.
    """

    hovered = Signal(object)
    card_asked = Signal()
    context_asked = Signal(object, QPoint)

    def __init__(self, bench: Bench, attempt: Attempt, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._attempt = attempt
        self._tool = Tool(bench)
        self._caret: Point | None = None
        self._panned_from: QPoint | None = None
        self._space_is_down = False
        self._is_fitting = True
        self._is_pressed = False
        self._refusal = ""
        self.setScene(SheetScene(bench))
        bench.sees_beyond = self._sees_beyond
        self.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.TextAntialiasing)
        self.setTransformationAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setResizeAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFrameShape(QGraphicsView.Shape.NoFrame)
        self.setMouseTracking(True)
        self.setAccessibleName("Sheet")
        self.setAccessibleDescription("The drawing; Space clicks at the caret, arrow keys move it")
        bench.drawn_changed.connect(self._show_marks)
        bench.selection.changed.connect(self._show_marks)

    # Tool

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

    def _sees_beyond(self, x_mm: float) -> bool:
        """Whether the window shows any place to the right of a scene coordinate."""
        return self.mapToScene(self.viewport().rect()).boundingRect().right() > x_mm

    # Zoom and pan

    @property
    def zoom(self) -> float:
        """Screen pixels per page millimetre."""
        return self.transform().m11()

    def fit(self) -> None:
        """Show whole pages, as many as read nearly as well as one; fitted at every size."""
        self._is_fitting = True
        if not self._bench.document.is_open:
            return
        self.fitInView(
            fitting_mm(self._bench.drawn, self.viewport()), Qt.AspectRatioMode.KeepAspectRatio
        )
        self._sheet_scene().suit_zoom(self.zoom)
        self._show_marks()

    def fit_drawing(self) -> None:
        """Show both views as large as they go."""
        if not self._bench.document.is_open:
            return
        self._is_fitting = False
        around = QRectF()
        for frame in self._bench.drawn.views:
            around = around.united(QRectF(*map(float, frame.box)))
        self.fitInView(around, Qt.AspectRatioMode.KeepAspectRatio)
        self._sheet_scene().suit_zoom(self.zoom)
        self._show_marks()

    def zoom_by(self, factor: float, at_px: QPointF | None = None) -> None:
        """Zoom, keeping the point under the cursor (or the middle) where it is."""
        self._is_fitting = False
        target = min(MOST_ZOOM, max(LEAST_ZOOM, self.zoom * factor))
        anchor = at_px or QPointF(self.viewport().rect().center())
        before = self.mapToScene(anchor.toPoint())
        self.scale(target / self.zoom, target / self.zoom)
        after = self.mapToScene(anchor.toPoint())
        self.translate(after.x() - before.x(), after.y() - before.y())
        self._sheet_scene().suit_zoom(self.zoom)
        self._show_marks()

    def pan_by(self, dx_px: float, dy_px: float) -> None:
        """Move the sheet under the window by screen pixels."""
        self._is_fitting = False
        left, top = scrolled(self, dx_px, dy_px)
        if abs(left) >= 1 or abs(top) >= 1:
            self.translate(left / self.zoom, top / self.zoom)
        if self._refusal or self._tool.marks().words:
            self._show_marks()

    def show_whole_limb(self, is_on: bool) -> None:
        """Show the whole limb, or the part that is printed.

        Unless the page is fitted, or would become smaller than that, what is in the middle of the
        window keeps its place and size.
        """
        bench = self._bench
        if self._is_fitting or not bench.document.is_open:
            bench.show_whole_limb(is_on)
            return
        middle = self.viewport().rect().center()
        at = self.mapToScene(middle)
        before = bench.drawn.place((at.x(), at.y()), 0.0).frame or bench.drawn.views[0]
        uv = np.array([before.from_page(at.x(), at.y())])
        bench.show_whole_limb(is_on)
        after = bench.drawn.view_frame(before.view)
        factor = before.scale / after.scale
        if self.zoom * factor <= fit_scale(
            fitting_mm(self._bench.drawn, self.viewport()), self.viewport()
        ):
            self.fit()
            return
        self.scale(factor, factor)
        self.centerOn(QPointF(*after.to_page(uv)[0]))
        self._show_marks()

    def centre_on_subject(self, subject: str) -> None:
        """Bring a thing of the case into the middle, unless all of the page is in view."""
        found = [
            item
            for owner in self._bench.drawn.owners_of(subject)
            if (item := self._sheet_scene().shapes_item(owner)) is not None
        ]
        if not found:
            return
        around = QRectF()
        for item in found:
            around = around.united(item.sceneBoundingRect())
        if self._is_fitting:
            self.ensureVisible(around, 20, 20)
        else:
            self.centerOn(around.center())
        self._show_marks()

    def _sheet_scene(self) -> SheetScene:
        scene = self.scene()
        if not isinstance(scene, SheetScene):
            raise TypeError("the sheet's view shows the sheet's scene")
        return scene

    def _place_of(
        self, at: Point, keys: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier
    ) -> Place:
        return self._bench.drawn.place(
            at,
            GRAB_PX / self.zoom,
            is_shifted=bool(keys & Qt.KeyboardModifier.ShiftModifier),
            is_free=bool(keys & Qt.KeyboardModifier.AltModifier),
        )

    def _show_marks(self) -> None:
        self.viewport().update()

    @property
    def refusal(self) -> str:
        """Why the last edit could not be made; empty after one that could."""
        return self._refusal

    def show_refusal(self, sentence: str) -> None:
        """Say at the cursor why an edit cannot be made, until the next step that can."""
        self._refusal = sentence
        self._show_marks()

    def _do(self, work: Callable[[], None]) -> None:
        """Run a step of the tool; an edit that cannot be made is told at the cursor."""
        self._refusal = ""
        self._attempt(work)
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

    # Qt's own

    @guarded
    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint what is exposed; the scene is told which boxes that are."""
        scene = self._sheet_scene()
        scene.exposed = exposed_boxes(self, event.region())
        try:
            super().paintEvent(event)
        finally:
            scene.exposed = None

    @guarded
    def drawForeground(self, painter: QPainter, rect: QRectF | QRect) -> None:  # noqa: ARG002
        """Selection, handles and the caret, over the sheet; none of it is ever printed."""
        if not self._bench.document.is_open:
            return
        drawn = self._bench.drawn
        subject = self._bench.selection.subject
        px = 1.0 / self.zoom
        if subject is not None:
            paint_selection(painter, drawn.shapes_of(subject), px)
        marks = self._tool.marks()
        paint_marks(painter, marks, px)
        words = self._refusal or marks.words
        if words:
            at = self._words_at(None if self._refusal else marks.words_at)
            paint_words(painter, words, at, self.viewport().rect(), self.font())
        if self._caret is not None and self.hasFocus():
            paint_caret(painter, self._caret, px)

    def _words_at(self, kept: Point | None) -> QPointF:
        """Where words go, in the viewport: where they are kept, else at the cursor."""
        if kept is not None:
            return QPointF(self.mapFromScene(QPointF(*kept)))
        if self._caret is not None and self.hasFocus():
            return QPointF(self.mapFromScene(QPointF(*self._caret)))
        return QPointF(self.viewport().mapFromGlobal(QCursor.pos()))

    @guarded
    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Left: the tool; middle, or Space and left: pan."""
        pans = event.button() == Qt.MouseButton.MiddleButton or self._space_is_down
        if pans:
            self._panned_from = event.position().toPoint()
            self.viewport().setCursor(Qt.CursorShape.ClosedHandCursor)
        elif event.button() == Qt.MouseButton.LeftButton and self._bench.document.is_open:
            self._is_pressed, self._caret = True, None
            place = self.place_at(event.position(), event.modifiers())
            self._do(lambda: self._tool.press(place))
        elif event.button() == Qt.MouseButton.RightButton and self._bench.document.is_open:
            place = self.place_at(event.position(), event.modifiers())
            self.context_asked.emit(place, event.globalPosition().toPoint())

    @guarded
    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Pan, drag, or hover."""
        if self._panned_from is not None:
            at = event.position().toPoint()
            step = at - self._panned_from
            self._panned_from = at
            self.pan_by(step.x(), step.y())
            return
        if not self._bench.document.is_open:
            return
        place = self.place_at(event.position(), event.modifiers())
        self.hovered.emit(place)
        drags = self._is_pressed
        self._do(lambda: self._tool.drag(place) if drags else self._tool.hover(place))

    @guarded
    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """End a pan, or let go of what the tool holds."""
        if self._panned_from is not None:
            self._panned_from = None
            self.take_cursor_back()
            return
        if event.button() == Qt.MouseButton.LeftButton and self._is_pressed:
            self._is_pressed = False
            place = self.place_at(event.position(), event.modifiers())
            self._do(lambda: self._tool.release(place))

    @guarded
    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Bring what the tool does to an end."""
        if event.button() == Qt.MouseButton.LeftButton and self._bench.document.is_open:
            place = self.place_at(event.position(), event.modifiers())
            self._do(lambda: self._double(place))

    def _double(self, place: Place) -> None:
        if not self._tool.double(place):
            self._is_pressed = True
            self._tool.press(place)

    def take_cursor_back(self) -> None:
        """Show the tool's own cursor again after a pan."""
        shape = Qt.CursorShape.CrossCursor if self._tool.has_caret else Qt.CursorShape.ArrowCursor
        self.viewport().setCursor(shape)

    @guarded
    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom at the cursor; with Shift or sideways, pan."""
        turn = event.angleDelta()
        if event.modifiers() & Qt.KeyboardModifier.ShiftModifier or turn.x():
            self.pan_by(turn.x() or turn.y(), 0)
        else:
            self.zoom_by(ZOOM_STEP ** (turn.y() / 120.0), event.position())
        event.accept()

    @guarded
    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The tool's keys, then the canvas's own."""
        if event.key() == Qt.Key.Key_Space:
            self._space_is_down = not event.isAutoRepeat() or self._space_is_down
            return
        used = False

        def work() -> None:
            nonlocal used
            used = True
            used = self._bench.document.is_open and self._key(event)

        self._do(work)
        if not used:
            event.ignore()

    @guarded
    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """Space alone clicks at the caret; Space with a drag was a pan."""
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            alone = self._space_is_down and self._panned_from is None
            self._space_is_down = False
            if alone and self._bench.document.is_open:
                self._do(self._click_unless_none)
            return
        super().keyReleaseEvent(event)

    def _click_unless_none(self) -> None:
        self._click_at_caret()

    @guarded_with(False)
    def focusNextPrevChild(self, next: bool) -> bool:  # noqa: A002 (Qt's name)
        """Without a drawing tool, Tab goes through the things on the sheet before it leaves it."""
        selects = self._bench.document.is_open and not self._tool.has_caret
        if selects and self._next_thing(1 if next else -1):
            return True
        return super().focusNextPrevChild(next)

    @guarded
    def focusOutEvent(self, event: QFocusEvent) -> None:
        """A pan key that is let go elsewhere must not stay down."""
        self._space_is_down = False
        super().focusOutEvent(event)

    @guarded
    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the page fitted while nobody has zoomed."""
        super().resizeEvent(event)
        if self._is_fitting:
            self.fit()
