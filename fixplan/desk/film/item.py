"""One picture under the drawing of its view: over the schematic limb, under all that is planned."""

from math import hypot

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QImage, QPainter, QTransform
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from fixplan.case.film_records import Film
from fixplan.desk.drawn import DrawnSheet
from fixplan.desk.film.pyramid import Pyramid, tone_of
from fixplan.desk.guard import guarded, guarded_with
from fixplan.film.built import MIRROR
from fixplan.film.limits import first_shown
from fixplan.film.scaling import matrix_of

Array = npt.NDArray[np.float64]
QUICK_FORMAT = QImage.Format.Format_RGB32
"""Painting a turned or scaled part in this form takes a third of the time of grey."""
CORNERS = ((0.0, 0.0), (1.0, 0.0), (0.0, 1.0))


def laid(film: Film, drawn: DrawnSheet) -> tuple[QTransform, QRectF] | None:
    """Where a picture lies now; None where its view does not show it."""
    matrix = matrix_of(film)
    points = [tuple(matrix @ np.array((x, y, 1.0))) for x, y in CORNERS]
    turn = MIRROR[film.view] * (-1 if drawn.case.side == "left" else 1)
    if film.view == "section":
        frame = drawn.section
        if frame is None or frame.segment != film.segment or film.level_mm is None:
            return None
        if abs(frame.level_mm - film.level_mm) > first_shown().section_within_mm:
            return None
        at = [frame.point(turn * w, -z) for w, z in points]
        return _transform(at), QRectF(*map(float, frame.inner))
    if film.segment not in drawn.limb.segments:
        return None
    view = drawn.view_frame(film.view)
    at = drawn.at_in(view, film.segment, [(turn * w, z) for w, z in points])
    return _transform(at), QRectF(*map(float, view.box))


def _transform(at: list[tuple[float, float]]) -> QTransform:
    (x0, y0), (x1, y1), (x2, y2) = at
    return QTransform(x1 - x0, y1 - y0, x2 - x0, y2 - y0, x0, y0)


class FilmItem(QGraphicsItem):
    """Paints a picture through its pyramid, cut to its view."""

    def __init__(self, film: Film, image: QImage) -> None:
        super().__init__()
        self.film = film
        self.pyramid = Pyramid(image)
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemUsesExtendedStyleOption)
        self._to_scene = QTransform()
        self._box = QRectF()
        self._is_whole = False

    def show_whole(self, is_whole: bool) -> None:
        """Show all of the picture, or the part that lies in its view."""
        if is_whole != self._is_whole:
            self.prepareGeometryChange()
            self._is_whole = is_whole
            self.update()

    def show_film(self, film: Film, drawn: DrawnSheet, *, is_away: bool = False) -> None:
        """Bring the item up to what the case says of its picture; `is_away`: all are put away."""
        self.film = film
        self.pyramid.set_tone(tone_of(film))
        found = laid(film, drawn)
        self.prepareGeometryChange()
        self.setVisible(found is not None and not film.is_hidden and not is_away)
        if found is not None:
            self._to_scene, self._box = found
        self.setOpacity(film.opacity)
        self.update()

    @property
    def to_pixels(self) -> QTransform:
        """The way from the scene to the picture's pixels, as it lies now."""
        return self._to_scene.inverted()[0]

    def pixel_at(self, at: tuple[float, float]) -> tuple[float, float]:
        """The pixel under a scene point."""
        found = self.to_pixels.map(QPointF(*at))
        return (found.x(), found.y())

    def _shown_box(self) -> QRectF:
        if not self._is_whole:
            return self._box
        size = self.pyramid.image.size()
        return self._to_scene.mapRect(QRectF(0, 0, size.width(), size.height()))

    @guarded_with(QRectF())
    def boundingRect(self) -> QRectF:
        """The box of its view, or of the whole picture."""
        return self._shown_box()

    @guarded
    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,
        widget: QWidget | None = None,  # noqa: ARG002 (Qt's signature)
    ) -> None:
        """The part that is to be painted, from the half that suits the zoom."""
        exposed = option.exposedRect.intersected(self._shown_box())
        if not exposed.isEmpty():
            painter.setClipRect(exposed)
            paint_part(painter, self.pyramid, self._to_scene, exposed)


def paint_part(painter: QPainter, pyramid: Pyramid, to_scene: QTransform, exposed: QRectF) -> None:
    """Paint what of a picture lies in a box of the scene, from the half that suits the zoom."""
    painter.setTransform(to_scene, True)
    painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
    screen = painter.deviceTransform()
    image = pyramid.at(pyramid.level_for(hypot(screen.m11(), screen.m12())))
    whole = pyramid.image
    to_level = QTransform.fromScale(image.width() / whole.width(), image.height() / whole.height())
    to_pixels = to_scene.inverted()[0]
    seen = to_level.mapRect(to_pixels.mapRect(exposed)).toAlignedRect()
    part = seen.adjusted(-1, -1, 1, 1).intersected(image.rect())
    if part.isEmpty():
        return
    target = to_level.inverted()[0].mapRect(QRectF(part))
    painter.drawImage(target, image.copy(part).convertToFormat(QUICK_FORMAT))
