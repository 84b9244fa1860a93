"""Views kept still under the hand when a gesture makes another segment the upright one. No Qt.

A view's coordinates count from the segment that stands upright; the first fracture may make that
another one, and the frames of the views must then count from there too.
"""

import numpy as np

from fixplan.case.records import Case
from fixplan.limb.pose import Pose
from fixplan.sheet.views import ViewFrame

REACH_MM = 100.0
TURNED_MM = 1e-6


def carried(frame: ViewFrame, before: Pose, after: Pose) -> ViewFrame:
    """A frame made for one pose, so moved that the newly upright segment stays where it was."""
    if before is after or before.fixed_segment == after.fixed_segment:
        return frame
    was, now = (_marks(frame, pose, after.fixed_segment)[0] for pose in (before, after))
    x, y = frame.origin
    return frame._replace(origin=(float(x + was[0] - now[0]), float(y + was[1] - now[1])))


def is_other(before: Case, after: Case) -> bool:
    """Whether two cases are of limbs that cannot keep one place: another kind, side or size."""
    return (before.limb, before.side, before.size) != (after.limb, after.side, after.size)


def stands_still(before: tuple[ViewFrame, ...], after: tuple[ViewFrame, ...]) -> bool:
    """Whether a limb in views kept its scale and place from one drawing to the next."""
    return bool(before) and all(
        (old.scale, old.origin) == (new.scale, new.origin)
        for old, new in zip(before, after, strict=True)
    )


def is_turned(frame: ViewFrame, before: Pose, after: Pose) -> bool:
    """Whether a view turns its segments when one pose gives way to another."""
    segment = after.fixed_segment
    was, now = (_marks(frame, pose, segment) for pose in (before, after))
    return bool(np.abs((was[1] - was[0]) - (now[1] - now[0])).max() > TURNED_MM)


def _marks(frame: ViewFrame, pose: Pose, segment: str) -> tuple[np.ndarray, np.ndarray]:
    """Page points of two places of a segment, one below the other."""
    drawn = np.array(((0.0, 0.0), (0.0, REACH_MM)))
    first, second = frame.to_page(pose.uv_of(segment, frame.view, drawn))
    return np.array(first), np.array(second)
