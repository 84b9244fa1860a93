"""A rectangle on the page."""

from collections.abc import Iterable
from typing import NamedTuple

from fixplan.sheet.shapes import Point


class Box(NamedTuple):
    """A rectangle on the page: upper left corner and size, mm."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """The right edge."""
        return self.x + self.width

    @property
    def bottom(self) -> float:
        """The lower edge."""
        return self.y + self.height

    @property
    def corners(self) -> tuple[Point, ...]:
        """The four corners, from the upper left clockwise."""
        x, y, right, bottom = self.x, self.y, self.right, self.bottom
        return ((x, y), (right, y), (right, bottom), (x, bottom))


def box_round(points: Iterable[Point]) -> Box:
    """The rectangle round some points, at least one."""
    xs, ys = zip(*points, strict=True)
    return Box(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))


def touches(one: Box, other: Box) -> bool:
    """Whether two rectangles overlap; one without width or height overlaps nothing."""
    ax, ay, a_width, a_height = one
    bx, by, b_width, b_height = other
    if ax >= bx + b_width or bx >= ax + a_width or ay >= by + b_height or by >= ay + a_height:
        return False
    return a_width > 0.0 and b_width > 0.0 and a_height > 0.0 and b_height > 0.0
