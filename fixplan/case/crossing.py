"""Does a drawn outline cross itself? Judged on entry and on load, before any geometry sees it."""

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from fixplan.case.scalars import Point

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]


@lru_cache(maxsize=512)
def outline_problem(outline: tuple[Point, ...]) -> str | None:
    """What is wrong with a closed outline, or None.

    Points in mm; a point that repeats the one before it is overlooked.
    """
    points = _without_repeats(np.asarray(outline, dtype=np.float64).reshape(-1, 2))
    if len(points) < 3:
        return f"has {len(points)} different points; an outline needs at least 3"
    edges = _crossing_edges(points)
    if edges is not None:
        return f"crosses itself near ({edges[0]:.0f}, {edges[1]:.0f}) mm"
    return None


def line_problem(line: tuple[Point, ...]) -> str | None:
    """What is wrong with an open line, or None: a line needs two different points."""
    if len(set(line)) < 2:
        return f"has {len(set(line))} different points; a line needs at least 2"
    return None


def _without_repeats(points: Floats) -> Floats:
    """The points without those that equal their predecessor (the last one's successor is first)."""
    if len(points) < 2:
        return points
    kept: Floats = points[np.any(points != np.roll(points, 1, axis=0), axis=1)]
    return kept if len(kept) else points[:1]


def _turn(a: Floats, b: Floats, c: Floats) -> Floats:
    """Twice the signed area of each triangle a, b, c."""
    ab, ac = b - a, c - a
    turn: Floats = ab[..., 0] * ac[..., 1] - ab[..., 1] * ac[..., 0]
    return turn


def _within(a: Floats, b: Floats, c: Floats) -> Bools:
    """Is c inside the box that a and b span?"""
    low, high = np.minimum(a, b), np.maximum(a, b)
    inside: Bools = np.all((c >= low) & (c <= high), axis=-1)
    return inside


def _meet(a: Floats, b: Floats, c: Floats, d: Floats) -> Bools:
    """Do the segments a-b and c-d share a point?"""
    c_side, d_side = _turn(a, b, c), _turn(a, b, d)
    a_side, b_side = _turn(c, d, a), _turn(c, d, b)
    proper = (c_side * d_side < 0) & (a_side * b_side < 0)
    touch = (c_side == 0) & _within(a, b, c)
    touch |= (d_side == 0) & _within(a, b, d)
    touch |= (a_side == 0) & _within(c, d, a)
    touch |= (b_side == 0) & _within(c, d, b)
    met: Bools = proper | touch
    return met


def _crossing_edges(points: Floats) -> Floats | None:
    """A point near the first place where the outline meets itself, or None."""
    folded = _fold(points)
    if folded is not None:
        return folded
    ends = np.roll(points, -1, axis=0)
    count = len(points)
    for index in range(count - 2):
        last = count - 1 if index == 0 else count
        others = slice(index + 2, last)
        met = _meet(points[index], ends[index], points[others], ends[others])
        if met.any():
            other = index + 2 + int(np.argmax(met))
            crossing: Floats = (points[index] + ends[index] + points[other] + ends[other]) / 4
            return crossing
    return None


def _fold(points: Floats) -> Floats | None:
    """The first vertex at which an edge runs straight back over the edge before it, or None."""
    before, after = np.roll(points, 1, axis=0), np.roll(points, -1, axis=0)
    back = np.einsum("ij,ij->i", before - points, after - points) > 0
    folded = back & (_turn(before, points, after) == 0)
    if not folded.any():
        return None
    vertex: Floats = points[int(np.argmax(folded))]
    return vertex
