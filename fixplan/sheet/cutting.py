"""Outlines on the page cut to a view's window: what the window cuts off has no line there."""

from fixplan.sheet.clipping import clipped_lines, clipped_ring
from fixplan.sheet.scene import ViewScene
from fixplan.sheet.shapes import AnyShape, Fill, Line, Point, Polygon, Stroke


def cut_outline(
    owner: str,
    layer: int,
    scene: ViewScene,
    ring: list[Point],
    stroke: Stroke | None,
    fill: Fill | None = None,
) -> list[AnyShape]:
    """A closed outline of page points, inside the window."""
    inside = clipped_ring(ring, scene.frame.box)
    if len(inside) < 3:
        return []
    if inside == ring:
        return [Polygon(owner=owner, layer=layer, points=tuple(ring), stroke=stroke, fill=fill)]
    shapes: list[AnyShape] = []
    if fill is not None:
        shapes.append(
            Polygon(owner=owner, layer=layer, points=tuple(inside), stroke=None, fill=fill)
        )
    if stroke is not None:
        shapes += cut_line(owner, layer, scene, [*ring, ring[0]], stroke)
    return shapes


def cut_line(
    owner: str, layer: int, scene: ViewScene, points: list[Point], stroke: Stroke
) -> list[AnyShape]:
    """An open line of page points, inside the window."""
    return [
        Line(owner=owner, layer=layer, points=tuple(piece), stroke=stroke)
        for piece in clipped_lines(points, scene.frame.box, closed=False)
    ]
