"""Shapes made smaller and moved, text and lines with them."""

from collections.abc import Iterable

from msgspec.structs import replace

from fixplan.sheet.shapes import AnyShape, Disc, Fill, Line, Point, Polygon, Stroke


def scaled(shapes: Iterable[AnyShape], factor: float, at: Point) -> tuple[AnyShape, ...]:
    """The shapes at `factor` of their size; the page's origin comes to lie at `at`."""
    return tuple(_scaled(shape, factor, at) for shape in shapes)


def _scaled(shape: AnyShape, factor: float, at: Point) -> AnyShape:
    if isinstance(shape, Line):
        points = _points(shape.points, factor, at)
        return replace(shape, points=points, stroke=_stroke(shape.stroke, factor))
    if isinstance(shape, Polygon):
        return replace(
            shape,
            points=_points(shape.points, factor, at),
            holes=tuple(_points(ring, factor, at) for ring in shape.holes),
            stroke=None if shape.stroke is None else _stroke(shape.stroke, factor),
            fill=None if shape.fill is None else _fill(shape.fill, factor),
        )
    if isinstance(shape, Disc):
        return replace(
            shape,
            centre=_point(shape.centre, factor, at),
            radius_mm=factor * shape.radius_mm,
            stroke=None if shape.stroke is None else _stroke(shape.stroke, factor),
        )
    return replace(shape, at=_point(shape.at, factor, at), size_mm=factor * shape.size_mm)


def _points(points: Iterable[Point], factor: float, at: Point) -> tuple[Point, ...]:
    return tuple(_point(point, factor, at) for point in points)


def _point(point: Point, factor: float, at: Point) -> Point:
    return at[0] + factor * point[0], at[1] + factor * point[1]


def _stroke(stroke: Stroke, factor: float) -> Stroke:
    return replace(stroke, width_mm=factor * stroke.width_mm)


def _fill(fill: Fill, factor: float) -> Fill:
    return replace(fill, spacing_mm=factor * fill.spacing_mm)
