"""The skin of the whole posed limb in one view, with the knee closed when it bends."""

import functools

import numpy as np

from fixplan.limb.anatomy import View
from fixplan.limb.pose import Pose
from fixplan.limb.rings import Array

OVERLAP_MM = 3.0
"""How far the knee's piece reaches into the skin above and below it, so that no seam shows."""
ARC_STEPS = 8


@functools.lru_cache(maxsize=32)
def skin_rings(pose: Pose, view: View) -> tuple[Array, ...]:
    """Closed outlines (n, 2) in view coordinates: every segment's skin, then the knee between.

    Drawn as one area they are the limb's silhouette; they overlap.
    """
    rings = {
        name: pose.uv_of(name, view, pose.limb.skin_outline(name, view))
        for name in pose.limb.segments
    }
    return (*rings.values(), _knee(pose, view, rings["thigh"], rings["leg"]))


def _into(edge: Array, other: Array) -> Array:
    """A point a little way from one end of a drawn edge along it."""
    arm = other - edge
    point: Array = edge + arm * (OVERLAP_MM / max(float(np.hypot(*arm)), OVERLAP_MM))
    return point


def _arc(start: Array, end: Array, about: Array) -> Array:
    """From start to end round a point, the distance changing evenly."""
    arms = np.stack((start - about, end - about))
    radius = np.hypot(arms[:, 0], arms[:, 1])
    turn = np.unwrap(np.arctan2(arms[:, 1], arms[:, 0]))
    share = np.linspace(0, 1, ARC_STEPS + 1)
    angle = turn[0] + share * (turn[1] - turn[0])
    reach = radius[0] + share * (radius[1] - radius[0])
    arc: Array = about + reach[:, None] * np.column_stack((np.cos(angle), np.sin(angle)))
    return arc


def _crossing(first: Array, second: Array) -> Array | None:
    """Where two line pieces (2, 2) cross; None if they do not."""
    arm, other = first[1] - first[0], second[1] - second[0]
    across = arm[0] * other[1] - arm[1] * other[0]
    if abs(across) < 1e-9:
        return None
    gap = second[0] - first[0]
    share = (gap[0] * other[1] - gap[1] * other[0]) / across
    share_other = (gap[0] * arm[1] - gap[1] * arm[0]) / across
    if not (0 <= share <= 1 and 0 <= share_other <= 1):
        return None
    point: Array = first[0] + share * arm
    return point


def _knee(pose: Pose, view: View, thigh: Array, leg: Array) -> Array:
    """The piece of skin between the thigh's end and the leg's start.

    In front it follows an arc about the knee's axis. Behind, a bent knee needs none: the piece ends
    where the two ends cross.
    """
    last = len(thigh) // 2
    low, high = thigh[last - 1], thigh[last]
    leg_low, leg_high = leg[0], leg[-1]
    crossing = _crossing(np.stack((high, low)), np.stack((leg_high, leg_low)))
    hinge = pose.knee_axis(view)
    front = _arc(high, leg_high, hinge) if view == "side" else np.stack((high, leg_high))
    if crossing is not None:
        return np.concatenate((_into(high, thigh[last + 1])[None], front, crossing[None]))
    return np.concatenate(
        (
            _into(high, thigh[last + 1])[None],
            front,
            _into(leg_high, leg[-2])[None],
            _into(leg_low, leg[1])[None],
            np.stack((leg_low, low)),
            _into(low, thigh[last - 2])[None],
        )
    )
