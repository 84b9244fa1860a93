"""What was drawn on a limb, cut across at a level: zones inside the skin, marks on the skin.

Everything is in the frame of one segment, (x, y) in mm.
"""

from functools import lru_cache
from math import inf

import numpy as np
import shapely
from numpy.typing import NDArray

from fixplan.case.records import FreeOutline, Incision, Injury, Wound
from fixplan.errors import GeometryError
from fixplan.geometry.cells import Outline
from fixplan.geometry.corridors import rings_of
from fixplan.geometry.lines import crossings
from fixplan.geometry.validity import checked_polygon
from fixplan.limb.anatomy import Limb

Array = NDArray[np.float64]

_FAR_MM = 2000.0
_STEP_MM = 1.5
_LEAST_HALF_WIDTH_MM = 0.8
"""A line without a width is cut as a point: it is shown this wide."""


@lru_cache(maxsize=512)
def zone_section(limb: Limb, zone: Injury | FreeOutline, level_mm: float) -> tuple[Array, ...]:
    """A drawn zone at a level, as far as it lies in the limb (D6): rings (n, 2).

    Empty where the zone does not reach that level or cannot be used.
    """
    skin = limb.skin(zone.segment, level_mm)
    if skin is None:
        return ()
    from_above = limb.segments[zone.segment].front_shows != "level"
    try:
        drawn = _drawn_from_above(zone, level_mm) if from_above else _drawn(zone, level_mm)
    except GeometryError:
        return ()
    return () if drawn is None else rings_of(shapely.Polygon(skin).intersection(drawn))


def _drawn(zone: Injury | FreeOutline, level_mm: float) -> shapely.Geometry | None:
    """Where the prisms of both outlines meet at a level; one alone reaches through the depth."""
    spans = [_spans(outline, level_mm) for outline in (zone.front, zone.side)]
    if not any(spans):
        return None
    across, deep = (one or [(-_FAR_MM, _FAR_MM)] for one in spans)
    return shapely.union_all([shapely.box(x0, y0, x1, y1) for x0, x1 in across for y0, y1 in deep])


def _drawn_from_above(zone: Injury | FreeOutline, level_mm: float) -> shapely.Geometry | None:
    """The same where the front view is seen from above, and has y for its v."""
    area = checked_polygon(zone.front) if zone.front else None
    if not zone.side:
        return area
    spans = _spans(zone.side, level_mm)
    if not spans:
        return None
    strips = shapely.union_all([shapely.box(-_FAR_MM, y0, _FAR_MM, y1) for y0, y1 in spans])
    return strips if area is None else area.intersection(strips)


def _spans(outline: Outline, level_mm: float) -> list[tuple[float, float]]:
    """Where an outline covers a level."""
    if not outline:
        return []
    checked_polygon(outline)
    hits = crossings(np.array(outline), np.array((0.0, level_mm)), np.array((1.0, 0.0))).tolist()
    return list(zip(hits[::2], hits[1::2], strict=False))


@lru_cache(maxsize=512)
def mark_section(limb: Limb, mark: Wound | Incision, level_mm: float) -> tuple[Array, ...]:
    """The stretches of the skin at a level that a mark on one of its faces covers (D7).

    Each is an open line of points (n, 2); empty where the mark does not reach that level.
    """
    skin = limb.skin(mark.segment, level_mm)
    if skin is None:
        return ()
    if not _near_level(mark, level_mm) and limb.segments[mark.segment].front_shows == "level":
        return ()
    ring = _dense(skin)
    axis = 0 if mark.view == "front" else 1
    from_above = mark.view == "front" and limb.segments[mark.segment].front_shows != "level"
    across = ring[:, axis]
    down = ring[:, 1] if from_above else np.full(len(ring), level_mm)
    covered = _covered(mark, np.column_stack((across, down)))
    if covered.any() and not from_above:
        covered = _on_face(ring, covered, axis, mark.face)
    return _runs(ring, covered)


def _near_level(mark: Wound | Incision, level_mm: float) -> bool:
    points = (mark.outline if isinstance(mark, Wound) else ()) or mark.line
    reach = max(mark.half_width_mm, _LEAST_HALF_WIDTH_MM)
    levels = [v for _, v in points]
    return min(levels, default=inf) - reach <= level_mm <= max(levels, default=-inf) + reach


def _dense(ring: Array) -> Array:
    """A ring with points at least every `_STEP_MM`."""
    line = shapely.LinearRing(ring)
    return np.asarray(shapely.segmentize(line, _STEP_MM).coords[:-1])


def _covered(mark: Wound | Incision, points: Array) -> NDArray[np.bool_]:
    if isinstance(mark, Wound) and mark.outline:
        try:
            area = checked_polygon(mark.outline)
        except GeometryError:
            return np.zeros(len(points), dtype=bool)
        inside: NDArray[np.bool_] = shapely.intersects_xy(area, points[:, 0], points[:, 1])
        return inside
    if len(set(mark.line)) < 2:
        return np.zeros(len(points), dtype=bool)
    line = shapely.LineString(mark.line)
    away: Array = np.asarray(shapely.distance(line, shapely.points(points)))
    within: NDArray[np.bool_] = away <= max(mark.half_width_mm, _LEAST_HALF_WIDTH_MM)
    return within


def _on_face(ring: Array, covered: NDArray[np.bool_], axis: int, face: str) -> NDArray[np.bool_]:
    """Which covered points lie on a view's near or far face; depth runs toward the viewer."""
    toward = np.array((0.0, 1.0)) if axis == 0 else np.array((1.0, 0.0))
    found = np.zeros(len(ring), dtype=bool)
    for index in np.flatnonzero(covered):
        hits = crossings(ring, ring[index], toward)
        ahead = float(hits[0] + hits[-1]) if len(hits) else 0.0
        found[index] = (ahead <= 0.0) == (face == "near")
    return found


def _runs(ring: Array, covered: NDArray[np.bool_]) -> tuple[Array, ...]:
    """The covered stretches of a closed ring, as open lines of at least one point."""
    if not covered.any():
        return ()
    if covered.all():
        return (np.vstack((ring, ring[:1])),)
    start = int(np.flatnonzero(~covered)[0])
    turned, flags = np.roll(ring, -start, axis=0), np.roll(covered, -start)
    edges = np.flatnonzero(np.diff(np.concatenate(((0,), flags.astype(int), (0,)))))
    return tuple(turned[a:b] for a, b in zip(edges[::2], edges[1::2], strict=True))
