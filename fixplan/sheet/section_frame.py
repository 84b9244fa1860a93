"""Where the section lies on the page: the plane of a segment to page millimetres and back.

Anterior is up. The section is seen from below, so a right limb's lateral side is on the viewer's
left, as in the front view (D2).
"""

import functools
from math import atan2, ceil, degrees
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fixplan.limb.anatomy import Limb
from fixplan.sheet.box import Box
from fixplan.sheet.shapes import Point

Points = NDArray[np.float64]

COLUMN_MM = 22.5
"""Width of the names at either side."""
RING_MM = 8.0
"""Room round the skin for the bands of clear directions and the letters at their ends."""
LANE_MM = 4.2
"""Room round that for the four words and the pin's number."""
AROUND_MM = RING_MM + LANE_MM
STEP_MM = 10.0
MOST_SCALE = 1.6


class SectionFrame(NamedTuple):
    """One section on the page.

    `scale` is page mm per limb mm, `origin` the page point of (x, y) = (0, 0) of the segment,
    `mirror` the direction of x on the page. `beside`: the bone of the other half, where both are
    drawn. `box` holds all that is drawn, `inner` the part between
    the names. `target` is the point (x, y) that clear directions are told about; `pin` the id of
    the pin that is drawn, if any.
    """

    segment: str
    level_mm: float
    bone: str
    pin: str | None
    target: Point
    box: Box
    inner: Box
    scale: float
    origin: Point
    mirror: int
    beside: str = ""

    def point(self, x: float, y: float) -> Point:
        """Page point of a point of the segment's plane."""
        return (
            self.origin[0] + self.mirror * self.scale * x,
            self.origin[1] - self.scale * y,
        )

    def to_page(self, xy: Points) -> list[Point]:
        """Page points of (n, 2) points of the segment's plane."""
        across = self.origin[0] + self.mirror * self.scale * xy[:, 0]
        down = self.origin[1] - self.scale * xy[:, 1]
        return list(zip(across.tolist(), down.tolist(), strict=True))

    def from_page(self, x: float, y: float) -> Point:
        """The point of the segment's plane at a page point."""
        return (
            (x - self.origin[0]) / (self.mirror * self.scale),
            (self.origin[1] - y) / self.scale,
        )

    def moved(self, by_mm: float) -> "SectionFrame":
        """The same section further to the right."""
        return self._replace(
            box=self.box._replace(x=self.box.x + by_mm),
            inner=self.inner._replace(x=self.inner.x + by_mm),
            origin=(self.origin[0] + by_mm, self.origin[1]),
        )

    def bearing_at(self, at: Point) -> float:
        """The bearing (deg, 0 to 360) of a page point from the target."""
        x, y = self.from_page(*at)
        return degrees(atan2(y - self.target[1], x - self.target[0])) % 360.0

    def holds(self, at: Point) -> bool:
        """Whether a page point lies in the drawing of the section."""
        box = self.inner
        return box.x <= at[0] <= box.right and box.y <= at[1] <= box.bottom


def _room(box: Box) -> Box:
    """What lies between the names at the sides."""
    return Box(box.x + COLUMN_MM, box.y, box.width - 2 * COLUMN_MM, box.height)


@functools.lru_cache(maxsize=256)
def _extent(limb: Limb, group: str, level_mm: float, beside: str) -> tuple[Point, Point]:
    """Middle and size of the skin at a level, with that of the half beside it."""
    skin = limb.skin(group, level_mm)
    if skin is None:
        return (0.0, 0.0), (STEP_MM, STEP_MM)
    low, high = skin.min(axis=0).tolist(), skin.max(axis=0).tolist()
    other = limb.skin(limb.group_of(beside), level_mm) if beside else None
    if other is not None:
        low = [-float(other[:, 0].max()), min(low[1], float(other[:, 1].min()))]
        high[1] = max(high[1], float(other[:, 1].max()))
    middle = (0.5 * (low[0] + high[0]), 0.5 * (low[1] + high[1]))
    return middle, (high[0] - low[0], high[1] - low[1])


@functools.lru_cache(maxsize=256)
def section_frame(
    limb: Limb,
    plane: tuple[str, float, str],
    pin: str | None,
    box: Box,
    mirror: int,
    beside: str = "",
) -> SectionFrame:
    """The frame of a section (segment, level, bone) in a box of the page.

    `beside`: the bone of the other half, if that is drawn too.

    The scale goes by steps of the limb's thickness, so that a small move does not change it.
    """
    segment, level_mm, bone = plane
    inner = _room(box)
    middle, size = _extent(limb, limb.group_of(bone), level_mm, beside)
    wide, high = (STEP_MM * ceil(one / STEP_MM) for one in size)
    around = 2 * AROUND_MM
    scale = min((inner.width - around) / wide, (inner.height - around) / high, MOST_SCALE)
    inner = inner._replace(height=scale * high + around)
    origin = (
        inner.x + 0.5 * inner.width - mirror * scale * middle[0],
        inner.y + 0.5 * inner.height + scale * middle[1],
    )
    section = limb.section(bone, level_mm)
    target = middle if section is None else (float(section.target[0]), float(section.target[1]))
    return SectionFrame(
        segment, level_mm, bone, pin, target, box, inner, scale, origin, mirror, beside
    )
