"""Round bars over marks on the skin, and the bridge of skin between two lines on it."""

from functools import lru_cache
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from fixplan.case.records import Incision, Wound
from fixplan.geometry.lines import crossings
from fixplan.geometry.skin_marks import is_outer, mark_on_skin, mark_shape
from fixplan.limb.anatomy import Limb

Array = NDArray[np.float64]
Mark = Wound | Incision
Place = tuple[float, float, float]

STEP_MM = 5.0
"""How far apart, at most, places along a bar over a mark are looked at."""

LEVEL_STEP_MM = 10.0
"""The same for levels of a bridge."""


class Bridge(NamedTuple):
    """The narrowest skin between two lines, along the skin, and at which level."""

    width_mm: float
    level_mm: float


def gap_over_mark_mm(
    limb: Limb, start: Array, end: Array, radius_mm: float, mark: Mark
) -> float | None:
    """From a bar's surface to the skin where it runs over a mark; None where it does not.

    Ends are in the frame of the mark's segment. The bar runs over the mark when it covers part of
    it in the mark's view, on the mark's own face of the limb. None too in a view from above.

    Raises:
        GeometryError: the mark has neither an outline nor a line that can be used.
    """
    if limb.segments[mark.segment].front_shows == "forward" and mark.view == "front":
        return None
    return _least_gap_mm(limb, tuple(start.tolist()), tuple(end.tolist()), radius_mm, mark)


@lru_cache(maxsize=256)
def _least_gap_mm(
    limb: Limb, first: Place, last: Place, radius_mm: float, mark: Mark
) -> float | None:
    start, end = np.array(first), np.array(last)
    across = 1 if mark.view == "side" else 0
    if not _may_meet(
        shapely.bounds(mark_shape(mark)), start[[across, 2]], end[[across, 2]], radius_mm
    ):
        return None
    axis = shapely.linestrings([start[[across, 2]], end[[across, 2]]])
    covered = shapely.intersection(axis, _grown(mark, radius_mm))
    places = shapely.get_coordinates(shapely.segmentize(covered, STEP_MM))
    if not len(places) or shapely.length(axis) == 0:
        return None
    shares = np.asarray(shapely.line_locate_point(axis, shapely.points(places), normalized=True))
    points = start + shares[:, None] * (end - start)
    gaps = [_gap_mm(limb, mark, point, across) for point in points]
    return min((gap - radius_mm for gap in gaps if gap is not None), default=None)


@lru_cache(maxsize=64)
def _grown(mark: Mark, radius_mm: float) -> shapely.Geometry:
    return shapely.buffer(mark_shape(mark), radius_mm)


def _may_meet(bounds: Array, start: Array, end: Array, radius_mm: float) -> bool:
    """Whether the box round a bar's axis comes within its radius of the box round a mark."""
    low, high = np.minimum(start, end) - radius_mm, np.maximum(start, end) + radius_mm
    return bool((low <= bounds[2:]).all() and (high >= bounds[:2]).all())


def _gap_mm(limb: Limb, mark: Mark, point: Array, across: int) -> float | None:
    """From a place on a bar's axis to the skin of the mark's face; None beside the limb.

    The skin is that at the nearest whole millimetre of level.
    """
    skin = _skin(limb, mark.segment, round(float(point[2])))
    if skin is None:
        return None
    found = crossings(skin.ring, point[:2], np.eye(2)[1 - across])
    if not len(found) or is_outer(found) is not (mark.face == "near"):
        return None
    return float(shapely.distance(skin.solid, shapely.points(point[0], point[1])))


class _Skin(NamedTuple):
    ring: Array
    solid: shapely.Geometry


@lru_cache(maxsize=1024)
def _skin(limb: Limb, segment: str, level_mm: int) -> _Skin | None:
    ring = limb.skin(segment, float(level_mm))
    return None if ring is None else _Skin(ring, shapely.Polygon(ring))


@lru_cache(maxsize=256)
def skin_bridge(
    limb: Limb, first: Mark, second: Mark, overlap_mm: float, angle_deg: float
) -> Bridge | None:
    """The narrowest skin between two lines that run side by side along a segment.

    Measured round the limb at levels that both cover. None where they share less than `overlap_mm`
    of levels, where one of them leaves the segment's axis by more than `angle_deg`, where they
    cross, or where no skin is known.

    Raises:
        GeometryError: a mark that has neither an outline nor a line that can be used.
    """
    if first.segment != second.segment or _shared_mm(first, second) < overlap_mm:
        return None
    lines = [mark_on_skin(limb, mark) for mark in (first, second)]
    if not all(_runs_along(one, angle_deg) for one in lines):
        return None
    low = max(float(one[:, 2].min()) for one in lines)
    high = min(float(one[:, 2].max()) for one in lines)
    if high - low < overlap_mm:
        return None
    levels = np.linspace(low, high, max(2, int((high - low) / LEVEL_STEP_MM) + 1)).tolist()
    found = [_bridge_at(limb, first.segment, lines, level) for level in levels]
    known = [one for one in found if one is not None]
    narrowest = min(known, default=None)
    return narrowest if narrowest is not None and narrowest.width_mm > 0 else None


def _shared_mm(first: Mark, second: Mark) -> float:
    """How many mm of levels both lines cover as they are drawn."""
    levels = [[level for _, level in mark.line] for mark in (first, second)]
    return min(max(one) for one in levels) - max(min(one) for one in levels)


def _runs_along(line: Array, angle_deg: float) -> bool:
    """Whether a line on the skin runs along the segment, end to end."""
    if len(line) < 2:
        return False
    way = line[-1] - line[0]
    length = float(np.linalg.norm(way))
    return length > 0 and abs(float(way[2])) >= length * np.cos(np.radians(angle_deg))


def _bridge_at(limb: Limb, segment: str, lines: list[Array], level: float) -> Bridge | None:
    ring = limb.skin(segment, level)
    if ring is None:
        return None
    skin = shapely.LinearRing(ring)
    first, second = (skin.project(shapely.Point(*_at_level(one, level))) for one in lines)
    apart = abs(first - second)
    return Bridge(min(apart, skin.length - apart), level)


def _at_level(line: Array, level: float) -> Array:
    """Where a line on the skin passes a level, (x, y)."""
    order = np.argsort(line[:, 2], kind="stable")
    levels = line[order, 2]
    return np.array([np.interp(level, levels, line[order, axis]) for axis in (0, 1)])
