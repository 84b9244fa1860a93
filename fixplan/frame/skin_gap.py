"""How far a bar runs from the skin (FR-01), in the posed limb, millimetres.

The skin is taken as rings of points every 10 mm along the segment, the bar as a straight stretch:
20 mm off the skin, a bar across the limb is told at most 0.6 mm too far, one along it not at all.
"""

from functools import lru_cache
from math import ceil, floor, sqrt

import msgspec
import numpy as np
import numpy.typing as npt

from fixplan.case.limbs import pose_of_case
from fixplan.case.records import Case
from fixplan.frame.joining import BarPath, bar_paths
from fixplan.frame.vectors import Vector, vector
from fixplan.limb.anatomy import Limb
from fixplan.limb.pose import Pose

Array = npt.NDArray[np.float64]
RING_STEP_MM = 10.0
POINT_STEP_MM = 6.0
AXIS_STEP_MM = 10.0
NEAR_MM = 60.0
RAYS = 72


class BarGap(msgspec.Struct, frozen=True, kw_only=True):
    """Distance from a bar's surface to the skin, mm; negative where the bar would lie inside.

    `least_mm` anywhere along the bar, at `at_mm` in the posed limb, next to `segment`; `most_mm` at
    the pin clamp furthest off the skin (None without one), `most_at` that pin's id.
    """

    least_mm: float
    at_mm: Vector
    segment: str
    most_mm: float | None
    most_at: str | None


class Ring(msgspec.Struct, frozen=True, eq=False):
    """A segment's skin at one level: points (k, 3), centre (2,), and how far it reaches by ray.

    `most_mm` is how far its farthest point is from the centre.
    """

    points: Array
    centre: Array
    most_mm: float
    reach_mm: Array


class Rings(msgspec.Struct, frozen=True, eq=False):
    """Rings along a stretch of a segment, proximal first: all points, centre and reach of each.

    `points` (3, n) and `middles` (3, rings) are columns of points, which are worked quicker than
    rows. Those of ring k are those from `begins[k]` to before `begins[k + 1]`; none is farther than
    `most_mm[k]` from the ring's middle. `low` and `high` are the corners of the box round all.
    """

    points: Array
    begins: tuple[int, ...]
    low: Vector
    high: Vector
    first_mm: float
    centres: Array
    middles: Array
    most_mm: Array
    reach_mm: Array


def bar_gap(case: Case, bar_id: str) -> BarGap | None:
    """Distance of a bar to the skin; None when the bar cannot be laid or no skin is known."""
    path = bar_paths(case).get(bar_id)
    return None if path is None else gap_of(pose_of_case(case), path)


@lru_cache(maxsize=1024)
def gap_of(pose: Pose, path: BarPath) -> BarGap | None:
    """Distance of a laid bar to the skin; None when no skin is near or known."""
    nearest = _nearest(pose, np.array([path.start_mm, path.end_mm]))
    if nearest is None:
        return None
    radius = path.bar.diameter_mm / 2
    outs = [(x.out_mm - radius, x.other) for x in path.joints if x.out_mm is not None]
    most = max(outs, default=(None, None))
    return BarGap(
        least_mm=nearest[0] - radius,
        at_mm=nearest[1],
        segment=nearest[2],
        most_mm=most[0],
        most_at=most[1],
    )


@lru_cache(maxsize=256)
def midline_gap_mm(pose: Pose, path: BarPath, half_mm: float) -> float | None:
    """Distance to the skin of that part of a bar which lies over the midline, surface to skin, mm.

    The part reaches `half_mm` to either side. None when none of the bar or no skin is there.
    """
    start, end = np.array(path.start_mm), np.array(path.end_mm)
    run = float(end[0] - start[0])
    if run == 0.0:
        return None
    shares = sorted((side * half_mm - float(start[0])) / run for side in (-1, 1))
    first, last = max(shares[0], 0.0), min(shares[1], 1.0)
    if first >= last:
        return None
    nearest = _nearest(pose, np.array([start + share * (end - start) for share in (first, last)]))
    return None if nearest is None else nearest[0] - path.bar.diameter_mm / 2


def _nearest(pose: Pose, ends: Array) -> tuple[float, Vector, str] | None:
    """Least distance of a stretch to any segment's skin, where on it, and the segment.

    A segment whose box lies further off than what was found is not looked at.
    """
    near: list[tuple[float, str, Array, Rings]] = []
    for segment in pose.limb.segments:
        seen = pose.from_limb(segment, ends)
        levels = seen[:, 2].tolist()
        rings = rings_near(pose.limb, segment, min(levels) - NEAR_MM, max(levels) + NEAR_MM)
        if rings is not None:
            near.append((_box_gap_mm(seen, rings), segment, seen, rings))
    nearest: tuple[float, Vector, str] | None = None
    for bound_mm, segment, seen, rings in sorted(near, key=lambda one: one[0]):
        if nearest is not None and bound_mm > 0 and bound_mm >= nearest[0]:
            break
        found, at = least_to_rings(seen, rings)
        if nearest is None or found < nearest[0]:
            nearest = found, vector(pose.to_limb(segment, at[None, :])[0]), segment
    return nearest


def _box_gap_mm(ends: Array, rings: Rings) -> float:
    """The box round a stretch to the box round rings: no point of theirs is nearer than this."""
    first, second = ends.tolist()
    gaps = (
        max(low - max(a, b), min(a, b) - high, 0.0)
        for a, b, low, high in zip(first, second, rings.low, rings.high, strict=True)
    )
    return sqrt(sum(gap * gap for gap in gaps))


def rings_near(limb: Limb, segment: str, low_mm: float, high_mm: float) -> Rings | None:
    """Rings of a segment between two levels; None where the limb has no skin there."""
    span = limb.segments[segment]
    first = ceil(max(low_mm, span.from_mm) / RING_STEP_MM)
    last = floor(min(high_mm, span.to_mm) / RING_STEP_MM)
    return _rings(limb, segment, first, last) if first <= last else None


@lru_cache(maxsize=256)
def _rings(limb: Limb, segment: str, first: int, last: int) -> Rings | None:
    found = [_ring(limb, segment, number) for number in range(first, last + 1)]
    rings = [ring for ring in found if ring is not None]
    if not rings:
        return None
    points = np.ascontiguousarray(np.concatenate([ring.points for ring in rings]).T)
    middles = np.array([(*ring.centre, ring.points[0, 2]) for ring in rings]).T
    return Rings(
        points,
        tuple(np.cumsum([0, *(len(ring.points) for ring in rings)]).tolist()),
        vector(points.min(axis=1)),
        vector(points.max(axis=1)),
        float(middles[2, 0]),
        middles[:2].T,
        middles,
        np.array([ring.most_mm for ring in rings]),
        np.array([ring.reach_mm for ring in rings]),
    )


@lru_cache(maxsize=1024)
def _ring(limb: Limb, segment: str, number: int) -> Ring | None:
    skin = limb.skin(segment, number * RING_STEP_MM)
    if skin is None:
        return None
    ring = _spaced(np.asarray(skin, dtype=float))
    centre = (ring.max(axis=0) + ring.min(axis=0)) / 2
    points = np.column_stack([ring, np.full(len(ring), number * RING_STEP_MM)])
    around = ring - centre
    return Ring(points, centre, float(np.hypot(*around.T).max()), _reach(around))


def _spaced(ring: Array) -> Array:
    """Points along a closed ring at most 6 mm apart."""
    following = np.roll(ring, -1, axis=0)
    counts = np.maximum(1, np.ceil(np.linalg.norm(following - ring, axis=1) / POINT_STEP_MM))
    each = counts.astype(int)
    start = np.repeat(np.cumsum(each) - each, each)
    share = (np.arange(each.sum()) - start) / np.repeat(each, each)
    spaced: Array = np.repeat(ring, each, axis=0)
    spaced += share[:, None] * np.repeat(following - ring, each, axis=0)
    return spaced


def _reach(around: Array) -> Array:
    """How far a ring about its centre lies in evenly spread directions, the first again last."""
    turns = np.arctan2(around[:, 1], around[:, 0])
    order = np.argsort(turns)
    rays = np.linspace(-np.pi, np.pi, RAYS + 1)
    reach: Array = np.interp(rays, turns[order], np.hypot(*around[order].T), period=2 * np.pi)
    return reach


def least_to_rings(ends: Array, rings: Rings) -> tuple[float, Array]:
    """Least distance of a stretch to the skin, with the place on the stretch; negative inside."""
    start, run = ends[0], ends[1] - ends[0]
    bound_mm = np.sqrt(_off(rings.middles, start, run)[1]) - rings.most_mm
    if bound_mm.min() <= RING_STEP_MM:
        inside = _inside(start, run, rings)
        if len(inside):
            return _deepest(inside, rings.points)
    points = _points_near(start, run, rings, bound_mm)
    share, squares = _off(points, start, run)
    nearest = int(squares.argmin())
    return float(np.sqrt(squares[nearest])), start + share[nearest] * run


def _points_near(start: Array, run: Array, rings: Rings, bound_mm: Array) -> Array:
    """The points of rings that come near enough to hold the one that is nearest to a stretch.

    No point of a ring is nearer than its `bound_mm`.
    """
    first, begins = int(bound_mm.argmin()), rings.begins
    _, squares = _off(rings.points[:, begins[first] : begins[first + 1]], start, run)
    near = (bound_mm <= np.sqrt(squares.min())).nonzero()[0].tolist()
    return rings.points[:, begins[near[0]] : begins[near[-1] + 1]]


def _off(points: Array, start: Array, run: Array) -> tuple[Array, Array]:
    """Where on a stretch each of (3, n) is nearest to it, 0 to 1, and the square of how near."""
    offset = points - start[:, None]
    share = np.minimum(np.maximum(run @ offset / (run @ run), 0.0), 1.0)
    offset -= share * run[:, None]
    return share, np.einsum("ij,ij->j", offset, offset)


def _inside(start: Array, run: Array, rings: Rings) -> Array:
    """Places every 10 mm along a stretch that lie inside the skin."""
    count = max(2, int(np.sqrt(run @ run) / AXIS_STEP_MM) + 2)
    places: Array = start + np.linspace(0, 1, count)[:, None] * run
    ring = np.rint((places[:, 2] - rings.first_mm) / RING_STEP_MM).astype(int)
    held = (ring >= 0) & (ring < len(rings.centres))
    places, ring = places[held], ring[held]
    around = places[:, :2] - rings.centres[ring]
    ray = (np.arctan2(around[:, 1], around[:, 0]) / np.pi + 1) * RAYS / 2
    before = np.minimum(ray.astype(int), RAYS - 1)
    between = ray - before
    reach = (
        rings.reach_mm[ring, before] * (1 - between) + rings.reach_mm[ring, before + 1] * between
    )
    found: Array = places[np.hypot(around[:, 0], around[:, 1]) < reach]
    return found


def _deepest(places: Array, points: Array) -> tuple[float, Array]:
    """The place deepest under the skin, with its depth as a negative distance."""
    depths = [float(np.linalg.norm(points - place[:, None], axis=0).min()) for place in places]
    worst = int(np.argmax(depths))
    return -depths[worst], places[worst]
