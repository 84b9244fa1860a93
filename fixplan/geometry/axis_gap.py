"""Where straight axes run inside convex cells, and how far they stay from them.

All axes and all regions are worked at once, as pairs of one axis and one cell. Spheres about the
cells leave few pairs to measure: the cells that an axis can enter and those that can be nearest.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fixplan.geometry.cells import Array, Cells

Indices = NDArray[np.intp]

_TOUCH_MM = 1e-7
_SLACK_MM = 1e-6
_PARALLEL = 1e-12


class Axis:
    """A straight stretch from `start_mm` along the unit vector `along` for `length_mm`."""

    __slots__ = ("along", "length_mm", "start_mm")

    def __init__(self, start_mm: Array, end_mm: Array) -> None:
        step = end_mm - start_mm
        self.length_mm = float(np.sqrt(step @ step))
        self.start_mm = start_mm
        self.along: Array = step / self.length_mm

    @property
    def end_mm(self) -> Array:
        """Where the stretch ends."""
        return self.start_mm + self.length_mm * self.along


class Stretches(NamedTuple):
    """For each pair of an axis and a region: the axis gap, where it is, and the length inside.

    Arrays have a row for each region and a column for each axis, in mm; `at` is the distance along
    the axis of the nearest approach, or of the middle of the longest stretch inside.
    """

    gap: Array
    at: Array
    inside: Array


class _Axes(NamedTuple):
    start: Array
    along: Array
    length: Array


class _Pairs(NamedTuple):
    """Candidate pairs: cell, axis, the group (region and axis) each belongs to.

    `at` is where along the axis it passes nearest the cell's centre.
    """

    cell: Indices
    axis: Indices
    group: Indices
    at: Array


def measure(axes: list[Axis], cells: Cells, counted: list[tuple[float, float]]) -> Stretches:
    """Gaps and lengths inside for every axis and every region of `cells`.

    `counted` is the stretch of each axis whose length inside counts, mm from its start.
    """
    lines = _Axes(
        np.array([axis.start_mm for axis in axes]),
        np.array([axis.along for axis in axes]),
        np.array([axis.length_mm for axis in axes]),
    )
    pairs = _candidates(lines, cells)
    normal, length = cells.normal[pairs.cell], lines.length[pairs.axis]
    rise = (normal @ lines.along[pairs.axis][:, :, None])[:, :, 0]
    room = cells.offset[pairs.cell] - (normal @ lines.start[pairs.axis][:, :, None])[:, :, 0]
    least = (-room - np.maximum(-rise * length[:, None], 0.0)).max(axis=1)
    gap, at = np.full(len(least), np.inf), np.zeros(len(least))
    shape = (len(cells.starts), len(axes))
    inside = np.zeros(shape)
    meet = np.flatnonzero(least <= _SLACK_MM)
    if len(meet):
        enters, leaves = _stretch_inside(rise[meet], room[meet], length[meet])
        ends = np.array(counted)[pairs.axis[meet]]
        within = np.minimum(leaves, ends[:, 1]) - np.maximum(enters, ends[:, 0])
        np.add.at(inside.reshape(-1), pairs.group[meet], np.maximum(within, 0.0))
        gap[meet] = np.where(leaves > enters, enters - leaves, np.inf)
        at[meet] = (enters + leaves) / 2
    close = _can_be_nearest(lines, cells, pairs, least, gap)
    gap[close], at[close] = _distances(lines, cells, pairs.cell[close], pairs.axis[close])
    best = _best_of_group(gap, pairs.group)
    return Stretches(gap[best].reshape(shape), at[best].reshape(shape), inside)


def _candidates(lines: _Axes, cells: Cells) -> _Pairs:
    """Pairs of which the axis can enter the cell, or can have it as the nearest of its region.

    A sphere about each cell's centre holds it; along an unbounded axis nothing is measured, so that
    the sphere is a cylinder there.
    """
    along2 = np.maximum(cells.bounded @ (lines.along**2).T, _PARALLEL)
    ahead = cells.centre @ lines.along.T - cells.bounded @ (lines.start * lines.along).T
    away2 = cells.centre2 - 2 * (cells.centre @ lines.start.T) + cells.bounded @ (lines.start**2).T
    at = np.minimum(np.maximum(ahead / along2, 0.0), lines.length)
    away = np.sqrt(np.maximum(away2 + at * (at * along2 - 2 * ahead), 0.0))
    nearest = np.minimum.reduceat(away, cells.starts, axis=0)
    cell, axis = np.nonzero(away - cells.reach <= nearest[cells.region] + _SLACK_MM)
    return _Pairs(cell, axis, cells.region[cell] * len(lines.length) + axis, at[cell, axis])


def _stretch_inside(rise: Array, room: Array, length: Array) -> tuple[Array, Array]:
    """Distance along the axis at which it enters and leaves each cell; leaves <= enters: never.

    An axis that runs along a face shared by two levels counts in the more distal cell alone.
    """
    level = np.abs(rise) < _PARALLEL
    at = room / np.where(level, 1.0, rise)
    enters = np.where(level | (rise > 0), 0.0, at).max(axis=1)
    leaves = np.where(level | (rise < 0), np.inf, at).min(axis=1)
    shut_out = (level & (room < 0)).any(axis=1) | (level[:, 5] & (room[:, 5] <= 0))
    return enters, np.where(shut_out, -1.0, np.minimum(leaves, length))


def _can_be_nearest(lines: _Axes, cells: Cells, pairs: _Pairs, least: Array, gap: Array) -> Indices:
    """Pairs whose least possible gap is under the least gap that their group surely has.

    None of a group that has a pair that meets. A pair surely has no more than the gap from a point
    on the axis to the point of the cell that is nearest in level, and then within the ranges.
    """
    point = lines.start[pairs.axis] + pairs.at[:, None] * lines.along[pairs.axis]
    top = cells.top[pairs.cell]
    drop = np.minimum(np.maximum(point[:, 2] - top, 0.0), cells.height[pairs.cell])
    limits = cells.range_at_top[pairs.cell] + cells.range_slope[pairs.cell] * drop[:, None]
    across = point[:, :2] - np.minimum(np.maximum(point[:, :2], limits[:, :2]), limits[:, 2:])
    most = np.sqrt((across * across).sum(axis=1) + (point[:, 2] - top - drop) ** 2) + _SLACK_MM
    surely = np.full(len(cells.starts) * len(lines.length), np.inf)
    np.minimum.at(surely, pairs.group, np.where(gap < 0, -np.inf, most))
    return np.flatnonzero(least <= surely[pairs.group])


def _best_of_group(value: Array, group: Indices) -> Indices:
    """Position of the least value of each group, in the order of the groups."""
    order = np.lexsort((value, group))
    ranked = group[order]
    return order[np.flatnonzero(np.append(True, ranked[1:] != ranked[:-1]))]


def _distances(lines: _Axes, cells: Cells, cell: Indices, axis: Indices) -> tuple[Array, Array]:
    """Gap from an axis to a cell that it does not enter, and where along the axis.

    The least of the axis to the twelve edges and either end of the axis to the six faces.
    """
    start, along, length = lines.start[axis], lines.along[axis], lines.length[axis]
    edge_away2, at_edge = _to_edges(start, along, length, cells, cell)
    ends = np.stack((start, start + length[:, None] * along), axis=2)
    by_face = _ends_to_faces(ends, cells, cell)
    by_edge = np.sqrt(edge_away2)
    nearer = by_face.min(axis=1) < by_edge
    at_face = np.where(by_face[:, 1] < by_face[:, 0], length, 0.0)
    return np.where(nearer, by_face.min(axis=1), by_edge), np.where(nearer, at_face, at_edge)


def _to_edges(
    start: Array, along: Array, length: Array, cells: Cells, cell: Indices
) -> tuple[Array, Array]:
    """Least squared distance from each axis to any edge of its cell, and where along the axis."""
    edge, edge2 = cells.edge[cell], cells.edge2[cell]
    between = start[:, None] - cells.edge_start[cell]
    across = (edge @ along[:, :, None])[:, :, 0]
    on_axis = (between @ along[:, :, None])[:, :, 0]
    on_edge = (between * edge).sum(axis=2)
    end = length[:, None]
    skew = np.maximum(edge2 - across * across, _PARALLEL * edge2)
    at = np.minimum(np.maximum((across * on_edge - on_axis * edge2) / skew, 0.0), end)
    share = np.minimum(np.maximum((across * at + on_edge) / edge2, 0.0), 1.0)
    at = np.minimum(np.maximum(across * share - on_axis, 0.0), end)
    share = np.minimum(np.maximum((across * at + on_edge) / edge2, 0.0), 1.0)
    off = between + at[:, :, None] * along[:, None] - share[:, :, None] * edge
    away2 = (off * off).sum(axis=2)
    best = away2.argmin(axis=1)
    rows = np.arange(len(best))
    return away2[rows, best], at[rows, best]


def _ends_to_faces(ends: Array, cells: Cells, cell: Indices) -> Array:
    """Least distance of each end straight onto a face, infinite where none is met: (pairs, 2)."""
    above = cells.normal[cell] @ ends - cells.offset[cell][:, :, None]
    foot_above = above[:, None] - above[:, :, None] * cells.between_faces[cell][..., None]
    meets = (foot_above <= _TOUCH_MM).all(axis=2) & (above >= 0)
    return np.asarray(np.where(meets, above, np.inf).min(axis=1))
