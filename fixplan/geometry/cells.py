"""Cuts a region drawn in two views into convex cells, six planes each.

A front outline is a prism along y, a side outline a prism along x; the region is where they meet.
Between two neighbouring vertex levels both prisms are trapezoids, and each pair of trapezoids is a
cell. At levels that only one outline covers, the other range is unbounded (D6).
"""

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from fixplan.errors import GeometryError
from fixplan.geometry.validity import checked_polygon

Array = NDArray[np.float64]
Outline = tuple[tuple[float, float], ...]

UNBOUNDED_MM = 1e4
_THINNEST_SLAB_MM = 1e-9
_SHORTEST_EDGE_MM2 = 1e-18
# Corners are numbered by bits: 1 = upper level, 2 = greater x, 4 = greater y.
_EDGES = (
    (0, 1),
    (2, 3),
    (4, 5),
    (6, 7),
    (0, 2),
    (1, 3),
    (4, 6),
    (5, 7),
    (0, 4),
    (1, 5),
    (2, 6),
    (3, 7),
)


class Cells:
    """Convex cells of one or more regions; `starts` holds the first cell of each region.

    A point p is inside cell i when `normal[i] @ p <= offset[i]` for all six planes: x low, x high,
    y low, y high, level low, level high. `reach` is the radius about `centre` that covers the cell
    within its bounded axes; `bounded` is 0 along an unbounded axis, and `centre` is 0 there too.
    Ranges are (x low, y low, x high, y high) at the level `top`, and their growth with level.
    """

    __slots__ = (
        "between_faces",
        "bounded",
        "centre",
        "centre2",
        "edge",
        "edge2",
        "edge_start",
        "height",
        "normal",
        "offset",
        "range_at_top",
        "range_slope",
        "reach",
        "region",
        "starts",
        "top",
    )

    def __init__(self, corners: Array, normal: Array, offset: Array, bounded: Array) -> None:
        self.top: Array = corners[:, 0, 2]
        self.height: Array = corners[:, 1, 2] - self.top
        self.range_at_top: Array = np.hstack((corners[:, 0, :2], corners[:, 6, :2]))
        at_end = np.hstack((corners[:, 1, :2], corners[:, 7, :2]))
        self.range_slope: Array = (at_end - self.range_at_top) / self.height[:, None]
        self.normal, self.offset, self.bounded = normal, offset, bounded
        self.between_faces: Array = normal @ normal.transpose(0, 2, 1)
        first, last = np.array(_EDGES).T
        self.edge_start: Array = corners[:, first]
        self.edge: Array = corners[:, last] - self.edge_start
        self.edge2: Array = np.maximum((self.edge**2).sum(axis=2), _SHORTEST_EDGE_MM2)
        self.centre: Array = corners.mean(axis=1) * bounded
        self.centre2: Array = (self.centre**2).sum(axis=1, keepdims=True)
        spread = corners * bounded[:, None] - self.centre[:, None]
        self.reach: Array = np.sqrt((spread**2).sum(axis=2).max(axis=1))[:, None]
        self.starts: NDArray[np.intp] = np.zeros(1, dtype=np.intp)
        self.region: NDArray[np.intp] = np.zeros(len(corners), dtype=np.intp)


@lru_cache(maxsize=128)
def region_cells(front: Outline, side: Outline) -> Cells:
    """Cells of one region; an empty outline means that it was not drawn in that view.

    Raises:
        GeometryError: no outline at all, an outline that is no polygon, or no level in common.
    """
    drawn = [np.array(checked_polygon(o).exterior.coords) for o in (front, side) if o]
    _refuse_apart(drawn)
    levels = np.array(sorted({level for ring in drawn for level in ring[:, 1].tolist()}))
    levels = levels[np.append(True, np.diff(levels) > _THINNEST_SLAB_MM)]
    rings = iter(drawn)
    across_x = _trapezoids(next(rings) if front else None, levels)
    across_y = _trapezoids(next(rings) if side else None, levels)
    return _cells(levels, across_x, across_y)


@lru_cache(maxsize=32)
def joined_cells(regions: tuple[tuple[Outline, Outline], ...]) -> Cells:
    """Cells of several regions in one, for asking about all of them at once."""
    parts = [region_cells(front, side) for front, side in regions]
    joined = Cells.__new__(Cells)
    for name in Cells.__slots__:
        setattr(joined, name, np.concatenate([getattr(part, name) for part in parts]))
    counts = [len(part.reach) for part in parts]
    joined.starts = np.concatenate(([0], np.cumsum(counts)[:-1])).astype(np.intp)
    joined.region = np.repeat(np.arange(len(parts)), counts)
    return joined


def _refuse_apart(drawn: list[Array]) -> None:
    if not drawn:
        raise GeometryError("The region has no outline in either view: draw it in one of them.")
    if len(drawn) == 2:
        tops = [float(ring[:, 1].min()) for ring in drawn]
        ends = [float(ring[:, 1].max()) for ring in drawn]
        if max(tops) >= min(ends):
            raise GeometryError(
                f"The front outline ({tops[0]:.0f} to {ends[0]:.0f} mm) and the side outline "
                f"({tops[1]:.0f} to {ends[1]:.0f} mm) share no level: move one of them."
            )


def _trapezoids(ring: Array | None, levels: Array) -> tuple[NDArray[np.intp], Array]:
    """Slab number and (low at top, low at end, high at top, high at end) of each trapezoid."""
    slabs = np.arange(len(levels) - 1)
    unbounded = np.array([[-UNBOUNDED_MM, -UNBOUNDED_MM, UNBOUNDED_MM, UNBOUNDED_MM]])
    if ring is None:
        return slabs, np.repeat(unbounded, len(slabs), axis=0)
    slab, at_top, at_end = _crossing_edges(ring, levels)
    order = np.lexsort((at_top + at_end, slab))
    lows, highs = order[0::2], order[1::2]
    found = np.column_stack((at_top[lows], at_end[lows], at_top[highs], at_end[highs]))
    bare = np.flatnonzero(np.bincount(slab, minlength=len(slabs)) == 0)
    return (
        np.concatenate((slab[lows], bare)),
        np.concatenate((found, np.repeat(unbounded, len(bare), axis=0))),
    )


def _crossing_edges(ring: Array, levels: Array) -> tuple[NDArray[np.intp], Array, Array]:
    """Every (slab, edge) that cross, with the edge's u at the slab's two levels."""
    start, end = ring[:-1], ring[1:]
    low, high = np.minimum(start[:, 1], end[:, 1]), np.maximum(start[:, 1], end[:, 1])
    top, bottom = levels[:-1], levels[1:]
    middle = (top + bottom) / 2
    slab, edge = np.nonzero((low < middle[:, None]) & (high > middle[:, None]))
    slope = (end[edge, 0] - start[edge, 0]) / (end[edge, 1] - start[edge, 1])
    at_top = start[edge, 0] + slope * (top[slab] - start[edge, 1])
    at_end = start[edge, 0] + slope * (bottom[slab] - start[edge, 1])
    return slab, at_top, at_end


def _cells(
    levels: Array,
    across_x: tuple[NDArray[np.intp], Array],
    across_y: tuple[NDArray[np.intp], Array],
) -> Cells:
    """One cell for each pair of trapezoids in the same slab."""
    in_x, in_y = np.nonzero(across_x[0][:, None] == across_y[0][None, :])
    slab, x, y = across_x[0][in_x], across_x[1][in_x], across_y[1][in_y]
    top, bottom = levels[:-1][slab], levels[1:][slab]
    corners = np.empty((len(slab), 8, 3))
    for bits in range(8):
        lower = bits & 1
        corners[:, bits, 0] = x[:, lower + (bits & 2)]
        corners[:, bits, 1] = y[:, lower + (bits & 4) // 2]
        corners[:, bits, 2] = bottom if lower else top
    normal, offset = _planes(x, y, top, bottom)
    bounded = np.ones((len(slab), 3))
    bounded[:, 0] = x[:, 2] < UNBOUNDED_MM
    bounded[:, 1] = y[:, 2] < UNBOUNDED_MM
    return Cells(corners, normal, offset, bounded)


def _planes(x: Array, y: Array, top: Array, bottom: Array) -> tuple[Array, Array]:
    normal, offset = np.zeros((len(top), 6, 3)), np.empty((len(top), 6))
    for axis, edges in ((0, x), (1, y)):
        for high in (0, 1):
            at_top, at_end = edges[:, 2 * high], edges[:, 2 * high + 1]
            length = np.hypot(bottom - top, at_end - at_top)
            outward = 2 * high - 1
            plane = normal[:, 2 * axis + high]
            plane[:, axis] = outward * (bottom - top) / length
            plane[:, 2] = -outward * (at_end - at_top) / length
            offset[:, 2 * axis + high] = plane[:, axis] * at_top + plane[:, 2] * top
    normal[:, 4, 2], offset[:, 4] = -1.0, -top
    normal[:, 5, 2], offset[:, 5] = 1.0, bottom
    return normal, offset
