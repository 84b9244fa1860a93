"""Where a pin's line meets a surface that is known section by section.

The line runs from an aim point along a unit vector; distances along it are in mm, growing outward.
Without tilt the line stays in one section and the answer is exact; with tilt each end is a
bracketed root, and between sections a millimetre apart the surface counts as straight.
"""

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from fixplan.geometry.lines import crossings

Array = NDArray[np.float64]
SectionRing = Callable[[float], Array | None]

FLAT_TILT_DEG = 0.01
_GRID_MM = 1.0
_FARTHEST_MM = 400.0
_STEP_MM = 4.0
_SEARCH_MM = 60.0
_EXACT_MM = 1e-6
_MOST_STEPS = 60


class Line:
    """A pin's line in a segment's frame: aim (x, y, level) in mm, bearing and tilt in degrees."""

    __slots__ = ("aim_mm", "along_xy", "cos_tilt", "flat", "outward", "sin_tilt")

    def __init__(self, aim_mm: Array, bearing_deg: float, tilt_deg: float) -> None:
        bearing, tilt = math.radians(bearing_deg), math.radians(tilt_deg)
        self.flat = abs(tilt_deg) < FLAT_TILT_DEG
        self.cos_tilt, self.sin_tilt = math.cos(tilt), math.sin(tilt)
        self.aim_mm = aim_mm
        self.along_xy: Array = np.array((math.cos(bearing), math.sin(bearing)))
        self.outward: Array = np.array((*(self.cos_tilt * self.along_xy), -self.sin_tilt))

    def level_mm(self, at_mm: float) -> float:
        """Level at a distance along the line."""
        return float(self.aim_mm[2]) - at_mm * self.sin_tilt


class Span:
    """The stretch of a line inside a surface: `outer_mm` and `inner_mm` along the line.

    `complete` is False when the surface stops being known before the line leaves it.
    """

    __slots__ = ("complete", "inner_mm", "outer_mm")

    def __init__(self, outer_mm: float, inner_mm: float, complete: bool) -> None:
        self.outer_mm, self.inner_mm, self.complete = outer_mm, inner_mm, complete


def span(line: Line, ring_at: SectionRing) -> Span | None:
    """Outermost and innermost crossing of the line with a surface; None when it misses it.

    `ring_at(level)` gives the surface's ring at a level, or None where there is none.
    """
    surface = _Surface(line, ring_at)
    if line.flat:
        reach = surface.cut(line.level_mm(0.0))
        return None if reach is None else Span(reach[1], reach[0], complete=True)
    inside = _point_inside(surface)
    if inside is None:
        return None
    outer, outer_known = _leaves(surface, inside, 1)
    inner, inner_known = _leaves(surface, inside, -1)
    return Span(outer, inner, outer_known and inner_known)


class _Surface:
    """A surface as one line meets it; sections are cut once each."""

    def __init__(self, line: Line, ring_at: SectionRing) -> None:
        self.line, self._ring_at = line, ring_at
        self._cuts: dict[float, tuple[float, float] | None] = {}

    def cut(self, level_mm: float) -> tuple[float, float] | None:
        """Least and greatest horizontal distance at which the line's shadow meets one section."""
        if level_mm not in self._cuts:
            ring = self._ring_at(level_mm)
            line = self.line
            found = np.empty(0) if ring is None else crossings(ring, line.aim_mm[:2], line.along_xy)
            self._cuts[level_mm] = (float(found[0]), float(found[-1])) if len(found) else None
        return self._cuts[level_mm]

    def reach(self, at_mm: float) -> tuple[float, float] | None:
        """As `cut`, at the level that the line has at a distance, between sections of the grid."""
        level_mm = self.line.level_mm(at_mm)
        above_mm = math.floor(level_mm / _GRID_MM) * _GRID_MM
        above, below = self.cut(above_mm), self.cut(above_mm + _GRID_MM)
        if above is None or below is None:
            return None
        share = (level_mm - above_mm) / _GRID_MM
        low, high = (a + share * (b - a) for a, b in zip(above, below, strict=True))
        return low, high

    def holds(self, at_mm: float) -> bool:
        """Whether the line is inside at a distance."""
        reach = self.reach(at_mm)
        return reach is not None and reach[0] <= at_mm * self.line.cos_tilt <= reach[1]


def _point_inside(surface: _Surface) -> float | None:
    """A distance at which the line is inside, the nearest to the aim in steps."""
    for step in range(math.ceil(_SEARCH_MM / _STEP_MM)):
        for at_mm in (step * _STEP_MM, -step * _STEP_MM):
            if surface.holds(at_mm):
                return at_mm
    return None


def _leaves(surface: _Surface, inside: float, end: int) -> tuple[float, bool]:
    """Where the line leaves the surface, outward (end 1) or inward (-1), and if that is known."""
    cos_tilt = surface.line.cos_tilt

    def beyond(at_mm: float) -> float:
        reach = surface.reach(at_mm)
        if reach is None:
            return math.inf
        return end * (at_mm * cos_tilt - reach[(end + 1) // 2])

    low, low_value = inside, min(beyond(inside), 0.0)
    high = low + end * max(-low_value / cos_tilt * 1.05, _STEP_MM)
    high_value = beyond(high)
    while high_value < 0 and abs(high) < _FARTHEST_MM:
        low, low_value = high, high_value
        high += end * max(-high_value / cos_tilt * 1.05, _STEP_MM)
        high_value = beyond(high)
    return _root(beyond, (low, low_value), (high, high_value))


def _root(
    beyond: Callable[[float], float], low: tuple[float, float], high: tuple[float, float]
) -> tuple[float, bool]:
    """Bracketed root by false position (Illinois), by halving where the upper value is infinite."""
    for _ in range(_MOST_STEPS):
        if abs(high[0] - low[0]) < _EXACT_MM:
            break
        weight = 0.5 if math.isinf(high[1]) else low[1] / (low[1] - high[1])
        at = low[0] + min(max(weight, 0.0), 1.0) * (high[0] - low[0])
        value = beyond(at)
        if abs(value) < _EXACT_MM:
            return at, True
        if value < 0:
            low, high = (at, value), (high[0], high[1] / 2)
        else:
            high, low = (at, value), (low[0], low[1] / 2)
    return low[0], not math.isinf(high[1])
