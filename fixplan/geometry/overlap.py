"""How well one drawn outline covers another: overlap, what was missed, the largest distance.

Plain geometry of closed outlines in one plane, in mm; no source. Distances are taken from points
at most `STEP_MM` apart on the outlines, so the largest is short by at most half of that.
"""

from collections.abc import Sequence

import msgspec
import shapely

from fixplan.errors import GeometryError
from fixplan.geometry.validity import checked_polygon

Outline = Sequence[tuple[float, float]]
STEP_MM = 1.0


class Overlap(msgspec.Struct, frozen=True):
    """A drawn region beside the true one.

    `share` is intersection over union, 0 to 1. `missed_mm2` is true and not drawn, `extra_mm2`
    drawn and not true. `largest_mm` (Hausdorff) is how far the point that is worst off in either
    lies from the other region.
    """

    share: float
    missed_mm2: float
    extra_mm2: float
    largest_mm: float


def overlap(drawn: Sequence[Outline], true: Sequence[Outline]) -> Overlap:
    """Compares two regions, each of one or more outlines that are united.

    Raises:
        GeometryError: a region without an outline, or an outline that cannot be used.
    """
    one, other = _united(drawn), _united(true)
    both = float(shapely.area(shapely.intersection(one, other)))
    areas = float(shapely.area(one)), float(shapely.area(other))
    return Overlap(
        share=both / (sum(areas) - both),
        missed_mm2=areas[1] - both,
        extra_mm2=areas[0] - both,
        largest_mm=max(_farthest_mm(one, other), _farthest_mm(other, one)),
    )


def band(line: Outline, half_width_mm: float) -> Outline:
    """The outline of a line with a half-width, its ends flat; for marks on the skin.

    Raises:
        GeometryError: a line of fewer than two different points.
    """
    if len(set(line)) < 2:
        raise GeometryError("A line has fewer than two different points: draw it anew.")
    wide = shapely.LineString(line).buffer(max(half_width_mm, STEP_MM), cap_style="flat")
    parts = [part for part in shapely.get_parts(wide) if isinstance(part, shapely.Polygon)]
    ring = max(parts, key=lambda part: part.area).exterior
    return [(float(u), float(v)) for u, v in ring.coords[:-1]]


def _united(outlines: Sequence[Outline]) -> shapely.Geometry:
    if not outlines:
        raise GeometryError("There is no outline to compare: draw one.")
    return shapely.union_all([checked_polygon(one) for one in outlines])


def _farthest_mm(one: shapely.Geometry, other: shapely.Geometry) -> float:
    """The largest distance from a point of `one`'s outline to the region `other`."""
    points = shapely.points(
        shapely.get_coordinates(shapely.segmentize(shapely.boundary(one), STEP_MM))
    )
    return float(shapely.distance(points, other).max())
