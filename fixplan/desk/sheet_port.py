"""The sheet seen through the window: fitted, zoomed, panned, brought to a thing of the case."""

import numpy as np
from PySide6.QtCore import QPoint, QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QPainter, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QGraphicsView, QWidget

from fixplan.desk.bench import Bench
from fixplan.desk.free_room import Boxes, drawn_boxes
from fixplan.desk.guard import guarded
from fixplan.desk.scrolling import fit_scale, fitting_mm, scrolled
from fixplan.desk.sheet_scene import SheetScene

ZOOM_STEP = 1.25
MOST_ZOOM = 40.0
LEAST_ZOOM = 0.3


class SheetPort(QGraphicsView):
    """A view of the sheet's scene; while nobody has zoomed, pages stay fitted at every size."""

    def __init__(self, bench: Bench, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._is_fitting = True
        self.setScene(SheetScene(bench))
        bench.sees_beyond = self._sees_beyond
        self.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.TextAntialiasing)
        self.setTransformationAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setResizeAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFrameShape(QGraphicsView.Shape.NoFrame)
        bench.drawn_changed.connect(self._show_marks)
        bench.selection.changed.connect(self._show_marks)

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

    def seen(self) -> tuple[QRect, Boxes] | None:
        """Where the window is on the screen, and the boxes of what is drawn in it, its own px."""
        if not self._bench.document.is_open or not self.isVisible():
            return None
        port = self.viewport()
        room = QRect(port.mapToGlobal(QPoint(0, 0)), port.size())
        origin = self.viewportTransform().map(QPointF(0.0, 0.0))
        boxes = drawn_boxes(self._bench.drawn)
        boxes[:, :4] = boxes[:, :4] * self.zoom + np.array([origin.x(), origin.y()] * 2)
        return room, boxes

    def _sheet_scene(self) -> SheetScene:
        scene = self.scene()
        if not isinstance(scene, SheetScene):
            raise TypeError("the sheet's view shows the sheet's scene")
        return scene

    def _sees_beyond(self, x_mm: float) -> bool:
        """Whether the window shows any place to the right of a scene coordinate."""
        return self.mapToScene(self.viewport().rect()).boundingRect().right() > x_mm

    def _show_marks(self) -> None:
        self.viewport().update()

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
    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the page fitted while nobody has zoomed."""
        super().resizeEvent(event)
        if self._is_fitting:
            self.fit()
