"""Solids known by their cross-section at any level, such as a plate on a bone, against a pin.

A stack is cut into slabs on a fixed grid of levels, so that slabs stay the same while an end moves.
A slab has the shape at its middle; a pin without tilt also meets the shape at its own level. Slabs
are looked at from the nearest outward and only as far as they can still be the nearest.
"""

import math
from collections.abc import Callable, Iterator

import msgspec
import numpy as np
import shapely
from numpy.typing import NDArray

from fixplan.geometry.axis_gap import Axis
from fixplan.geometry.outlines import RegionGap

Array = NDArray[np.float64]

SLAB_MM = 2.5
_FLAT_MM = 0.02
_TOUCH_MM = 1e-9


class Shape(msgspec.Struct, frozen=True, eq=False):
    """A solid's cross-section at one level; `known` False: the bone is only guessed there."""

    polygon: shapely.Geometry
    known: bool


class Stack(msgspec.Struct, frozen=True, eq=False):
    """A solid from level `low_mm` to `high_mm`; no shape where there is no bone."""

    low_mm: float
    high_mm: float
    shape_at: Callable[[float], Shape | None]


class _Piece(msgspec.Struct, frozen=True, eq=False):
    """The part of a pin's axis in one slab, seen along the bone."""

    low_mm: float
    high_mm: float
    shadow: shapely.LineString


class _Nearest(msgspec.Struct, eq=False):
    """The best answer so far."""

    axis_mm: float = math.inf
    inside_mm: float = 0.0
    level_mm: float = 0.0
    known: bool = True


def stack_gap(axis: Axis, radius_mm: float, stack: Stack) -> RegionGap | None:
    """Gap from a round bar's surface to a stack; None when the stack has no shape anywhere near.

    Right to within the change of shape over half a slab, and never too great by the slab's height.
    """
    pieces = _pieces(axis, (stack.low_mm, stack.high_mm))
    low, high = pieces[0].low_mm, pieces[-1].high_mm
    nearest = _Nearest()
    for slab_low, slab_high, middle in _slabs_outward(stack, low, high):
        if max(slab_low - high, low - slab_high, _TOUCH_MM) > max(nearest.axis_mm, _TOUCH_MM):
            break
        shape = stack.shape_at(middle)
        if shape is not None:
            _meet(nearest, pieces, (slab_low, slab_high), shape)
    if math.isinf(nearest.axis_mm):
        return None
    cos_tilt = math.hypot(axis.along[0], axis.along[1])
    return RegionGap(
        max(nearest.axis_mm - radius_mm, 0.0),
        nearest.inside_mm / cos_tilt,
        nearest.level_mm,
        nearest.known,
    )


def stack_extent(stack: Stack, axis: int, step_mm: float = 2 * SLAB_MM) -> Array:
    """Outline of a stack in a view, for drawing: closed ring (n, 2) of (u, level) in mm.

    `axis` 0 is the front view, 1 the side view. Empty when the stack has no shape.
    """
    inner = np.arange(math.ceil(stack.low_mm / step_mm), math.ceil(stack.high_mm / step_mm))
    levels = [stack.low_mm, *(inner * step_mm + SLAB_MM / 2), stack.high_mm]
    rows = [_row(stack, axis, level) for level in levels if stack.low_mm <= level <= stack.high_mm]
    seen = np.array([row for row in rows if row is not None]).reshape(-1, 3)
    return np.concatenate((seen[:, [0, 2]], seen[::-1, 1:]))


def _row(stack: Stack, axis: int, level_mm: float) -> tuple[float, float, float] | None:
    shape = stack.shape_at(level_mm)
    if shape is None:
        return None
    bounds = shapely.bounds(shape.polygon)
    return float(bounds[axis]), float(bounds[axis + 2]), level_mm


def _pieces(axis: Axis, also_at: tuple[float, float]) -> list[_Piece]:
    """The axis cut at the grid's levels and two more, from the least level to the greatest."""
    ends = sorted((axis.start_mm, axis.end_mm), key=lambda point: float(point[2]))
    low, high = float(ends[0][2]), float(ends[1][2])
    if high - low < _FLAT_MM:
        return [_Piece(low, high, shapely.LineString([ends[0][:2], ends[1][:2]]))]
    grid = np.arange(math.floor(low / SLAB_MM) + 1, math.ceil(high / SLAB_MM)) * SLAB_MM
    levels = np.unique((low, *grid, *(level for level in also_at if low < level < high), high))
    share = ((levels - low) / (high - low))[:, None]
    points = ends[0][:2] + share * (ends[1][:2] - ends[0][:2])
    return [
        _Piece(float(levels[i]), float(levels[i + 1]), shapely.LineString(points[i : i + 2]))
        for i in range(len(levels) - 1)
    ]


def _slabs_outward(stack: Stack, low: float, high: float) -> Iterator[tuple[float, float, float]]:
    """Slabs (from, to, level of its shape), the nearest in level to low..high first."""
    numbers = range(math.floor(stack.low_mm / SLAB_MM), math.ceil(stack.high_mm / SLAB_MM))
    slabs = []
    for number in numbers:
        top = max(number * SLAB_MM, stack.low_mm)
        end = min((number + 1) * SLAB_MM, stack.high_mm)
        slabs.append((top, end, (number + 0.5) * SLAB_MM))
    slabs.sort(key=lambda slab: max(slab[0] - high, low - slab[1], 0.0))
    if high - low < _FLAT_MM:
        slabs = [(top, end, low if top <= low <= end else middle) for top, end, middle in slabs]
    return iter(slabs)


def _meet(nearest: _Nearest, pieces: list[_Piece], slab: tuple[float, float], shape: Shape) -> None:
    for piece in pieces:
        apart = max(slab[0] - piece.high_mm, piece.low_mm - slab[1], 0.0)
        if apart > nearest.axis_mm:
            continue
        across = float(shapely.distance(piece.shadow, shape.polygon))
        axis_mm = math.hypot(across, apart)
        if axis_mm < nearest.axis_mm:
            nearest.axis_mm = axis_mm
            nearest.level_mm = (piece.low_mm + piece.high_mm) / 2
            nearest.known = shape.known
        if axis_mm == 0 and _shares_levels(piece, slab):
            nearest.inside_mm += float(shapely.length(piece.shadow.intersection(shape.polygon)))


def _shares_levels(piece: _Piece, slab: tuple[float, float]) -> bool:
    """Whether a piece runs in a slab; along an edge it runs in the more distal slab alone."""
    if piece.high_mm - piece.low_mm < _FLAT_MM:
        return slab[0] <= piece.low_mm < slab[1]
    return min(piece.high_mm, slab[1]) > max(piece.low_mm, slab[0])
