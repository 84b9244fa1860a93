"""Which part of the limb is drawn: all that is planned, with some limb round it.

The window moves in whole steps, so that sliding a pin a little does not shift the drawing under
the hand. Everything here is in limb view coordinates, mm.
"""

import functools
from itertools import product

import numpy as np

from fixplan.case.records import Case
from fixplan.case.scalars import View
from fixplan.limb.pose import Pose
from fixplan.sheet.reach import Region, region_reach, ring_reach
from fixplan.sheet.scene import Array
from fixplan.sheet.shapes import Point
from fixplan.sheet.views import Extent, extent_of

STEP_MM = 20.0
AROUND_MM = 24.0
LEAST_MM = 260.0
LEAST_FOOT_MM = 160.0
LIES_ACROSS = 0.6
"""A foot lies along the front view and across the side view: what is planned is then less high in
the side view than this share of the front view, and this much at least is shown of it (ours)."""
BEYOND_MM = 8.0
"""Room past the end of a bar for its clamp."""
SHARES = (1.0, 0.9, 0.8, 0.7, 0.6, 0.5, 0.4, 0.3, 0.2)
"""How much of the spare height is tried for more of the limb."""
VIEWS: tuple[View, View] = ("front", "side")


def _pairs(points: Array) -> list[Point]:
    return [(u, v) for u, v in points.tolist()]


@functools.lru_cache(maxsize=64)
def _skin(pose: Pose, view: View) -> Array:
    rings = [
        pose.uv_of(name, view, pose.limb.skin_outline(name, view)) for name in pose.limb.segments
    ]
    return np.concatenate(rings)


@functools.lru_cache(maxsize=256)
def _skin_extent(pose: Pose, view: View, v_from: float, v_to: float) -> Extent | None:
    """How wide the limb is between two levels of a view."""
    points = _skin(pose, view)
    inside = points[(points[:, 1] >= v_from) & (points[:, 1] <= v_to)]
    return extent_of(_pairs(inside)) if len(inside) else None


def _limits(pose: Pose, views: tuple[View, ...] = VIEWS) -> tuple[float, float]:
    points = np.concatenate([_skin(pose, view) for view in views])[:, 1]
    return float(points.min()), float(points.max())


def _v_range(
    pose: Pose,
    points: list[Point],
    views: tuple[View, ...] = VIEWS,
    least_mm: float = LEAST_MM,
) -> tuple[float, float]:
    """The levels to draw: what is planned and some limb round it, or the whole limb.

    Pins and bars may stand out beyond the limb's end.
    """
    lowest, highest = _limits(pose, views)
    if not points:
        return lowest, highest
    vs = [v for _, v in points]
    short = max(least_mm - (max(vs) - min(vs)), 2 * AROUND_MM)
    v_from = STEP_MM * np.floor((min(vs) - 0.5 * short) / STEP_MM)
    v_to = STEP_MM * np.ceil((max(vs) + 0.5 * short) / STEP_MM)
    top, bottom = min(lowest - 4.0, min(vs) - BEYOND_MM), max(highest + 4.0, max(vs) + BEYOND_MM)
    return max(float(v_from), top), min(float(v_to), bottom)


def wanted_in(case: Case, pose: Pose, reach: dict[View, list[Point]]) -> dict[View, list[Point]]:
    """Points of all that is planned, in each view; `reach` holds the ends of pins and bars."""
    regions: tuple[Region, ...] = (
        *case.fractures,
        *case.wounds,
        *case.injuries,
        *case.candidates,
        *case.supports,
    )
    return {
        view: [
            *reach[view],
            *ring_reach(pose, case.ring, view),
            *(p for thing in regions for p in region_reach(pose, thing, view)),
        ]
        for view in VIEWS
    }


def _extents(
    pose: Pose, wanted: dict[View, list[Point]], v_from: float, v_to: float
) -> tuple[Extent, Extent]:
    """Both extents over the same levels, wide enough for the limb and for what is planned."""
    front, side = (extent_between(pose, view, wanted[view], v_from, v_to) for view in VIEWS)
    return front, side


def extent_between(
    pose: Pose, view: View, wanted: list[Point], v_from: float, v_to: float
) -> Extent:
    """The extent of one view between two levels."""
    points = [*wanted, *_corners(_skin_extent(pose, view, v_from, v_to))]
    whole = extent_of(points) if points else Extent(-50.0, 50.0, v_from, v_to)
    stepped = whole.grown(0.5 * STEP_MM)
    return Extent(stepped.u_from, stepped.u_to, v_from, v_to)


def least_extents(case: Case, pose: Pose, reach: dict[View, list[Point]]) -> tuple[Extent, Extent]:
    """What the front and the side view must show; both over the same levels.

    `reach` holds the ends of pins and bars.
    """
    wanted = wanted_in(case, pose, reach)
    return _extents(pose, wanted, *_v_range(pose, wanted["front"] + wanted["side"]))


def own_extents(case: Case, pose: Pose, reach: dict[View, list[Point]]) -> tuple[Extent, Extent]:
    """What each view must show where they stand beneath each other: of a foot its own levels alone.

    Other limbs show the same levels in both views.
    """
    wanted = wanted_in(case, pose, reach)
    high = {view: _height(wanted[view]) for view in VIEWS}
    if not high["side"] < LIES_ACROSS * high["front"]:
        return least_extents(case, pose, reach)
    front, side = (
        extent_between(
            pose, view, wanted[view], *_v_range(pose, wanted[view], (view,), LEAST_FOOT_MM)
        )
        for view in VIEWS
    )
    return front, side


def _height(points: list[Point]) -> float:
    vs = [v for _, v in points]
    return max(vs, default=0.0) - min(vs, default=0.0)


def work_extents(
    case: Case, pose: Pose, reach: dict[View, list[Point]], room: tuple[float, float]
) -> tuple[Extent, Extent]:
    """What the front and the side view show; both over the same levels.

    `reach` holds the ends of pins and bars. `room` is the width that both views share and their
    height, page mm: where the width is the limit, more of the limb fills the height.
    """
    wanted = wanted_in(case, pose, reach)
    v_from, v_to = _v_range(pose, wanted["front"] + wanted["side"])
    extents = _extents(pose, wanted, v_from, v_to)
    across = extents[0].u_size + extents[1].u_size
    spare = room[1] * across / room[0] - (v_to - v_from)
    for share, lean in product(SHARES, (0.5, 1.0, 0.0)):
        if share * spare < STEP_MM:
            break
        more = _extents(pose, wanted, *_filled(pose, v_from, v_to, share * spare, lean))
        if more[0].u_size + more[1].u_size <= across:
            return more
    return extents


def _filled(
    pose: Pose, v_from: float, v_to: float, spare: float, lean: float
) -> tuple[float, float]:
    """A range of levels grown by so much, as far as the limb goes; `lean` is the share above."""
    lowest, highest = _limits(pose)
    above = min(lean * spare, v_from - lowest + 4.0)
    below = min((1.0 - lean) * spare, highest + 4.0 - v_to)
    return v_from - max(above, 0.0), v_to + max(below, 0.0)


def _corners(extent: Extent | None) -> list[Point]:
    if extent is None:
        return []
    return [(extent.u_from, extent.v_from), (extent.u_to, extent.v_to)]
