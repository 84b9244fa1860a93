"""Solids known by their cross-section at any level, such as a plate on a bone, against a pin.

A stack is cut into slabs on a fixed grid of levels, so that slabs stay the same while an end moves.
A slab has the shape at its middle; a pin without tilt also meets the shape at its own level. The
slabs that the pin runs through are measured first, then those that could still be nearer.
"""

import math
from collections.abc import Callable
from typing import NamedTuple

import msgspec
import numpy as np
import shapely
from numpy.typing import NDArray

from fixplan.geometry.axis_gap import Axis
from fixplan.geometry.outlines import RegionGap

Array = NDArray[np.float64]
Objects = NDArray[np.object_]
Indices = NDArray[np.intp]
Flags = NDArray[np.bool_]

SLAB_MM = 5.0
_FLAT_MM = 0.02
_FARTHEST_MM = 1000.0


class Shape(msgspec.Struct, frozen=True, eq=False):
    """A solid's cross-section at one level; `known` False: the bone is only guessed there."""

    polygon: shapely.Geometry
    known: bool


class Stack(msgspec.Struct, frozen=True, eq=False):
    """A solid from level `low_mm` to `high_mm`; no shape where there is no bone."""

    low_mm: float
    high_mm: float
    shape_at: Callable[[float], Shape | None]


class _Layers(NamedTuple):
    """Pieces of a pin's axis, or slabs of a stack: their levels, in mm, and shapes across them."""

    low: Array
    high: Array
    shape: Objects


def stack_gap(axis: Axis, radius_mm: float, stack: Stack) -> RegionGap | None:
    """Gap from a round bar's surface to a stack; None when the stack has no shape anywhere near.

    Right to within the change of shape over half a slab, and never too great by the slab's height.
    """
    pieces = _pieces(axis, (stack.low_mm, stack.high_mm))
    beside_mm = max(pieces.low[0] - stack.high_mm, stack.low_mm - pieces.high[-1], 0.0)
    found = _nearest(axis, radius_mm, pieces, stack, float(beside_mm))
    if found is None:
        return _nearest(axis, radius_mm, pieces, stack, _FARTHEST_MM)
    axis_mm = found.gap_mm + radius_mm
    if found.gap_mm == 0 or axis_mm <= beside_mm:
        return found
    return _nearest(axis, radius_mm, pieces, stack, axis_mm)


def stack_extent(stack: Stack, axis: int, step_mm: float = SLAB_MM) -> Array:
    """Outline of a stack in a view, for drawing: closed ring (n, 2) of (u, level) in mm.

    `axis` 0 is the front view, 1 the side view. Empty when the stack has no shape.
    """
    inner = np.arange(math.ceil(stack.low_mm / step_mm), math.ceil(stack.high_mm / step_mm))
    levels = [stack.low_mm, *((inner + 0.5) * step_mm), stack.high_mm]
    rows = [_row(stack, axis, level) for level in levels if stack.low_mm <= level <= stack.high_mm]
    seen = np.array([row for row in rows if row is not None]).reshape(-1, 3)
    return np.concatenate((seen[:, [0, 2]], seen[::-1, 1:]))


def stack_from_above(stack: Stack) -> Array:
    """Outline of a stack as seen along its levels, for drawing: closed ring (n, 2) of (x, y)."""
    middles = np.arange(stack.low_mm, stack.high_mm, SLAB_MM)
    shapes = [shape for level in middles if (shape := stack.shape_at(float(level))) is not None]
    hull = shapely.convex_hull(shapely.union_all([shape.polygon for shape in shapes]))
    return np.asarray(shapely.get_coordinates(hull)[:-1])


def _row(stack: Stack, axis: int, level_mm: float) -> tuple[float, float, float] | None:
    shape = stack.shape_at(level_mm)
    if shape is None:
        return None
    bounds = shapely.bounds(shape.polygon)
    return float(bounds[axis]), float(bounds[axis + 2]), level_mm


def _pieces(axis: Axis, also_at: tuple[float, float]) -> _Layers:
    """The axis cut at the grid's levels and two more, from the least level to the greatest."""
    low_end, high_end = sorted((axis.start_mm, axis.end_mm), key=lambda point: float(point[2]))
    low, high = float(low_end[2]), float(high_end[2])
    levels = np.array((low, high))
    share = np.array(((0.0,), (1.0,)))
    if high - low > _FLAT_MM:
        grid = np.arange(math.floor(low / SLAB_MM) + 1, math.ceil(high / SLAB_MM)) * SLAB_MM
        levels = np.array(
            sorted({low, *grid, *(level for level in also_at if low < level < high), high})
        )
        share = ((levels - low) / (high - low))[:, None]
    points = low_end[:2] + share * (high_end[:2] - low_end[:2])
    shadows = shapely.linestrings(np.stack((points[:-1], points[1:]), axis=1))
    return _Layers(levels[:-1], levels[1:], np.asarray(shadows, dtype=object))


def _slabs(stack: Stack, low: float, high: float, within_mm: float) -> tuple[_Layers, list[bool]]:
    """The slabs of a stack no further in level than that from low..high, and which are known."""
    first = max(low - within_mm, stack.low_mm)
    last = min(high + within_mm, stack.high_mm)
    numbers = range(math.ceil(first / SLAB_MM) - 1, math.floor(last / SLAB_MM) + 1)
    flat = high - low < _FLAT_MM
    tops, ends, shapes = [], [], []
    for number in numbers:
        top = max(number * SLAB_MM, stack.low_mm)
        end = min((number + 1) * SLAB_MM, stack.high_mm)
        own = flat and top <= low <= end
        shape = stack.shape_at(low if own else (number + 0.5) * SLAB_MM)
        if shape is not None and top <= end:
            tops.append(top)
            ends.append(end)
            shapes.append(shape)
    polygons = np.array([shape.polygon for shape in shapes], dtype=object)
    return _Layers(np.array(tops), np.array(ends), polygons), [shape.known for shape in shapes]


def _nearest(
    axis: Axis, radius_mm: float, pieces: _Layers, stack: Stack, within_mm: float
) -> RegionGap | None:
    """The gap to the slabs no further in level than `within_mm`; None when there are none."""
    slabs, known = _slabs(stack, float(pieces.low[0]), float(pieces.high[-1]), within_mm)
    if not known:
        return None
    below, above = slabs.low - pieces.high[:, None], pieces.low[:, None] - slabs.high
    apart = np.maximum(np.maximum(below, above), 0.0)
    piece, slab = np.nonzero(apart <= within_mm)
    across = np.asarray(shapely.distance(pieces.shape[piece], slabs.shape[slab]))
    away = np.hypot(across, apart[piece, slab])
    best = int(away.argmin())
    run = np.flatnonzero((away == 0) & _shares_levels(pieces, slabs, piece, slab))
    inside = shapely.intersection(pieces.shape[piece[run]], slabs.shape[slab[run]])
    inside_mm = float(np.sum(shapely.length(inside))) / math.hypot(axis.along[0], axis.along[1])
    level_mm = float(pieces.low[piece[best]] + pieces.high[piece[best]]) / 2
    return RegionGap(
        max(float(away[best]) - radius_mm, 0.0), inside_mm, level_mm, known[slab[best]]
    )


def _shares_levels(pieces: _Layers, slabs: _Layers, piece: Indices, slab: Indices) -> Flags:
    """Whether pieces run in slabs; along an edge a piece runs in the more distal slab alone."""
    low, high = pieces.low[piece], pieces.high[piece]
    flat = (slabs.low[slab] <= low) & (low < slabs.high[slab])
    steep = np.minimum(high, slabs.high[slab]) > np.maximum(low, slabs.low[slab])
    return np.asarray(np.where(high - low < _FLAT_MM, flat, steep))
