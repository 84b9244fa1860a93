"""Closed forms for the outer part of a pin, which runs on without end: which bearings are blocked.

Everything is seen from the target; bearings are in radians here.
"""

import math

import numpy as np
from numpy.typing import NDArray

from fixplan.geometry.clear_surface import following, polar, wrapped

Array = NDArray[np.float64]


def disc_windows(distance: Array, off_level: Array, reach: Array | float) -> Array:
    """Half width of the bearings on which an endless line passes nearer than `reach`; 0 for never.

    A point at a distance from the target, `off_level` mm off the pin's level: asin(w / R), and a
    quarter turn when R <= w.
    """
    across = np.sqrt(np.maximum(reach * reach - off_level * off_level, 0.0))
    share = np.minimum(across / np.maximum(distance, 1e-12), 1.0)
    return np.where(np.abs(off_level) < reach, np.arcsin(share), 0.0)


class Edges:
    """Edges of a polygon as seen from the target: ends, their polar places and least distance."""

    __slots__ = ("bearing", "distance", "end", "least_mm", "nearest_mm", "start", "turn")

    def __init__(self, ring: Array) -> None:
        """Take a ring (n, 2) in mm about the target."""
        self.start: Array = ring
        self.end: Array = following(ring)
        self.distance, self.bearing = polar(ring)
        self.turn = wrapped(following(self.bearing) - self.bearing)
        (x, y), (step_x, step_y) = ring.T, (self.end - ring).T
        length2 = np.maximum(step_x * step_x + step_y * step_y, 1e-24)
        share = np.minimum(np.maximum(-(x * step_x + y * step_y) / length2, 0.0), 1.0)
        self.least_mm: Array = np.hypot(x + share * step_x, y + share * step_y)
        self.nearest_mm = float(self.least_mm.min())

    def windows(self, reach: float) -> tuple[Array, Array]:
        """Bearings (low, high) on which an endless line passes nearer than `reach` to each edge.

        Only for edges that stay farther than `reach` from the target: the hull of their ends'
        windows, unwrapped along the edge.
        """
        half = np.arcsin(np.minimum(reach / self.distance, 1.0))
        half_end = following(half)
        end = self.bearing + self.turn
        return (
            np.minimum(self.bearing - half, end - half_end),
            np.maximum(self.bearing + half, end + half_end),
        )

    def near(self, reach: float) -> tuple[Array, Array]:
        """Bearings that the polygon blocks for a pin's outer part; a whole turn if too close.

        One stretch: the windows of neighbouring vertices overlap along the edge between them.
        """
        unwrapped = self.bearing[0] + np.cumsum(self.turn)
        if self.nearest_mm <= reach or abs(unwrapped[-1] - self.bearing[0]) > math.pi:
            return np.zeros(1), np.full(1, 2 * math.pi)
        half = following(np.arcsin(np.minimum(reach / self.distance, 1.0)))
        return (unwrapped - half).min(keepdims=True), (unwrapped + half).max(keepdims=True)
