"""Straight lines against polygons and against each other, in plain numbers."""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_PARALLEL = 1e-12


def crossings(ring: Array, from_xy: Array, along_xy: Array) -> Array:
    """Where a line crosses a closed ring, as sorted distances along it from `from_xy`, mm.

    `ring` is (n, 2) without the closing point; `along_xy` is a unit vector. Crossings come in pairs
    of entry and exit; a line that only touches a corner gives none.
    """
    across = np.array((-along_xy[1], along_xy[0]))
    start = ring - from_xy
    off = start @ across
    ahead = start @ along_xy
    off_end = np.concatenate((off[1:], off[:1]))
    ahead_end = np.concatenate((ahead[1:], ahead[:1]))
    cut = np.flatnonzero((off > 0) != (off_end > 0))
    share = off[cut] / (off[cut] - off_end[cut])
    return np.asarray(np.sort(ahead[cut] + share * (ahead_end[cut] - ahead[cut])))


def closest_points(
    start_a: Array, end_a: Array, start_b: Array, end_b: Array
) -> tuple[float, Array, Array]:
    """Shortest distance between two stretches in space, and the point on each where it is met.

    Points are (3,) in mm, in one frame; a stretch may be a single point.
    """
    a, b, between = end_a - start_a, end_b - start_b, start_a - start_b
    a2, b2, across = float(a @ a), float(b @ b), float(a @ b)
    on_a, on_b = float(a @ between), float(b @ between)
    skew = a2 * b2 - across * across
    at_a = 0.0
    if skew > _PARALLEL * max(a2 * b2, _PARALLEL):
        at_a = min(max((across * on_b - on_a * b2) / skew, 0.0), 1.0)
    at_b = min(max((across * at_a + on_b) / b2, 0.0), 1.0) if b2 > 0 else 0.0
    at_a = min(max((across * at_b - on_a) / a2, 0.0), 1.0) if a2 > 0 else 0.0
    at_b = min(max((across * at_a + on_b) / b2, 0.0), 1.0) if b2 > 0 else 0.0
    point_a, point_b = start_a + at_a * a, start_b + at_b * b
    off = point_a - point_b
    return float(np.sqrt(off @ off)), point_a, point_b
