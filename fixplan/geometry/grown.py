"""An outline grown by a margin in its own plane, and the area inside one."""

from functools import lru_cache

import shapely

from fixplan.case.scalars import Point
from fixplan.geometry.validity import checked_polygon

_QUADRANT_STEPS = 5


@lru_cache(maxsize=256)
def grown_outline(points: tuple[Point, ...], margin_mm: float) -> tuple[Point, ...]:
    """The outline of everything within `margin_mm` of a closed outline, without holes.

    Raises:
        GeometryError: the outline crosses itself or encloses nothing.
    """
    grown = checked_polygon(points).buffer(margin_mm, quad_segs=_QUADRANT_STEPS)
    outer = shapely.get_exterior_ring(grown)
    return tuple((float(u), float(v)) for u, v in shapely.get_coordinates(outer)[:-1])


def outline_area_mm2(points: tuple[Point, ...]) -> float:
    """The area inside a closed outline.

    Raises:
        GeometryError: the outline crosses itself or encloses nothing.
    """
    return float(checked_polygon(points).area)
