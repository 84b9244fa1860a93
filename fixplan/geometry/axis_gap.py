"""Where a straight axis runs inside convex cells, and how far it stays from them."""

import numpy as np
from numpy.typing import NDArray

from fixplan.geometry.cells import Array, Cells

_TOUCH_MM = 1e-7
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


def inside_stretches(axis: Axis, cells: Cells) -> tuple[Array, Array]:
    """Distance along the axis at which it enters and leaves each cell; leaves <= enters: never.

    An axis that runs along a face shared by two levels counts in the cell below it alone.
    """
    rise = cells.normal @ axis.along
    room = cells.offset - cells.normal @ axis.start_mm
    level = np.abs(rise) < _PARALLEL
    at = room / np.where(level, 1.0, rise)
    enters = np.where(level | (rise > 0), 0.0, at).max(axis=1)
    leaves = np.where(level | (rise < 0), axis.length_mm, at).min(axis=1)
    shut_out = level & (room < 0)
    shut_out[:, 5] |= level[:, 5] & (room[:, 5] <= 0)
    leaves[shut_out.any(axis=1)] = -1.0
    return np.maximum(enters, 0.0), np.minimum(leaves, axis.length_mm)


def possibly_nearest(axis: Axis, cells: Cells) -> NDArray[np.bool_]:
    """Cells that can be the nearest of their region, told by spheres about their centres.

    Along an unbounded axis nothing is measured, so a sphere is a cylinder there.
    """
    along = cells.bounded * axis.along
    to_centre = cells.bounded * (cells.centre - axis.start_mm)
    length2 = np.maximum((along * along).sum(axis=1), _PARALLEL)
    at = np.clip((along * to_centre).sum(axis=1) / length2, 0.0, axis.length_mm)
    off = to_centre - at[:, None] * along
    to_middle = np.sqrt((off * off).sum(axis=1))
    counts = np.diff(cells.starts, append=len(to_middle))
    nearest = np.repeat(np.minimum.reduceat(to_middle, cells.starts), counts)
    return np.asarray(to_middle - cells.reach <= nearest)


def distances(axis: Axis, cells: Cells, chosen: NDArray[np.intp]) -> tuple[Array, Array]:
    """Gap from the axis to each chosen cell that it does not enter, and where along the axis.

    The least of the axis to the twelve edges and either end of the axis to the six faces.
    """
    by_edge, at_edge = _to_edges(axis, cells.edge_start[chosen], cells.edge[chosen])
    by_face, at_face = _ends_to_faces(axis, cells.normal[chosen], cells.offset[chosen])
    nearer = by_face < by_edge
    return np.where(nearer, by_face, by_edge), np.where(nearer, at_face, at_edge)


def _to_edges(axis: Axis, start: Array, edge: Array) -> tuple[Array, Array]:
    """Least distance from the axis to any edge of each cell, and where along the axis."""
    between = axis.start_mm - start
    edge2 = np.maximum((edge * edge).sum(axis=2), _PARALLEL)
    across = edge @ axis.along
    on_axis = between @ axis.along
    on_edge = (between * edge).sum(axis=2)
    skew = edge2 - across * across
    at = np.where(
        skew > _PARALLEL * edge2,
        (across * on_edge - on_axis * edge2) / np.maximum(skew, _PARALLEL),
        0,
    )
    at = np.clip(at, 0.0, axis.length_mm)
    share = np.clip((across * at + on_edge) / edge2, 0.0, 1.0)
    at = np.clip(across * share - on_axis, 0.0, axis.length_mm)
    share = np.clip((across * at + on_edge) / edge2, 0.0, 1.0)
    off = between + at[..., None] * axis.along - share[..., None] * edge
    away2 = (off * off).sum(axis=2)
    best = away2.argmin(axis=1)
    rows = np.arange(len(best))
    return np.sqrt(away2[rows, best]), at[rows, best]


def _ends_to_faces(axis: Axis, normal: Array, offset: Array) -> tuple[Array, Array]:
    """Least distance from an end of the axis straight onto a face, infinite when none is met."""
    ends = np.stack((axis.start_mm, axis.end_mm))
    above = normal @ ends.T - offset[:, :, None]
    between_faces = normal @ normal.transpose(0, 2, 1)
    foot_above = above[:, None] - above[:, :, None] * between_faces[..., None]
    meets = (foot_above <= _TOUCH_MM).all(axis=2) & (above >= 0)
    away = np.where(meets, above, np.inf).min(axis=1)
    far_end = away[:, 1] < away[:, 0]
    return away.min(axis=1), np.where(far_end, axis.length_mm, 0.0)
