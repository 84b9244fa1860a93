"""A rectangle on the page."""

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
