"""How far a bar runs from the skin (FR-01), in the posed limb, millimetres.

The skin is taken as rings of points, level by level, and the bar as a straight stretch; what lies
between rings is at most half a ring's spacing off.
"""

from functools import lru_cache

import msgspec
import numpy as np
import numpy.typing as npt

from fixplan.case.limbs import pose_of_case
from fixplan.case.records import Case
from fixplan.frame.joining import BarPath, bar_paths
from fixplan.frame.vectors import Vector, minus, size, vector
from fixplan.limb.anatomy import Limb
from fixplan.limb.pose import Pose

Array = npt.NDArray[np.float64]
RING_STEP_MM = 5.0
POINT_STEP_MM = 5.0
AXIS_STEP_MM = 10.0


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


class Rings(msgspec.Struct, frozen=True, eq=False):
    """A segment's skin as rings of points: points (k, 3), levels (n,), polygons by level."""

    points: Array
    levels_mm: Array
    polygons: tuple[Array, ...]


def bar_gap(case: Case, bar_id: str) -> BarGap | None:
    """Distance of a bar to the skin; None when the bar cannot be laid or no skin is known."""
    path = bar_paths(case).get(bar_id)
    return None if path is None else gap_of(pose_of_case(case), path)


@lru_cache(maxsize=1024)
def gap_of(pose: Pose, path: BarPath) -> BarGap | None:
    """Distance of a laid bar to the skin; None when no skin is known."""
    nearest: tuple[float, Vector, str] | None = None
    ends = np.array([path.start_mm, path.end_mm])
    for segment in pose.limb.segments:
        rings = skin_rings(pose.limb, segment)
        if rings is None:
            continue
        distance, place = _least(pose.from_limb(segment, ends), rings)
        if nearest is None or distance < nearest[0]:
            posed = pose.to_limb(segment, place[None, :])[0]
            nearest = distance, vector(posed), segment
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


@lru_cache(maxsize=64)
def skin_rings(limb: Limb, segment: str) -> Rings | None:
    """Skin of a segment as rings every 5 mm; None where the limb has no skin for it."""
    span = limb.segments[segment]
    levels = np.arange(span.from_mm, span.to_mm + RING_STEP_MM / 2, RING_STEP_MM)
    found = [(level, limb.skin(segment, float(level))) for level in levels]
    known = [(level, np.asarray(ring)) for level, ring in found if ring is not None]
    if not known:
        return None
    points = [
        np.column_stack([p := _spaced(ring), np.full(len(p), level)]) for level, ring in known
    ]
    return Rings(
        np.concatenate(points),
        np.array([level for level, _ in known]),
        tuple(ring for _, ring in known),
    )


def _spaced(ring: Array) -> Array:
    """Points along a closed ring at most 5 mm apart."""
    following = np.roll(ring, -1, axis=0)
    counts = np.maximum(1, np.ceil(np.linalg.norm(following - ring, axis=1) / POINT_STEP_MM))
    parts = [
        a + (b - a) * (np.arange(n)[:, None] / n)
        for a, b, n in zip(ring, following, counts.astype(int), strict=True)
    ]
    return np.concatenate(parts)


def _least(ends: Array, rings: Rings) -> tuple[float, Array]:
    """Least distance of a stretch to the ring points, with the place on the stretch; negative inside."""
    start, run = ends[0], ends[1] - ends[0]
    share = np.clip((rings.points - start) @ run / (run @ run), 0.0, 1.0)
    on_bar = start + share[:, None] * run
    gaps = np.linalg.norm(rings.points - on_bar, axis=1)
    deepest = _deepest(start, run, rings)
    if deepest is not None:
        return deepest
    nearest = int(gaps.argmin())
    return float(gaps[nearest]), on_bar[nearest]


def _deepest(start: Array, run: Array, rings: Rings) -> tuple[float, Array] | None:
    """Deepest place of the stretch inside the skin, as a negative distance; None when all is outside."""
    count = max(2, int(np.ceil(np.linalg.norm(run) / AXIS_STEP_MM)) + 1)
    places = start + np.linspace(0, 1, count)[:, None] * run
    inside = [place for place in places if _is_inside(place, rings)]
    if not inside:
        return None
    depths = [float(np.linalg.norm(rings.points - place, axis=1).min()) for place in inside]
    worst = int(np.argmax(depths))
    return -depths[worst], inside[worst]


def _is_inside(place: Array, rings: Rings) -> bool:
    at = int(np.abs(rings.levels_mm - place[2]).argmin())
    if abs(rings.levels_mm[at] - place[2]) > RING_STEP_MM:
        return False
    ring = rings.polygons[at]
    x, y = ring[:, 0], ring[:, 1]
    if not (x.min() < place[0] < x.max() and y.min() < place[1] < y.max()):
        return False
    crosses = (y > place[1]) != (np.roll(y, -1) > place[1])
    slope = (np.roll(x, -1) - x)[crosses] / (np.roll(y, -1) - y)[crosses]
    return bool(((place[0] < x[crosses] + slope * (place[1] - y[crosses])).sum() % 2) == 1)


def length_mm(path: BarPath) -> float:
    """Length of a bar as it is drawn."""
    return size(minus(path.end_mm, path.start_mm))
