"""Outlines cut to the window of a view, so that a limb can be broken off above and below."""

from itertools import pairwise

from fixplan.sheet.box import Box
from fixplan.sheet.shapes import Point

Ring = list[Point]


def _between(a: Point, b: Point, axis: int, limit: float) -> Point:
    """Where a line meets a limit along one axis (0: x, 1: y)."""
    share = (limit - a[axis]) / (b[axis] - a[axis])
    return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))


def _half(ring: Ring, axis: int, limit: float, sign: int) -> Ring:
    """The part of a ring where sign * coordinate <= sign * limit (Sutherland and Hodgman)."""
    kept: Ring = []
    before = ring[-1] if ring else (0.0, 0.0)
    was_in = sign * (before[axis] - limit) <= 0
    for point in ring:
        is_in = sign * (point[axis] - limit) <= 0
        if is_in != was_in:
            kept.append(_between(before, point, axis, limit))
        if is_in:
            kept.append(point)
        before, was_in = point, is_in
    return kept


Sides = tuple[tuple[int, float, int], ...]
"""Sides of a box that an outline passes: axis (0: x, 1: y), limit, and which way is outside."""


def _passed(points: list[Point], box: Box) -> Sides | None:
    """The sides of the box that some points lie beyond; None if all lie beyond one of them."""
    xs, ys = zip(*points, strict=True)
    left, right, top, bottom = min(xs), max(xs), min(ys), max(ys)
    if left > box.right or right < box.x or top > box.bottom or bottom < box.y:
        return None
    sides = (
        (left < box.x, (0, box.x, -1)),
        (right > box.right, (0, box.right, 1)),
        (top < box.y, (1, box.y, -1)),
        (bottom > box.bottom, (1, box.bottom, 1)),
    )
    return tuple(side for is_passed, side in sides if is_passed)


def clipped_ring(points: list[Point], box: Box) -> Ring:
    """The part of a closed outline inside the box, as a closed outline; empty where none is."""
    sides = _passed(points, box) if points else None
    if sides is None:
        return []
    ring = points
    for axis, limit, sign in sides:
        ring = _half(ring, axis, limit, sign)
    return ring


def _piece(a: Point, b: Point, box: Box) -> tuple[Point, Point] | None:
    """The part of one straight line inside the box (Liang and Barsky)."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    first, last = 0.0, 1.0
    for p, q in (
        (-dx, a[0] - box.x),
        (dx, box.right - a[0]),
        (-dy, a[1] - box.y),
        (dy, box.bottom - a[1]),
    ):
        if p == 0:
            if q < 0:
                return None
        elif p < 0:
            first = max(first, q / p)
        else:
            last = min(last, q / p)
    if first > last:
        return None
    return (a[0] + first * dx, a[1] + first * dy), (a[0] + last * dx, a[1] + last * dy)


def clipped_lines(points: list[Point], box: Box, closed: bool = True) -> list[Ring]:
    """The pieces of a line (or of a closed outline's edge) inside the box.

    An edge that the box itself makes is not among them.
    """
    line = [*points, points[0]] if closed and points else points
    sides = _passed(line, box) if line else None
    if not sides:
        return [] if sides is None else [line]
    pieces: list[Ring] = []
    for a, b in pairwise(line):
        part = _piece(a, b, box)
        if part is None:
            continue
        if pieces and pieces[-1][-1] == part[0]:
            pieces[-1].append(part[1])
        else:
            pieces.append(list(part))
    return pieces


def spans_at(points: list[Point], y: float) -> list[tuple[float, float]]:
    """Where a closed outline covers a level line: (x from, x to) pairs from left to right."""
    hits = []
    x0, y0 = points[-1]
    for x1, y1 in points:
        if (y0 > y) != (y1 > y):
            hits.append(x0 + (y - y0) * (x1 - x0) / (y1 - y0))
        x0, y0 = x1, y1
    hits.sort()
    return list(zip(hits[::2], hits[1::2], strict=False))
