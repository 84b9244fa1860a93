"""A drawn zone as each view shows it, on every segment that it reaches (D6).

An outline is shown as it was drawn. Where a zone has none it reaches through the whole depth: it is
shown across the skin of all segments there, as far as it would count for a pin. Points are view
coordinates (u, v) in mm.
"""

from collections.abc import Iterator

import numpy as np
import shapely

from fixplan.case.scalars import Outline, View
from fixplan.errors import GeometryError
from fixplan.geometry.grown import grown_outline
from fixplan.geometry.strokes import BEYOND_MM, LEAST_AREA_MM2
from fixplan.limb.kinds import limb_kind
from fixplan.limb.pictures import pictures_of, reached_by
from fixplan.limb.pose import Pose
from fixplan.limb.rings import inside

SAMPLES = 9
"""How many points along either edge of an outline's extent are asked where they lie."""


def zone_in_view(
    pose: Pose, segment: str, front: Outline, side: Outline, view: View, grow_mm: float = 0.0
) -> tuple[Outline, ...]:
    """What a view shows of a zone grown by a margin: its outlines, in view coordinates.

    Raises:
        GeometryError: an outline crosses itself or encloses nothing.
    """
    if not front and not side:
        return ()
    pieces: list[shapely.Geometry] = []
    own = front if view == "front" else side
    if own:
        pieces.append(_placed(pose, segment, view, _grown(own, grow_mm)))
    if view == "front":
        pieces += _seen_in_front(pose, segment, front, side, grow_mm)
    elif not own:
        reached = reached_by(pose.limb, segment, has_side=False)
        skins = shapely.union_all([_skin(pose, one, "side") for one in reached])
        deep = _deep(pose, segment, front, side, grow_mm)
        pieces.append(shapely.intersection(deep, skins))
    joined = pieces[0] if len(pieces) == 1 else shapely.union_all(pieces)
    return tuple(_ring(one) for one in _polygons(joined))


def zone_on_own(
    pose: Pose, segment: str, front: Outline, side: Outline, view: View
) -> Outline | None:
    """The piece of `zone_in_view` that lies most on the zone's own segment; None if none does."""
    skin = _skin(pose, segment, view)
    rings = zone_in_view(pose, segment, front, side, view)
    shares = {
        ring: float(shapely.area(shapely.intersection(shapely.Polygon(ring), skin)))
        for ring in rings
    }
    best = max(shares, key=lambda ring: shares[ring], default=None)
    return best if best is not None and shares[best] > 0 else None


def segments_covered(pose: Pose, view: View, points: Outline, *, is_line: bool) -> dict[str, float]:
    """The share of an outline or line, drawn in view coordinates, that lies on each segment.

    The greatest comes first. What lies beside the limb counts only where nothing lies on it.
    """
    asked = _along(points) if is_line else _within(points)
    on_limb = [one for one in asked if _is_on_skin(pose, view, one)]
    votes: dict[str, int] = {}
    for one in on_limb or asked:
        name = pose.segment_at(view, np.array(one))
        votes[name] = votes.get(name, 0) + 1
    ranked = sorted(votes.items(), key=lambda vote: -vote[1])
    return {name: count / sum(votes.values()) for name, count in ranked}


def extent_on_limb(
    pose: Pose, segment: str, view: View, points: Outline, axis: int
) -> tuple[float, float] | None:
    """How far what is drawn in a view reaches along u (0) or v (1), as far as the limb goes.

    In the segment's own coordinates; None where all of it lies beside the limb.
    """
    reached = reached_by(pose.limb, segment, has_side=view == "side")
    skins = shapely.union_all([_skin(pose, one, view) for one in reached])
    uv = pose.uv_of(segment, view, np.array(points))
    shape = shapely.Polygon(uv) if len(points) > 2 else shapely.LineString(uv)
    inside_skin = shapely.intersection(shapely.make_valid(shape), skins)
    places = shapely.get_coordinates(inside_skin)
    if not len(places):
        return None
    along = pose.drawn_of(segment, view, places)[:, axis]
    return float(along.min()), float(along.max())


def shared_axis(pose: Pose, segment: str) -> int:
    """Which coordinate of a side outline the front view shares with it: 0 forward, 1 the level."""
    return 0 if pose.limb.segments[segment].front_shows == "forward" else 1


def _seen_in_front(
    pose: Pose, segment: str, front: Outline, side: Outline, grow_mm: float
) -> Iterator[shapely.Geometry]:
    """What the front view shows besides an outline drawn there: every other picture it reaches."""
    deep = _deep(pose, segment, front, side, grow_mm)
    within = shapely.box(-BEYOND_MM, -BEYOND_MM, BEYOND_MM, BEYOND_MM)
    if front:
        low, _, high, _ = shapely.bounds(_placed(pose, segment, "front", _grown(front, grow_mm)))
        within = shapely.box(low, -BEYOND_MM, high, BEYOND_MM)
    pictures = pictures_of(pose.limb)
    for name in reached_by(pose.limb, segment, has_side=bool(side)):
        if front and pictures[name] == pictures[segment]:
            continue
        part = shapely.intersection(deep, _skin(pose, name, "side"))
        if name != segment and not _is_beside(pose, name, segment):
            part = shapely.difference(part, _skin(pose, segment, "side"))
        if shapely.area(part) >= LEAST_AREA_MM2:
            yield shapely.intersection(_banded(pose, name, part), within)


def _banded(pose: Pose, segment: str, part: shapely.Geometry) -> shapely.Geometry:
    """The skin in the front view as far along as a part of the side view reaches."""
    drawn = pose.drawn_of(segment, "side", shapely.get_coordinates(part))
    along = drawn[:, shared_axis(pose, segment)]
    band = (
        (-BEYOND_MM, along.min()),
        (BEYOND_MM, along.min()),
        (BEYOND_MM, along.max()),
        (-BEYOND_MM, along.max()),
    )
    placed = _placed(pose, segment, "front", band)
    return shapely.intersection(placed, _skin(pose, segment, "front"))


def _deep(
    pose: Pose, segment: str, front: Outline, side: Outline, grow_mm: float
) -> shapely.Geometry:
    """A zone as the side view sees it: its outline there, else a strip through the whole depth."""
    if side:
        return _placed(pose, segment, "side", _grown(side, grow_mm))
    along = [v for _, v in front]
    low, high = min(along) - grow_mm, max(along) + grow_mm
    strip: Outline = ((-BEYOND_MM, low), (BEYOND_MM, low), (BEYOND_MM, high), (-BEYOND_MM, high))
    if shared_axis(pose, segment) == 0:
        strip = tuple((v, u) for u, v in strip)
    return _placed(pose, segment, "side", strip)


def _is_beside(pose: Pose, name: str, segment: str) -> bool:
    """Whether two segments are the two sides of the body, which the side view shows as one."""
    rows = {row.name: row.mirrored for row in limb_kind(pose.limb.kind).segments}
    return rows[name] != rows[segment]


def _grown(outline: Outline, grow_mm: float) -> Outline:
    return grown_outline(outline, grow_mm) if grow_mm else outline


def _skin(pose: Pose, segment: str, view: View) -> shapely.Geometry:
    drawn = tuple((float(u), float(v)) for u, v in pose.limb.skin_outline(segment, view))
    return _placed(pose, segment, view, drawn)


def _placed(pose: Pose, segment: str, view: View, drawn: Outline) -> shapely.Geometry:
    return shapely.make_valid(shapely.Polygon(pose.uv_of(segment, view, np.array(drawn))))


def _polygons(shape: shapely.Geometry) -> list[shapely.Polygon]:
    parts = shapely.get_parts(shape)
    found = [one for one in parts if isinstance(one, shapely.Polygon)]
    large = [one for one in found if one.area >= LEAST_AREA_MM2]
    return sorted(large, key=lambda one: -float(one.area))


def _ring(polygon: shapely.Polygon) -> Outline:
    return tuple((float(u), float(v)) for u, v in polygon.exterior.coords[:-1])


def _within(points: Outline) -> list[tuple[float, float]]:
    """Evenly spread points inside an outline; one in its middle where it is too slender."""
    shape = shapely.make_valid(shapely.Polygon(points))
    u_from, v_from, u_to, v_to = shape.bounds
    us, vs = (
        low + (np.arange(SAMPLES) + 0.5) * (high - low) / SAMPLES
        for low, high in ((u_from, u_to), (v_from, v_to))
    )
    grid = np.array([(u, v) for u in us for v in vs])
    inner = grid[shapely.contains_xy(shape, grid)]
    if not len(inner):
        middle = shape.representative_point()
        return [(float(middle.x), float(middle.y))]
    return [(float(u), float(v)) for u, v in inner]


def _along(points: Outline) -> list[tuple[float, float]]:
    if len(points) < 2:
        raise GeometryError("A line has two points at least: draw along the line.")
    line = shapely.LineString(points)
    places = [line.interpolate(at, normalized=True) for at in np.linspace(0.0, 1.0, 4 * SAMPLES)]
    return [(float(one.x), float(one.y)) for one in places]


def _is_on_skin(pose: Pose, view: View, point: tuple[float, float]) -> bool:
    at = np.array([point])
    return any(
        inside(pose.limb.skin_outline(name, view), pose.drawn_of(name, view, at)[0])
        for name in pose.limb.segments
    )
