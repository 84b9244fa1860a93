"""Whether straight lines cross each other or a rectangle, on the page."""

from fixplan.sheet.box import Box
from fixplan.sheet.shapes import Point

Segment = tuple[Point, Point]


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether the line from a to b crosses the one from c to d."""
    return _turn(a, b, c) * _turn(a, b, d) < 0 and _turn(c, d, a) * _turn(c, d, b) < 0


def crosses(box: Box, line: Segment) -> bool:
    """Whether a line runs through a rectangle or ends in it."""
    (ax, ay), (bx, by) = line
    if max(ax, bx) < box.x or min(ax, bx) > box.right:
        return False
    if max(ay, by) < box.y or min(ay, by) > box.bottom:
        return False
    if box.x <= ax <= box.right and box.y <= ay <= box.bottom:
        return True
    corners = box.corners
    return cross(*line, corners[0], corners[2]) or cross(*line, corners[1], corners[3])
