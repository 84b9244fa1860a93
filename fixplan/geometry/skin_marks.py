"""Marks on the skin (D7): wounds, skin lines, incisions, and how punctures stand to them.

A mark is drawn in one view on one of its faces; what it marks is the patch of skin that is seen
there inside its outline or its band. It lies on the skin itself: near the edge of a view a little
way on paper is a long way round the limb, so gaps are measured in space between points of the skin.
What is drawn beyond the edge lies on it. In a view from above, where the skin is known in rings
alone, a mark is met by x and y.
"""

import math
from collections.abc import Sequence
from functools import lru_cache

import msgspec
import numpy as np
import shapely
from numpy.typing import NDArray

from fixplan.case.records import Incision, Wound
from fixplan.errors import GeometryError
from fixplan.geometry.clear_surface import following
from fixplan.geometry.lines import crossings
from fixplan.geometry.paths import PinPath
from fixplan.geometry.validity import checked_polygon
from fixplan.limb.anatomy import Limb

Array = NDArray[np.float64]
Mark = Wound | Incision
Points = tuple[tuple[float, float], ...]

STEP_MM = 5.0
"""How far apart, at most, the points of a mark are laid on the skin."""
RING_STEP_MM = 2.0
"""They are laid on the skin of the nearest such level, some 0.3 mm off at most."""

_EDGE = 1e-9


class SkinGap(msgspec.Struct, frozen=True):
    """How a pin's punctures stand to a mark.

    `on_face`: the pin has a puncture on the mark's face, or in the mark across that face's edge.
    `gap_mm` is from the nearest puncture's edge, 0 where it meets the mark, infinite where there is
    nothing to measure. `inside`: the puncture's middle lies in the mark.
    """

    on_face: bool
    gap_mm: float
    inside: bool

    @property
    def is_hit(self) -> bool:
        """Whether a puncture lies in the mark, or nearer to it than the pin's radius."""
        return self.on_face and self.gap_mm <= 0


def skin_hit(path: PinPath, mark: Mark) -> SkinGap:
    """How a pin's punctures stand to a wound, a skin line or an incision in the pin's segment.

    A puncture at the very edge of the view lies on both faces, and so does every puncture in a view
    from above.

    Raises:
        GeometryError: the mark has neither an outline nor a line that can be used.
    """
    from_above = mark.view == "front" and path.from_above
    across, v = _view_axes(mark, from_above=from_above)
    drawn = _shape(mark)
    on_face = [
        point
        for point in path.punctures_mm
        if from_above or mark.face in _faces(path, point, 1 - across)
    ]
    away = [_in_view_mm(drawn, point, across, v) for point in on_face]
    if len(mark_on_skin(path.limb, mark)):
        away = [one for one in away if one <= 0]
        away += [_on_skin_mm(path.limb, mark, point) for point in path.punctures_mm]
    least_mm = min(away, default=math.inf)
    gap_mm = max(least_mm - path.radius_mm, 0.0)
    if not on_face and gap_mm > 0:
        return SkinGap(on_face=False, gap_mm=math.inf, inside=False)
    return SkinGap(on_face=True, gap_mm=gap_mm, inside=least_mm <= 0)


def mark_on_skin(limb: Limb, mark: Mark) -> Array:
    """The line or outline of a mark as it lies on the skin: (n, 3) of (x, y, level), mm.

    An outline ends where it began. Empty in a view from above, and where no skin is known.

    Raises:
        GeometryError: as `skin_hit`.
    """
    return _laid(limb, mark)[0]


def faces_viewer(limb: Limb, segment: str, point: Array, depth_axis: int) -> bool:
    """Whether a point of the skin is seen from the side to which `depth_axis` (0 x, 1 y) grows."""
    ring = limb.skin(segment, float(point[2]))
    if ring is None:
        return bool(point[depth_axis] >= 0)
    found = crossings(ring, point[:2], _toward(depth_axis))
    return not len(found) or is_outer(found)


def is_outer(found: Array) -> bool:
    """Whether a point lies before the middle of a limb's skin, from its crossings ahead."""
    return bool(found[0] + found[-1] <= _EDGE)


def _view_axes(mark: Mark, *, from_above: bool) -> tuple[int, int]:
    """The axes of a segment's frame that a mark's view has as u and v."""
    if mark.view == "side":
        return 1, 2
    return 0, 1 if from_above else 2


def _in_view_mm(drawn: shapely.Geometry, point: Array, u: int, v: int) -> float:
    return float(shapely.distance(drawn, shapely.Point(float(point[u]), float(point[v]))))


@lru_cache(maxsize=256)
def _shape(mark: Mark) -> shapely.Geometry:
    """What a mark covers in its view: its outline, or its line with its half-width."""
    if isinstance(mark, Wound) and mark.outline:
        return checked_polygon(mark.outline)
    if len(set(mark.line)) < 2:
        raise GeometryError("A mark on the skin has no outline and no line: draw one of them.")
    line = shapely.LineString(mark.line)
    return line.buffer(mark.half_width_mm) if mark.half_width_mm > 0 else line


def _on_skin_mm(limb: Limb, mark: Mark, point: Array) -> float:
    """From a point of the skin to a mark's line less its half-width, and to its edge, mm."""
    line, edge = _laid(limb, mark)
    half_mm = mark.half_width_mm if mark.line else 0.0
    return min(_to_line_mm(line, point) - half_mm, _to_line_mm(edge, point))


def _to_line_mm(line: Array, point: Array) -> float:
    """Least distance from a point to a line of points in space, mm; infinite to no line."""
    if len(line) < 2:
        return math.inf
    starts, way = line[:-1], np.diff(line, axis=0)
    squared = np.maximum((way**2).sum(axis=1), _EDGE)
    share = np.clip(((point - starts) * way).sum(axis=1) / squared, 0.0, 1.0)
    off = starts + share[:, None] * way - point
    return float(np.sqrt((off**2).sum(axis=1).min()))


@lru_cache(maxsize=256)
def _laid(limb: Limb, mark: Mark) -> tuple[Array, Array]:
    """A mark's line (or outline) and the edge of what it covers, both laid on the skin."""
    drawn = _shape(mark)
    outline = mark.outline if isinstance(mark, Wound) else ()
    line: Sequence[tuple[float, float]] = (*outline, outline[0]) if outline else mark.line
    own = _on_ring(limb, mark, shapely.LineString(line))
    edge = drawn.exterior if isinstance(drawn, shapely.Polygon) else drawn
    return own, own if outline or edge is drawn else _on_ring(limb, mark, edge)


def _on_ring(limb: Limb, mark: Mark, line: shapely.Geometry) -> Array:
    """Points of a line of a mark's view, laid on the mark's face of the skin."""
    segment = limb.segments.get(mark.segment)
    if segment is None or (mark.view == "front" and segment.front_shows == "forward"):
        return np.empty((0, 3))
    across = 1 if mark.view == "side" else 0
    points = shapely.get_coordinates(shapely.segmentize(line, STEP_MM))
    numbers = np.round(points[:, 1] / RING_STEP_MM)
    laid = np.full((len(points), 3), np.nan)
    for number in sorted(set(numbers.tolist())):
        some = np.flatnonzero(numbers == number)
        laid[some] = _skin_points(limb, mark, across, points[some], RING_STEP_MM * number)
    return np.asarray(laid[~np.isnan(laid[:, 0])])


def _skin_points(limb: Limb, mark: Mark, across: int, points: Array, ring_mm: float) -> Array:
    """The points of the skin that a face shows at some (u, level), by the ring that is nearest.

    Where no ring is, each by the one at its own level; not a number where there is none either.
    """
    ring = limb.skin(mark.segment, ring_mm)
    if ring is not None:
        return np.column_stack((_on_face(ring, across, points[:, 0], mark.face), points[:, 1]))
    laid = np.full((len(points), 3), np.nan)
    for at, (u, level) in enumerate(points.tolist()):
        own = limb.skin(mark.segment, level)
        if own is not None:
            laid[at] = *_on_face(own, across, np.array((u,)), mark.face)[0], level
    return laid


def _on_face(ring: Array, across: int, us: Array, face: str) -> Array:
    """The points of a ring that a face shows at each u, (n, 2); beyond the edge, the edge itself.

    The crossing that lies nearest to the viewer, or farthest off.
    """
    side, deep = ring[:, across], ring[:, 1 - across]
    next_side, next_deep = following(side), following(deep)
    past = np.less if across == 0 else np.greater
    row, column = np.nonzero(past(side[:, None], us) != past(next_side[:, None], us))
    off, off_end = side[row] - us[column], next_side[row] - us[column]
    at = deep[row] + off / (off - off_end) * (next_deep[row] - deep[row])
    found = np.empty((len(us), 2))
    found[:, across] = us
    sign = 1.0 if face == "near" else -1.0
    nearest = np.full(len(us), -np.inf)
    np.maximum.at(nearest, column, sign * at)
    found[:, 1 - across] = sign * nearest
    found[us <= side.min()] = ring[side.argmin()]
    found[us >= side.max()] = ring[side.argmax()]
    return found


def _toward(depth_axis: int) -> Array:
    return np.array((0.0, 1.0)) if depth_axis == 1 else np.array((1.0, 0.0))


def _faces(path: PinPath, puncture: Array, depth_axis: int) -> tuple[str, ...]:
    """The faces of a view that show a puncture; depth runs toward the viewer along `depth_axis`."""
    ring = path.limb.skin(path.group, float(puncture[2]))
    if ring is None:
        ahead = puncture[depth_axis] - path.aim_mm[depth_axis]
        return ("near",) if ahead >= 0 else ("far",)
    across = 1 - depth_axis
    edges = float(ring[:, across].min()), float(ring[:, across].max())
    if min(puncture[across] - edges[0], edges[1] - puncture[across]) <= path.radius_mm:
        return ("near", "far")
    return ("near",) if faces_viewer(path.limb, path.group, puncture, depth_axis) else ("far",)


def mark_shape(mark: Mark) -> shapely.Geometry:
    """What a mark covers in its view: its outline, or its line with its half-width.

    Raises:
        GeometryError: as `skin_hit`.
    """
    return _shape(mark)
