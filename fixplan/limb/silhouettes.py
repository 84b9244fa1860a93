"""The skin of the whole posed limb in one view, with its joints closed when they bend."""

import functools

import numpy as np

from fixplan.limb.anatomy import View
from fixplan.limb.kinds import Joint, limb_kind
from fixplan.limb.pose import Pose
from fixplan.limb.rings import Array

OVERLAP_MM = 3.0
"""How far a joint's piece reaches into the skin above and below it, so that no seam shows."""
ARC_STEPS = 8


@functools.lru_cache(maxsize=32)
def skin_rings(pose: Pose, view: View) -> tuple[Array, ...]:
    """Closed outlines (n, 2) in view coordinates: every segment's skin, then the joints between.

    Drawn as one area they are the limb's silhouette; they overlap.
    """
    rings = {
        name: pose.uv_of(name, view, pose.limb.skin_outline(name, view))
        for name in pose.limb.segments
    }
    closed = (
        _closed(pose, view, joint, rings[joint.above], rings[joint.below])
        for joint in limb_kind(pose.limb.kind).bending
    )
    return (*rings.values(), *closed)


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


def _ends(ring: Array) -> tuple[tuple[Array, Array], tuple[Array, Array]]:
    """A skin's lower end and upper end, each as (low, high) edges (2, 2): the corner, the next in.

    A skin's outline runs down its low side from its upper end and back up its high side.
    """
    last = len(ring) // 2
    lower = ring[[last - 1, last - 2]], ring[[last, last + 1]]
    return lower, (ring[[0, 1]], ring[[-1, -2]])


def _closed(pose: Pose, view: View, joint: Joint, above: Array, below: Array) -> Array:
    """The piece of skin between the end of one segment and the start of the next.

    On the outer side of the bend it follows an arc about the joint's axis. On the inner side a bent
    joint needs none: the piece ends where the two ends cross.
    """
    lower, upper = _ends(above)[0], _ends(below)[1]
    if pose.turn_deg(joint) < 0:
        lower, upper = lower[::-1], upper[::-1]
    (inner, outer), (inner_below, outer_below) = lower, upper
    crossing = _crossing(np.stack((outer[0], inner[0])), np.stack((outer_below[0], inner_below[0])))
    rim = np.stack((outer[0], outer_below[0]))
    if view == "side":
        rim = _arc(outer[0], outer_below[0], pose.joint_axis(joint, view))
    start = _into(*outer)[None]
    if crossing is not None:
        return np.concatenate((start, rim, crossing[None]))
    return np.concatenate(
        (
            start,
            rim,
            _into(*outer_below)[None],
            _into(*inner_below)[None],
            np.stack((inner_below[0], inner[0])),
            _into(*inner)[None],
        )
    )
