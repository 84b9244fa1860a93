"""The sheet as canvas: painted with what the tool marks, and worked on by mouse and keys."""

from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, QRectF, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
)
from PySide6.QtWidgets import QWidget

from fixplan.desk.bench import Bench
from fixplan.desk.drawn import Place
from fixplan.desk.guard import guarded, guarded_with
from fixplan.desk.overlay import paint_caret, paint_marks, paint_selection, paint_words
from fixplan.desk.scrolling import exposed_boxes
from fixplan.desk.sheet_hold import Attempt, SheetHold
from fixplan.sheet.shapes import Point


class SheetView(SheetHold):
    """The window onto the sheet. `hovered` gives the place under the mouse."""

    hovered = Signal(object)
    context_asked = Signal(object, QPoint)

    def __init__(self, bench: Bench, attempt: Attempt, parent: QWidget | None = None) -> None:
        super().__init__(bench, attempt, parent)
        self._space_is_down = False
        self.setMouseTracking(True)
        self.setAccessibleName("Sheet")
        self.setAccessibleDescription("The drawing; Space clicks at the caret, arrow keys move it")

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
            at = self._refused_px if self._refusal else self._words_at(marks.words_at)
            paint_words(painter, words, at or self._hand_px(), self.viewport().rect(), self.font())
        if self._caret is not None and self.hasFocus():
            paint_caret(painter, self._caret, px)

    def _words_at(self, kept: Point | None) -> QPointF:
        """Where words go, in the viewport: where they are kept, else at the hand."""
        if kept is not None:
            return QPointF(self.mapFromScene(QPointF(*kept)))
        return self._hand_px()

    @guarded
    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Left: the tool; middle, or Space and left: pan."""
        self._mouse_px = event.position()
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
        self._mouse_px = event.position()
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
        self._do(
            lambda: self._tool.drag(place) if drags else self._tool.hover(place),
            is_hover=not drags,
        )

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
    def leaveEvent(self, event: QEvent) -> None:
        """Words at the mouse do not stay behind when it goes elsewhere."""
        self.drop_refusal()
        super().leaveEvent(event)

    @guarded
    def focusOutEvent(self, event: QFocusEvent) -> None:
        """A pan key that is let go elsewhere must not stay down."""
        self._space_is_down = False
        super().focusOutEvent(event)
