"""Small vectors of three numbers as tuples: quicker than arrays for a handful of points."""

from collections.abc import Iterable
from math import hypot

Vector = tuple[float, float, float]


def vector(numbers: Iterable[float]) -> Vector:
    """Three numbers, from an array or any sequence, as a plain tuple."""
    x, y, z = numbers
    return float(x), float(y), float(z)


def add(a: Vector, b: Vector) -> Vector:
    """Sum a + b."""
    return a[0] + b[0], a[1] + b[1], a[2] + b[2]


def minus(a: Vector, b: Vector) -> Vector:
    """Difference a - b."""
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]


def times(a: Vector, factor: float) -> Vector:
    """Vector a scaled by a factor."""
    return a[0] * factor, a[1] * factor, a[2] * factor


def along(start: Vector, direction: Vector, distance: float) -> Vector:
    """Point at a distance from start in a direction."""
    return (
        start[0] + distance * direction[0],
        start[1] + distance * direction[1],
        start[2] + distance * direction[2],
    )


def dot(a: Vector, b: Vector) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vector, b: Vector) -> Vector:
    """Vector product, in the order of the three numbers."""
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def size(a: Vector) -> float:
    """Length of a vector."""
    return hypot(a[0], a[1], a[2])


def unit(a: Vector) -> Vector:
    """Vector of length 1 in the same direction; a zero vector stays zero."""
    length = size(a)
    return times(a, 1 / length) if length > 0 else a


def across(a: Vector, direction: Vector) -> Vector:
    """What is left of a when its share along a unit direction is taken away."""
    return minus(a, times(direction, dot(a, direction)))


def line_meeting(p: Vector, u: Vector, q: Vector, v: Vector) -> tuple[float, float]:
    """Distances along lines p + s u and q + t v at which they come closest; u and v have length 1.

    Parallel lines meet at t = 0.
    """
    between = minus(q, p)
    cosine = dot(u, v)
    sine2 = 1 - cosine * cosine
    if sine2 < 1e-12:
        return dot(between, u), 0.0
    s = (dot(between, u) - dot(between, v) * cosine) / sine2
    return s, s * cosine - dot(between, v)


def stretch_gap(p: Vector, p_end: Vector, q: Vector, q_end: Vector) -> float:
    """Least distance between two straight stretches given by their ends."""
    u, v = minus(p_end, p), minus(q_end, q)
    gaps = [
        point_gap(p, q, q_end),
        point_gap(p_end, q, q_end),
        point_gap(q, p, p_end),
        point_gap(q_end, p, p_end),
    ]
    length_u, length_v = size(u), size(v)
    if length_u > 0 and length_v > 0:
        way_u, way_v = times(u, 1 / length_u), times(v, 1 / length_v)
        s, t = line_meeting(p, way_u, q, way_v)
        if 0 <= s <= length_u and 0 <= t <= length_v:
            gaps.append(size(minus(along(p, way_u, s), along(q, way_v, t))))
    return min(gaps)


def point_gap(point: Vector, start: Vector, end: Vector) -> float:
    """Distance of a point to a straight stretch given by its ends."""
    run = minus(end, start)
    length2 = dot(run, run)
    share = 0.0 if length2 == 0 else max(0.0, min(1.0, dot(minus(point, start), run) / length2))
    return size(minus(point, along(start, run, share)))
