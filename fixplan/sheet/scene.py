"""The limb as it lies and the frames of its views: what every picture needs to find the page."""

import functools
from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fixplan.case.scalars import View
from fixplan.limb.anatomy import Limb
from fixplan.limb.pose import Pose
from fixplan.sheet.shapes import Point
from fixplan.sheet.views import ViewFrame

Array = NDArray[np.float64]


def shows_levels(limb: Limb, segment: str, view: View) -> bool:
    """Whether a view's v is the segment's level; a foot seen from above shows none."""
    return view == "side" or limb.segments[segment].front_shows == "level"


class Plane(NamedTuple):
    """An even map from three coordinates to a plane: factors of x, y, z, and what is added."""

    u: tuple[float, float, float, float]
    v: tuple[float, float, float, float]

    def at(self, x: float, y: float, z: float) -> Point:
        """Where a point falls."""
        a, b, c, d = self.u
        e, f, g, h = self.v
        return a * x + b * y + c * z + d, e * x + f * y + g * z + h

    def on_page(self, frame: ViewFrame) -> "Plane":
        """The same map, on to the page."""
        x, y = frame.origin
        across, down = frame.mirror * frame.scale, frame.scale
        a, b, c, d = self.u
        e, f, g, h = self.v
        return Plane(
            (across * a, across * b, across * c, across * d + x),
            (down * e, down * f, down * g, down * h + y),
        )


_PROBES = np.array([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [0.0, 0.0, 0.0]])


def _plane(seen: Array) -> Plane:
    """The map that takes the probes to what was seen of them."""
    still = seen[3]
    factors = (seen[:3] - still).T.tolist()
    (a, b, c), (e, f, g) = factors
    return Plane((a, b, c, float(still[0])), (e, f, g, float(still[1])))


@functools.lru_cache(maxsize=256)
def view_plane(pose: Pose, view: View, segment: str) -> Plane:
    """From a segment's own frame (x, y, level) to limb view coordinates (u, v)."""
    return _plane(pose.to_view(segment, view, _PROBES))


@functools.lru_cache(maxsize=256)
def posed_plane(pose: Pose, view: View, segment: str) -> Plane:
    """From the posed limb's frame to (u, v), shown as part of a segment."""
    return _plane(pose.to_view(segment, view, pose.from_limb(segment, _PROBES)))


class ViewScene:
    """One view of the limb on the page. Made by `view_scene`; compared by identity."""

    __slots__ = ("_posed", "_solid", "frame", "pose")

    def __init__(self, pose: Pose, frame: ViewFrame) -> None:
        self.pose = pose
        self.frame = frame
        self._solid: dict[str, Plane] = {}
        self._posed: dict[str, Plane] = {}

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
        plane = self._solid.get(segment)
        if plane is None:
            plane = view_plane(self.pose, self.frame.view, segment).on_page(self.frame)
            self._solid[segment] = plane
        return [plane.at(*point.tolist()) for point in points]

    def posed(self, segment: str, points: Iterable[tuple[float, float, float]]) -> list[Point]:
        """Page points of points in the posed limb's frame, shown as part of a segment."""
        plane = self._posed.get(segment)
        if plane is None:
            plane = posed_plane(self.pose, self.frame.view, segment).on_page(self.frame)
            self._posed[segment] = plane
        return [plane.at(*point) for point in points]


@functools.lru_cache(maxsize=64)
def view_scene(pose: Pose, frame: ViewFrame) -> ViewScene:
    """The scene of a limb in a frame; always the same one, so that pictures can be remembered."""
    return ViewScene(pose, frame)
