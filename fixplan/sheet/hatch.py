"""Hatches as plain lines and dots cut to an outline: every printer and format shows them."""

import functools
from collections.abc import Iterable
from math import ceil, cos, floor, radians, sin

from fixplan.sheet.shapes import Hatch, Point, Polygon

Segment = tuple[Point, Point]
SHORTEST_MM = 0.05
_ANGLES: dict[Hatch, tuple[float, ...]] = {
    "right": (-45.0,),
    "left": (45.0,),
    "cross": (45.0, -45.0),
    "sparse": (0.0,),
}


def _crossings(rings: Iterable[list[Point]], y: float) -> list[float]:
    """Where a level line crosses the rings, in order (even-odd)."""
    found = []
    for ring in rings:
        x0, y0 = ring[-1]
        for x1, y1 in ring:
            if (y0 > y) != (y1 > y):
                found.append(x0 + (y - y0) * (x1 - x0) / (y1 - y0))
            x0, y0 = x1, y1
    return sorted(found)


def _turned(ring: tuple[Point, ...], c: float, s: float) -> list[Point]:
    return [(x * c + y * s, y * c - x * s) for x, y in ring]


def _lines(rings: list[tuple[Point, ...]], angle_deg: float, spacing_mm: float) -> list[Segment]:
    """Parallel lines at an angle; their grid is fixed to the page, not to the outline."""
    c, s = cos(radians(angle_deg)), sin(radians(angle_deg))
    turned = [_turned(ring, c, s) for ring in rings]
    levels = [y for ring in turned for _, y in ring]
    lines = []
    for step in range(ceil(min(levels) / spacing_mm), floor(max(levels) / spacing_mm) + 1):
        y = step * spacing_mm
        hits = _crossings(turned, y)
        for x0, x1 in zip(hits[::2], hits[1::2], strict=False):
            if x1 - x0 < SHORTEST_MM:
                continue
            lines.append(((x0 * c - y * s, x0 * s + y * c), (x1 * c - y * s, x1 * s + y * c)))
    return lines


@functools.lru_cache(maxsize=512)
def hatch_lines(polygon: Polygon) -> tuple[Segment, ...]:
    """The line pieces of a polygon's hatch, in page mm; empty for dots or none."""
    if polygon.fill is None:
        return ()
    rings = [polygon.points, *polygon.holes]
    found: list[Segment] = []
    for angle in _ANGLES.get(polygon.fill.hatch, ()):
        found += _lines(rings, angle, polygon.fill.spacing_mm)
    return tuple(found)


@functools.lru_cache(maxsize=512)
def hatch_dots(polygon: Polygon) -> tuple[Point, ...]:
    """The dots of a dotted polygon, in staggered rows; empty for any other hatch."""
    if polygon.fill is None or polygon.fill.hatch != "dots":
        return ()
    spacing = polygon.fill.spacing_mm
    rings = [list(ring) for ring in (polygon.points, *polygon.holes)]
    levels = [y for ring in rings for _, y in ring]
    dots = []
    for row in range(ceil(min(levels) / spacing), floor(max(levels) / spacing) + 1):
        shift = 0.5 * spacing * (row % 2)
        hits = _crossings(rings, row * spacing + 1e-9)
        for x0, x1 in zip(hits[::2], hits[1::2], strict=False):
            first, last = ceil((x0 - shift) / spacing), floor((x1 - shift) / spacing)
            dots += [(step * spacing + shift, row * spacing) for step in range(first, last + 1)]
    return tuple(dots)
