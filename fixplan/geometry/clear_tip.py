"""Where the tip's side of a pin meets something: a flat-ended cylinder of known length.

The tip lies at s(B') = reach of the bone + overshoot on the far bearing B' = B + 180. Along B' a
point is `ahead` from the target and `aside` of the axis. Bearings are in radians here.
"""

import math
from functools import partial

import numpy as np
from numpy.typing import NDArray

from fixplan.geometry.clear_discs import Discs
from fixplan.geometry.clear_near import Edges, disc_windows
from fixplan.geometry.clear_roots import MarginAt, negative_stretches
from fixplan.geometry.clear_surface import FarSurface, following, wrapped

Array = NDArray[np.float64]
Indices = NDArray[np.intp]
Stretches = tuple[Array, Array, Indices]

_THINNEST = 1e-10
_NOTHING: Stretches = (np.zeros(0), np.zeros(0), np.zeros(0, dtype=np.intp))


class Tip:
    """The inner end of a pin: the bone's far surface, the pin's radius and its overshoot, mm."""

    __slots__ = ("overshoot_mm", "radius_mm", "surface")

    def __init__(self, surface: FarSurface, radius_mm: float, overshoot_mm: float) -> None:
        self.surface, self.radius_mm, self.overshoot_mm = surface, radius_mm, overshoot_mm

    @property
    def farthest_mm(self) -> float:
        """Distance from the target that no part of any pin's inner end exceeds."""
        return math.hypot(self.surface.greatest_mm + self.overshoot_mm, self.radius_mm)

    def reach_in(self, sector: Indices, bearing: Array) -> Array:
        """Distance from the target to the tip's flat end on bearings in known sectors, mm."""
        return self.surface.reach_in(sector, bearing) + self.overshoot_mm


def disc_stretches(tip: Tip, discs: Discs) -> Stretches:
    """Far bearings B' on which the tip's side comes nearer to each disc than its far room.

    Returned: low, high (radians) and the number of the disc.
    """
    distance, off_level, room = discs.distance, discs.off_level, discs.far_room
    half = disc_windows(distance, off_level, tip.radius_mm + room)
    away = np.sqrt(distance * distance + off_level * off_level)
    met = np.flatnonzero((half > 0) & (away - room <= tip.farthest_mm))
    if not len(met):
        return _NOTHING
    distance, off_level, room, half = distance[met], off_level[met], room[met], half[met]
    side = disc_windows(distance, off_level, tip.radius_mm)
    breaks = np.array((-side, side)).T
    row, low, high, sector = _pieces(tip, discs.bearing[met], -half, half, breaks)
    bend = 10 * (distance + tip.farthest_mm) + distance * distance / (room + 0.1)
    point = distance[row], discs.bearing[met][row], (off_level * off_level)[row], room[row]
    margin = partial(_disc_margin, tip, point, tip.surface.edges_of(sector))
    low, high, piece = negative_stretches(margin, low, high, bend[row])
    return low, high, met[row[piece]]


def _disc_margin(
    tip: Tip, point: tuple[Array, Array, Array, Array], edge: tuple[Array, Array], piece: Indices
) -> MarginAt:
    distance, bearing, off2, room = (part[piece] for part in point)
    edge_away, normal = (part[piece] for part in edge)
    radius_mm = tip.radius_mm

    def margin(at: Array) -> Array:
        turn = at - bearing
        ahead, aside = distance * np.cos(turn), distance * np.sin(turn)
        past = np.maximum(ahead - edge_away / np.cos(at - normal) - tip.overshoot_mm, 0.0)
        beside = np.maximum(np.sqrt(aside * aside + off2) - radius_mm, 0.0)
        return np.asarray(np.sqrt(past * past + beside * beside) - room)

    return margin


def edge_stretches(tip: Tip, edges: Edges, room_mm: float) -> tuple[Array, Array]:
    """Far bearings on which the tip's side comes nearer than `room_mm` to an edge of a polygon.

    Only for polygons that stay farther than radius + room from the target.
    """
    met = np.flatnonzero(edges.least_mm - room_mm <= tip.farthest_mm)
    if not len(met):
        return _NOTHING[:2]
    low, high = edges.windows(tip.radius_mm + room_mm)
    half = np.arcsin(np.minimum(tip.radius_mm / edges.distance, 1.0))
    turn = edges.turn[met]
    half_end = following(half)[met]
    breaks = np.column_stack((-half[met], half[met], turn - half_end, turn + half_end))
    base = edges.bearing[met]
    row, low, high, sector = _pieces(tip, base, low[met] - base, high[met] - base, breaks)
    edge = met[row]
    ends = (edges.start[edge], edges.end[edge])
    margin = partial(_edge_margin, tip, sector, ends, room_mm)
    bend = np.full(len(low), 40 * (tip.farthest_mm + float(edges.distance.max())))
    low, high, _ = negative_stretches(margin, low, high, bend)
    return low, high


def _edge_margin(
    tip: Tip, sector: Indices, ends: tuple[Array, Array], room_mm: float, piece: Indices
) -> MarginAt:
    start, end, sector = ends[0][piece], ends[1][piece], sector[piece]

    def margin(at: Array) -> Array:
        reach = tip.reach_in(sector, at)
        seen, seen_end = _turned(start, at), _turned(end, at)
        face = _least_ahead(*seen, *seen_end, tip.radius_mm) - reach - room_mm
        if room_mm <= 0:
            return face
        return np.asarray(np.minimum(face, _beyond_end(tip, reach, seen, seen_end) - room_mm))

    return margin


def _beyond_end(
    tip: Tip, reach: Array, start: tuple[Array, Array], end: tuple[Array, Array]
) -> Array:
    """Least distance of an edge from the corners of the flat end, and of its ends from the tip."""
    ahead, aside, ahead_end, aside_end = start[0] - reach, start[1], end[0] - reach, end[1]
    corners = [
        _from_point(ahead, aside - side, ahead_end, aside_end - side)
        for side in (tip.radius_mm, -tip.radius_mm)
    ]
    beside = [
        np.hypot(np.maximum(a, 0.0), np.maximum(np.abs(b) - tip.radius_mm, 0.0))
        for a, b in ((ahead, aside), (ahead_end, aside_end))
    ]
    return np.asarray(np.minimum.reduce([*corners, *beside]))


def _turned(points: Array, at: Array) -> tuple[Array, Array]:
    """Points as (ahead, aside) along the bearings."""
    cos, sin = np.cos(at), np.sin(at)
    x, y = points[..., 0], points[..., 1]
    return x * cos + y * sin, y * cos - x * sin


def _least_ahead(
    ahead: Array, aside: Array, ahead_end: Array, aside_end: Array, half: float
) -> Array:
    """Least `ahead` of the part of an edge that lies within `half` of the axis; else infinite."""
    rise = aside_end - aside
    rise = np.where(rise == 0, 1e-300, rise)
    found = [
        np.where(np.abs(aside) <= half, ahead, np.inf),
        np.where(np.abs(aside_end) <= half, ahead_end, np.inf),
    ]
    for side in (half, -half):
        share = (side - aside) / rise
        cuts = (share >= 0) & (share <= 1)
        found.append(
            np.where(cuts, ahead + np.where(cuts, share, 0.0) * (ahead_end - ahead), np.inf)
        )
    return np.asarray(np.minimum.reduce(found))


def _from_point(x: Array, y: Array, x_end: Array, y_end: Array) -> Array:
    """Distance from the origin to the stretches between two points."""
    step_x, step_y = x_end - x, y_end - y
    length2 = np.maximum(step_x * step_x + step_y * step_y, 1e-24)
    share = np.clip(-(x * step_x + y * step_y) / length2, 0.0, 1.0)
    return np.hypot(x + share * step_x, y + share * step_y)


def _pieces(
    tip: Tip, base: Array, low: Array, high: Array, breaks: Array
) -> tuple[Indices, Array, Array, Indices]:
    """Windows (base + low to base + high) cut at `breaks` and at the bone's vertex bearings.

    Returned for each piece: its window's number, its ends in radians and the bone's sector.
    """
    middle = ((low + high) / 2)[:, None]
    corners = wrapped(tip.surface.bearing - (middle + base[:, None])) + middle
    low, high = low[:, None], high[:, None]
    cuts = np.concatenate((low, high, breaks, corners), axis=1)
    cuts = np.minimum(np.maximum(cuts, low), high)
    cuts.sort(axis=1)
    row, column = np.nonzero(cuts[:, 1:] - cuts[:, :-1] > _THINNEST)
    start, end = base[row] + cuts[row, column], base[row] + cuts[row, column + 1]
    return row, start, end, tip.surface.sector((start + end) / 2)
