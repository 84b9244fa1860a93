"""Shapes cut to a window: what lies outside is left out, what crosses its edge is cut there."""

from collections.abc import Iterable, Iterator

from msgspec.structs import replace

from fixplan.sheet.box import Box
from fixplan.sheet.clipping import clipped_lines, clipped_ring
from fixplan.sheet.shapes import AnyShape, Disc, Line, Point, Polygon


def cut_shapes(shapes: Iterable[AnyShape], box: Box) -> Iterator[AnyShape]:
    """The shapes inside a window; a text or a disc is kept whole, by its own point."""
    for shape in shapes:
        if isinstance(shape, Line):
            for piece in clipped_lines(list(shape.points), box, closed=False):
                yield replace(shape, points=tuple(piece))
        elif isinstance(shape, Polygon):
            yield from _cut_polygon(shape, box)
        elif holds(box, shape.centre if isinstance(shape, Disc) else shape.at):
            yield shape


def _cut_polygon(shape: Polygon, box: Box) -> Iterator[AnyShape]:
    ring = list(shape.points)
    inside = clipped_ring(ring, box)
    if inside == ring:
        yield shape
        return
    if len(inside) < 3:
        return
    holes = tuple(tuple(hole) for one in shape.holes if (hole := clipped_ring(list(one), box)))
    yield replace(shape, points=tuple(inside), holes=holes, stroke=None)
    if shape.stroke is not None:
        for piece in clipped_lines(ring, box):
            yield Line(
                owner=shape.owner, layer=shape.layer, points=tuple(piece), stroke=shape.stroke
            )


def holds(box: Box, at: Point) -> bool:
    """Whether a point lies in a window."""
    return box.x <= at[0] <= box.right and box.y <= at[1] <= box.bottom
