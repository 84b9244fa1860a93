"""Judges every drawn or shipped polygon; says what is wrong in one sentence and repairs nothing."""

import math
import re
from collections.abc import Sequence
from functools import lru_cache

import shapely

from fixplan.errors import GeometryError

_WHERE = re.compile(r"\[(\S+) (\S+)\]")
_NO_AREA_MM2 = 1e-6


def polygon_problem(points: Sequence[tuple[float, float]]) -> str | None:
    """What is wrong with a closed outline, in one sentence; None if it can be used.

    Points are (u, level) in mm; the last joins the first by itself, and a point that repeats the
    one before it draws nothing and is overlooked. Found: fewer than three points, a coordinate
    that is not a number, points drawn over again, no area, edges that cross or touch.
    """
    return _problem(_drawn(points))


def checked_polygon(points: Sequence[tuple[float, float]]) -> shapely.Polygon:
    """The outline as a polygon.

    Raises:
        GeometryError: the sentence of `polygon_problem`, when there is one.
    """
    return _checked(_drawn(points))


def _drawn(points: Sequence[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """The points as numbers, without those that repeat the one before them all round."""
    pairs = tuple((float(u), float(v)) for u, v in points)
    kept = tuple(pair for i, pair in enumerate(pairs) if pair != pairs[i - 1])
    return kept or pairs[:1]


@lru_cache(maxsize=256)
def _checked(points: tuple[tuple[float, float], ...]) -> shapely.Polygon:
    problem = _problem(points)
    if problem is not None:
        raise GeometryError(problem)
    return shapely.Polygon(points)


@lru_cache(maxsize=256)
def _problem(points: tuple[tuple[float, float], ...]) -> str | None:
    if len(points) < 3:
        return f"The outline has {len(points)} of at least 3 points: add points to it."
    bad = next((i for i, p in enumerate(points) if not all(map(math.isfinite, p))), None)
    if bad is not None:
        return f"Point {bad + 1} of the outline has a coordinate that is not a number: set it anew."
    return _repeated(points) or _shape_problem(points)


def _repeated(points: tuple[tuple[float, float], ...]) -> str | None:
    seen: dict[tuple[float, float], int] = {}
    for number, point in enumerate(points, start=1):
        if point in seen:
            return (
                f"Points {seen[point]} and {number} of the outline are the same, at "
                f"{_place(*point)}: remove one of them."
            )
        seen[point] = number
    return None


def _shape_problem(points: tuple[tuple[float, float], ...]) -> str | None:
    polygon = shapely.Polygon(points)
    if polygon.convex_hull.area <= _NO_AREA_MM2:
        return f"The outline at {_place(*points[0])} has no area: move a point off the line."
    if shapely.is_valid(polygon):
        return None
    found = _WHERE.search(shapely.is_valid_reason(polygon))
    where = f" at {_place(float(found[1]), float(found[2]))}" if found else ""
    return f"The outline crosses or touches itself{where}: move a point so that no edges meet."


def _place(u: float, v: float) -> str:
    return f"({u:.1f}, {v:.1f}) mm"
