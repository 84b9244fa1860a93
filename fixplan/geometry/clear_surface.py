"""How far a section's outline reaches from a point inside it, bearing by bearing.

Bearings are in radians here. Between two neighbouring vertex bearings the farthest hit lies on one
edge, so that the reach is d / cos(bearing - n), with the edge at distance d and its normal at n.
"""

import math

import numpy as np
from numpy.typing import NDArray

from fixplan.errors import GeometryError

Array = NDArray[np.float64]
Indices = NDArray[np.intp]

TURN = 2 * math.pi
_SAME_BEARING = 1e-12


class FarSurface:
    """The farthest boundary of an outline as seen from a target inside it.

    `bearing` holds the sorted vertex bearings in [0, 2 pi); sector k runs from vertex bearing k to
    the next. `greatest_mm` is the largest reach on any bearing.
    """

    __slots__ = ("_distance", "_normal", "bearing", "greatest_mm")

    def __init__(self, outline: Array, target: Array) -> None:
        """Look at an outline (n, 2) from a target (2,), both in mm.

        Raises:
            GeometryError: the target is not inside the outline.
        """
        ring = outline - target
        bearing = np.arctan2(ring[:, 1], ring[:, 0]) % TURN
        first = int(bearing.argmin())
        turned = np.concatenate((bearing[first:], bearing[:first], bearing[first : first + 1]))
        turned[-1] += TURN
        step = turned[1:] - turned[:-1]
        if step.min() > _SAME_BEARING and step.max() < math.pi:
            self.bearing = turned[:-1]
            self._distance, self._normal = _edges(np.concatenate((ring[first:], ring[:first])))
        else:
            self.bearing = _distinct(bearing)
            middle = (self.bearing + np.append(self.bearing[1:], self.bearing[0] + TURN)) / 2
            self._distance, self._normal = _farthest_edges(ring, middle)
        self.greatest_mm = math.sqrt(float((ring * ring).sum(axis=1).max()))

    def sector(self, bearing: Array) -> Indices:
        """Number of the sector that holds each bearing."""
        return np.searchsorted(self.bearing, bearing % TURN, side="right") - 1

    def reach_in(self, sector: Indices, bearing: Array) -> Array:
        """Reach on bearings that are known to lie in, or at an end of, the given sectors, mm."""
        return np.asarray(self._distance[sector] / np.cos(bearing - self._normal[sector]))

    def edges_of(self, sector: Indices) -> tuple[Array, Array]:
        """Distance and normal bearing (radians) of the edge that each sector meets last."""
        return self._distance[sector], self._normal[sector]

    def reach_mm(self, bearing: Array) -> Array:
        """Distance from the target to the farthest boundary on each bearing, mm."""
        return self.reach_in(self.sector(bearing), bearing)


def following(ring: Array) -> Array:
    """Each entry's follower in a closed ring."""
    return np.concatenate((ring[1:], ring[:1]))


def polar(points: Array) -> tuple[Array, Array]:
    """Distance and bearing (radians) of points about the origin."""
    return np.hypot(points[..., 0], points[..., 1]), np.arctan2(points[..., 1], points[..., 0])


def wrapped(bearing: Array) -> Array:
    """Bearings brought into [-pi, pi)."""
    return np.asarray((bearing + math.pi) % TURN - math.pi)


def _distinct(bearing: Array) -> Array:
    ordered = np.sort(bearing)
    return np.asarray(ordered[np.append(True, np.diff(ordered) > _SAME_BEARING)])


def _edges(ring: Array) -> tuple[Array, Array]:
    """Distance from the target and normal bearing of each edge, from its vertex to the next.

    Where a ring turns round the target without going back, these are what each sector meets last.
    """
    x, y = ring.T
    step_x, step_y = (following(ring) - ring).T
    length = np.maximum(np.hypot(step_x, step_y), _SAME_BEARING)
    return (x * step_y - y * step_x) / length, np.arctan2(-step_x, step_y)


def _farthest_edges(ring: Array, middle: Array) -> tuple[Array, Array]:
    """Distance and normal bearing of the edge hit last on each bearing."""
    distance, normal = _edges(ring)
    off = np.cos(middle)[:, None] * ring[:, 1] - np.sin(middle)[:, None] * ring[:, 0]
    meets = (off > 0) != (np.roll(off, -1, axis=1) > 0)
    lean = np.cos(middle[:, None] - normal)
    reach = np.where(meets, distance / np.where(meets, lean, 1.0), -math.inf)
    last = reach.argmax(axis=1)
    if (reach[np.arange(len(middle)), last] <= 0).any() or not _is_inside(ring):
        raise GeometryError(
            "The point that pins aim at is not inside the bone's outline at this level: "
            "move the target in the anatomy file."
        )
    return distance[last], normal[last]


def _is_inside(ring: Array) -> bool:
    """Whether the origin is inside the ring (even-odd)."""
    x, y = ring[:, 0], ring[:, 1]
    following_x, following_y = np.roll(x, -1), np.roll(y, -1)
    cut = np.flatnonzero((y > 0) != (following_y > 0))
    at = x[cut] - y[cut] * (following_x[cut] - x[cut]) / (following_y[cut] - y[cut])
    return int((at > 0).sum()) % 2 == 1
