"""Closed outlines as arrays: how far they reach on a bearing, at a level, across a direction."""

from bisect import bisect_right

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def directions(bearings: Array) -> Array:
    """Unit vectors (n, 2) of bearings in radians."""
    return np.column_stack((np.cos(bearings), np.sin(bearings)))


def full_turn(count: int) -> Array:
    """Unit vectors (count, 2) all round, evenly spaced from lateral."""
    return directions(np.linspace(0.0, 2 * np.pi, count, endpoint=False, dtype=np.float64))


def bearings_about(ring: Array, centre: Array) -> Array:
    """Bearings of a ring's vertices about a point, radians from 0 to 2 pi, in the ring's order."""
    arm = ring - centre
    return np.asarray(np.arctan2(arm[:, 1], arm[:, 0]) % (2 * np.pi))


def radii(ring: Array, centre: Array, bearings: Array) -> Array:
    """How far a ring reaches from a point that sees all of it, on each bearing (radians)."""
    arm = ring - centre
    own = np.arctan2(arm[:, 1], arm[:, 0]) % (2 * np.pi)
    order = np.argsort(own)
    start = arm[order]
    index = np.searchsorted(own[order], bearings % (2 * np.pi), side="right") - 1
    first, second = start[index], start[(index + 1) % len(start)]
    edge = second - first
    ray = directions(bearings)
    across = ray[:, 0] * edge[:, 1] - ray[:, 1] * edge[:, 0]
    reach: Array = (first[:, 0] * edge[:, 1] - first[:, 1] * edge[:, 0]) / across
    return reach


def is_star(ring: Array, centre: Array) -> bool:
    """Whether a counter-clockwise ring turns once about the point without going back."""
    own = np.unwrap(bearings_about(ring, centre))
    turns = np.diff(np.append(own, own[0] + 2 * np.pi))
    return bool((turns > 0).all() and own[-1] - own[0] < 2 * np.pi)


def crosses_itself(ring: Array) -> bool:
    """Whether two edges of a ring that are not neighbours cross."""
    start, end = ring, np.roll(ring, -1, axis=0)
    edge = end - start

    def side_of(points: Array) -> Array:
        """For each edge (row) and point (column): left of the edge +, right of it -."""
        arm = points[None] - start[:, None]
        return np.asarray(np.sign(edge[:, None, 0] * arm[..., 1] - edge[:, None, 1] * arm[..., 0]))

    parted = side_of(start) * side_of(end) < 0
    return bool((parted & parted.T).any())


def middle(ring: Array) -> Array:
    """Middle of a ring's bounding box."""
    box: Array = (ring.min(axis=0) + ring.max(axis=0)) / 2
    return box


def extent_across(ring: Array, bearing_deg: float) -> float:
    """Extent in mm of a ring across an axis of that bearing (D16)."""
    turn = np.radians(bearing_deg)
    return float(np.ptp(ring @ np.array((-np.sin(turn), np.cos(turn)))))


def inside(ring: Array, point: Array) -> bool:
    """Whether a point lies within a closed outline (even-odd)."""
    ahead = np.roll(ring, -1, axis=0)
    above = ring[:, 1] > point[1]
    crossing = above != (ahead[:, 1] > point[1])
    first, second = ring[crossing], ahead[crossing]
    share = (point[1] - first[:, 1]) / (second[:, 1] - first[:, 1])
    return bool(np.count_nonzero(first[:, 0] + share * (second[:, 0] - first[:, 0]) > point[0]) % 2)


def gap_to(ring: Array, point: Array) -> float:
    """Distance in mm from a point to the nearest edge of a closed outline."""
    edge = np.roll(ring, -1, axis=0) - ring
    arm = point - ring
    length = np.maximum((edge * edge).sum(axis=1), 1e-12)
    share = np.clip((arm * edge).sum(axis=1) / length, 0, 1)[:, None]
    return float(np.sqrt(((arm - share * edge) ** 2).sum(axis=1)).min())


def rounded_box(low: Array, high: Array, power: float, count: int = 48) -> Array:
    """A ring between two corners: an ellipse for power 2, squarer for a higher power."""
    ray = full_turn(count)
    shape: Array = np.sign(ray) * np.abs(ray) ** (2 / power)
    ring: Array = (low + high) / 2 + shape * ((high - low) / 2)
    return ring


class Extent:
    """The least and greatest u of an outline (u, level) at any level, exactly."""

    __slots__ = ("_high", "_levels", "_low", "_rows", "_tops")

    def __init__(self, ring: Array) -> None:
        """Cuts the outline into slabs at its vertices' levels."""
        levels = np.sort(ring[:, 1])
        levels = levels[np.append(True, np.diff(levels) > 1e-9)]
        ahead = np.roll(ring, -1, axis=0)
        rise = ahead[:, 1] - ring[:, 1]
        slope = (ahead[:, 0] - ring[:, 0]) / np.where(rise == 0, 1, rise)
        mid = (levels[:-1] + levels[1:]) / 2
        crosses = (ring[:, 1] > mid[:, None]) != (ahead[:, 1] > mid[:, None])

        def at(level: Array) -> tuple[Array, Array]:
            u = ring[:, 0] + slope * (level[:, None] - ring[:, 1])
            return np.where(crosses, u, np.inf).min(1), np.where(crosses, u, -np.inf).max(1)

        (low0, high0), (low1, high1) = at(levels[:-1]), at(levels[1:])
        self._levels = levels
        self._low = np.column_stack((low0, low1 - low0))
        self._high = np.column_stack((high0, high1 - high0))
        self._tops: list[float] = levels.tolist()
        self._rows: list[list[float]] = np.column_stack((self._low, self._high)).tolist()

    @property
    def top(self) -> float:
        """The most proximal level of the outline."""
        return self._tops[0]

    @property
    def bottom(self) -> float:
        """The most distal level of the outline."""
        return self._tops[-1]

    def at(self, level: float) -> tuple[float, float] | None:
        """Least and greatest u at a level; None above or below the outline."""
        if not self.top <= level <= self.bottom:
            return None
        slab = min(bisect_right(self._tops, level), len(self._rows)) - 1
        first, second = self._tops[slab : slab + 2]
        share = (level - first) / (second - first)
        low, lower, high, higher = self._rows[slab]
        return low + share * lower, high + share * higher

    def middles(self, levels: Array) -> Array:
        """Middle between least and greatest u at each level; not a number off the outline."""
        slab = np.searchsorted(self._levels, levels, side="right") - 1
        slab = np.clip(slab, 0, len(self._low) - 1)
        first, following = self._levels[slab], self._levels[slab + 1]
        share = (levels - first) / (following - first)
        both = self._low[slab] + self._high[slab]
        found = (both[:, 0] + share * both[:, 1]) / 2
        return np.where((levels >= self.top) & (levels <= self.bottom), found, np.nan)
