"""How far shapes reach on the page, and how near a point comes to them. Millimetres, no Qt."""

from collections.abc import Iterable
from itertools import pairwise
from math import cos, hypot, inf, radians, sin

from fixplan.sheet.fonts import text_width_mm
from fixplan.sheet.shapes import AnyShape, Disc, Line, Point, Text

Extent = tuple[float, float, float, float]
Edges = Extent | None

_TEXT_SHIFT = {"left": 0.0, "centre": -0.5, "right": -1.0}


def extent_mm(shapes: Iterable[AnyShape]) -> Extent:
    """Left, top, width and height of all that is painted; zeros when there is nothing."""
    return around_all(edges_mm(shape) for shape in shapes)


def around_all(edges: Iterable[Edges]) -> Extent:
    """Left, top, width and height of what lies between some shapes' edges."""
    known = [one for one in edges if one is not None]
    if not known:
        return (0.0, 0.0, 0.0, 0.0)
    lefts, tops, rights, bottoms = zip(*known, strict=True)
    left, top = min(lefts), min(tops)
    return (left, top, max(rights) - left, max(bottoms) - top)


def edges_mm(shape: AnyShape) -> Edges:
    """Left, top, right and bottom of one painted shape; None when it has no point."""
    marks, reach = _marks(shape), _reach_mm(shape)
    if not marks:
        return None
    if len(marks) == 1:
        ((x, y),) = marks
        return (x - reach, y - reach, x + reach, y + reach)
    if len(marks) == 2:
        (x, y), (u, v) = marks
        return (min(x, u) - reach, min(y, v) - reach, max(x, u) + reach, max(y, v) + reach)
    xs, ys = zip(*marks, strict=True)
    return (min(xs) - reach, min(ys) - reach, max(xs) + reach, max(ys) + reach)


def gap_mm(shape: AnyShape, at: Point) -> float:
    """How far a page point is from a shape: 0 inside a filled one, inf for text."""
    if isinstance(shape, Text):
        return inf
    if isinstance(shape, Disc):
        return _disc_gap_mm(shape, at)
    if isinstance(shape, Line):
        return polyline_gap_mm(shape.points, at)
    if shape.fill is not None and is_inside(shape.points, at):
        return 0.0
    return polyline_gap_mm((*shape.points, *shape.points[:1]), at)


def polyline_gap_mm(points: tuple[Point, ...], at: Point) -> float:
    """Distance of a point from an open polyline; inf when it has no point."""
    if len(points) == 1:
        return hypot(points[0][0] - at[0], points[0][1] - at[1])
    pairs = pairwise(points)
    return min((_segment_gap_mm(a, b, at) for a, b in pairs), default=inf)


def is_inside(ring: tuple[Point, ...], at: Point) -> bool:
    """Whether a point lies inside a closed outline (even-odd)."""
    x, y = at
    inside = False
    for (ax, ay), (bx, by) in zip(ring, (*ring[1:], *ring[:1]), strict=True):
        if (ay > y) != (by > y) and x < ax + (y - ay) / (by - ay) * (bx - ax):
            inside = not inside
    return inside


def _marks(shape: AnyShape) -> tuple[Point, ...]:
    if isinstance(shape, Disc):
        return (shape.centre,)
    if isinstance(shape, Text):
        return _text_corners(shape)
    return shape.points


def _reach_mm(shape: AnyShape) -> float:
    """How far the ink goes beyond the marks."""
    if isinstance(shape, Text):
        return 0.5
    width = shape.stroke.width_mm if shape.stroke is not None else 0.0
    radius = shape.radius_mm if isinstance(shape, Disc) else 0.0
    return radius + width + 0.3


def _text_corners(text: Text) -> tuple[Point, ...]:
    """Corners of the box that a line of text fills, turned with it; two are enough if it is not."""
    width = text_width_mm(text.text, text.size_mm, text.bold, text.italic)
    left = _TEXT_SHIFT[text.align] * width
    if text.turn_deg == 0.0:
        x, y = text.at[0] + left, text.at[1]
        return ((x, y - text.size_mm), (x + width, y + 0.3 * text.size_mm))
    c, s = cos(radians(text.turn_deg)), sin(radians(text.turn_deg))
    x0, y0 = text.at
    corners = [(x, y) for x in (left, left + width) for y in (-text.size_mm, 0.3 * text.size_mm)]
    return tuple((x0 + c * x - s * y, y0 + s * x + c * y) for x, y in corners)


def _disc_gap_mm(disc: Disc, at: Point) -> float:
    gap = hypot(disc.centre[0] - at[0], disc.centre[1] - at[1]) - disc.radius_mm
    return max(0.0, gap) if disc.fill is not None else abs(gap)


def _segment_gap_mm(a: Point, b: Point, at: Point) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    length2 = dx * dx + dy * dy
    along = 0.0 if length2 == 0 else ((at[0] - a[0]) * dx + (at[1] - a[1]) * dy) / length2
    along = min(1.0, max(0.0, along))
    return hypot(a[0] + along * dx - at[0], a[1] + along * dy - at[1])
