"""The limb as it lies and the frames of its views: what every picture needs to find the page."""

import functools
from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from fixplan.case.records import View
from fixplan.limb.anatomy import Limb
from fixplan.limb.pose import Pose
from fixplan.sheet.shapes import Point
from fixplan.sheet.views import ViewFrame

Array = NDArray[np.float64]


def shows_levels(limb: Limb, segment: str, view: View) -> bool:
    """Whether a view's v is the segment's level; a foot seen from above shows none."""
    return view == "side" or limb.segments[segment].front_shows == "level"


class ViewScene:
    """One view of the limb on the page. Made by `view_scene`; compared by identity."""

    __slots__ = ("frame", "pose")

    def __init__(self, pose: Pose, frame: ViewFrame) -> None:
        self.pose = pose
        self.frame = frame

    @property
    def limb(self) -> Limb:
        """The limb that is shown."""
        return self.pose.limb

    def shows_levels(self, segment: str) -> bool:
        """Whether this view's v is the segment's level."""
        return shows_levels(self.limb, segment, self.frame.view)

    def drawn(self, segment: str, points: Array | Iterable[Point]) -> list[Point]:
        """Page points of (u, level) points drawn in a segment, in this view."""
        flat = np.asarray(points if isinstance(points, np.ndarray) else list(points), dtype=float)
        uv = self.pose.uv_of(segment, self.frame.view, flat.reshape(-1, 2))
        return self.frame.to_page(uv)

    def solid(self, segment: str, points: Iterable[Array]) -> list[Point]:
        """Page points of (x, y, level) points of a segment."""
        solid = np.asarray(list(points), dtype=float).reshape(-1, 3)
        uv = self.pose.to_view(segment, self.frame.view, solid)
        return self.frame.to_page(uv)

    def posed(self, segment: str, points: Iterable[tuple[float, float, float]]) -> list[Point]:
        """Page points of points in the posed limb's frame, shown as part of a segment."""
        own = self.pose.from_limb(segment, np.asarray(list(points), dtype=float).reshape(-1, 3))
        uv = self.pose.to_view(segment, self.frame.view, own)
        return self.frame.to_page(uv)


@functools.lru_cache(maxsize=64)
def view_scene(pose: Pose, frame: ViewFrame) -> ViewScene:
    """The scene of a limb in a frame; always the same one, so that pictures can be remembered."""
    return ViewScene(pose, frame)
