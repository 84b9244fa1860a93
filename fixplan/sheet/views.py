"""Where a view lies on the page: limb view coordinates to page millimetres and back.

Limb view coordinates are (u, v) mm: front u = x (lateral +), side u = y (anterior +), v distal +.
Only here are left and right told apart (D2): in the front view a right limb's lateral side is on
the viewer's left, in the side view, seen from the lateral side, its anterior is on the right.
"""

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fixplan.case.scalars import Side, View
from fixplan.sheet.box import Box
from fixplan.sheet.shapes import Point

Points = NDArray[np.float64]
_RIGHT_LIMB_MIRROR: dict[View, int] = {"front": -1, "side": 1}


def mirror(view: View, side: Side) -> int:
    """+1 where u grows to the right of the page, -1 where it grows to the left (D2).

    A pelvis with both sides is drawn as a right one.
    """
    return _RIGHT_LIMB_MIRROR[view] * (-1 if side == "left" else 1)


ANEW = -1
"""A frame that belongs to no arrangement of the page: it is chosen anew."""


class ViewFrame(NamedTuple):
    """One view on the page.

    `scale` is page mm per limb mm, `origin` the page point of (u, v) = (0, 0), `box` the window
    that the drawing is cut to, `mirror` the direction of u on the page, `limits` the left and right
    edge of what is drawn. `arrangement` is the page's arrangement that the frame was made for.
    """

    view: View
    box: Box
    scale: float
    origin: Point
    mirror: int
    limits: tuple[float, float]
    arrangement: int = ANEW

    def to_page(self, uv: Points) -> list[Point]:
        """Page points of (n, 2) limb view coordinates."""
        page = uv * (self.mirror * self.scale, self.scale) + self.origin
        return [(x, y) for x, y in page.tolist()]

    def point(self, u: float, v: float) -> Point:
        """Page point of one limb view coordinate."""
        return (
            self.origin[0] + self.mirror * self.scale * u,
            self.origin[1] + self.scale * v,
        )

    def from_page(self, x: float, y: float) -> Point:
        """Limb view coordinate of a page point."""
        return (
            (x - self.origin[0]) / (self.mirror * self.scale),
            (y - self.origin[1]) / self.scale,
        )

    @property
    def v_range(self) -> tuple[float, float]:
        """The levels of the window's upper and lower edge."""
        return self.from_page(0, self.box.y)[1], self.from_page(0, self.box.bottom)[1]


class Extent(NamedTuple):
    """What a view must show: least and greatest u and v, limb mm."""

    u_from: float
    u_to: float
    v_from: float
    v_to: float

    @property
    def u_size(self) -> float:
        """Width, limb mm."""
        return self.u_to - self.u_from

    @property
    def v_size(self) -> float:
        """Height, limb mm."""
        return self.v_to - self.v_from

    def grown(self, step_mm: float) -> "Extent":
        """The extent out to whole steps, so that a small move does not shift the drawing."""
        return Extent(
            step_mm * np.floor(self.u_from / step_mm),
            step_mm * np.ceil(self.u_to / step_mm),
            step_mm * np.floor(self.v_from / step_mm),
            step_mm * np.ceil(self.v_to / step_mm),
        )


def extent_of(uv: Iterable[Point]) -> Extent:
    """The extent of some points; there must be at least one."""
    us, vs = zip(*uv, strict=True)
    return Extent(min(us), max(us), min(vs), max(vs))


def _frame(view: View, side: Side, extent: Extent, box: Box, scale: float) -> ViewFrame:
    """A view centred in its box at a scale, its upper edge at the extent's upper level."""
    turn = mirror(view, side)
    middle_u = 0.5 * (extent.u_from + extent.u_to)
    origin = (box.x + 0.5 * box.width - turn * scale * middle_u, box.y - scale * extent.v_from)
    ends = [origin[0] + turn * scale * u for u in (extent.u_from, extent.u_to)]
    return ViewFrame(view, box, scale, origin, turn, (min(ends), max(ends)))


def place_views(
    front: Extent, side_view: Extent, side: Side, box: Box, gap_mm: float
) -> tuple[ViewFrame, ViewFrame]:
    """Front and side view beside each other in a box, at one scale and level with each other.

    `gap_mm` (page) stays free between them. Both must span the same v range.
    """
    v_size = front.v_to - front.v_from
    across = front.u_size + side_view.u_size
    scale = min(box.height / v_size, (box.width - gap_mm) / across)
    spare = box.width - gap_mm - scale * across
    height = scale * v_size
    width = scale * front.u_size + 0.5 * spare
    front_box = Box(box.x, box.y, width, height)
    side_box = Box(front_box.right + gap_mm, box.y, box.width - gap_mm - width, height)
    return (
        _frame("front", side, front, front_box, scale),
        _frame("side", side, side_view, side_box, scale),
    )


def stack_views(
    front: Extent, side_view: Extent, side: Side, boxes: tuple[Box, Box]
) -> tuple[ViewFrame, ViewFrame]:
    """Front and side view each in a box of its own, the second beneath the first, at one scale."""
    extents = (front, side_view)
    scale = min(
        min(box.width / one.u_size, box.height / (one.v_to - one.v_from))
        for box, one in zip(boxes, extents, strict=True)
    )
    heights = [scale * (one.v_to - one.v_from) for one in extents]
    step = boxes[1].y - boxes[0].bottom
    upper = boxes[0]._replace(height=heights[0])
    lower = boxes[1]._replace(y=upper.bottom + step, height=heights[1])
    return (
        _frame("front", side, front, upper, scale),
        _frame("side", side, side_view, lower, scale),
    )
