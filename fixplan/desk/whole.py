"""The views with the whole limb in them, for drawing where nothing is planned yet. No Qt."""

from typing import NamedTuple

import numpy as np

from fixplan.case.records import Case
from fixplan.limb.pose import Pose
from fixplan.sheet.box import Box
from fixplan.sheet.views import Extent, ViewFrame, extent_of, mirror, place_views, stack_views

EDGE_MM = 4.0


class Room(NamedTuple):
    """Room left of a limb, between its views and right of it, page mm."""

    left: float
    between: float
    right: float


FACING_RIGHT, FACING_LEFT = Room(49.0, 28.5, 11.0), Room(42.0, 36.5, 12.0)
"""For what is not yet planned: a frame that stands out, its labels; by where the side view's front
is (ours)."""
TITLE_MM = 9.5
FOOT_MM = 15.0
"""Room below the views for three lines of the legend (ours)."""
ABOVE_MM, BELOW_MM = 60.0, 20.0
"""How far a frame stands out beyond a limb that is wider than it is high, limb mm (ours)."""

Frames = tuple[ViewFrame, ...]


def whole_limb_frames(case: Case, pose: Pose, printed: Frames, room: Box) -> Frames:
    """Frames in the room for the drawing that show all of the limb and all that is planned.

    Beside each other or, where the limb is then larger, beneath each other. `printed` are the
    frames that are printed; those of the whole limb stand in their arrangement of the page.
    """
    front, side = (_extent(pose, frame) for frame in printed)
    spare = FACING_RIGHT if mirror("side", case.side) > 0 else FACING_LEFT
    inner = Box(
        room.x + spare.left,
        room.y + TITLE_MM,
        room.width - spare.left - spare.right,
        room.height - TITLE_MM - FOOT_MM,
    )
    beside = _beside(front, side, case, inner, spare.between)
    beneath = _beneath(front, side, case, inner, spare)
    larger = beneath if beneath[0].scale > beside[0].scale else beside
    return tuple(frame._replace(arrangement=printed[0].arrangement) for frame in larger)


def _beside(front: Extent, side: Extent, case: Case, room: Box, between_mm: float) -> Frames:
    v_from = min(front.v_from, side.v_from) - EDGE_MM
    v_to = max(front.v_to, side.v_to) + EDGE_MM
    first, second = (Extent(one.u_from, one.u_to, v_from, v_to) for one in (front, side))
    return place_views(first, second, case.side, room, between_mm)


def _beneath(front: Extent, side: Extent, case: Case, room: Box, spare: Room) -> Frames:
    first, second = (
        one._replace(v_from=one.v_from - ABOVE_MM, v_to=one.v_to + BELOW_MM)
        for one in (front, side)
    )
    high = room.height - TITLE_MM - EDGE_MM
    upper = room._replace(height=high * first.v_size / (first.v_size + second.v_size))
    lower = room._replace(y=upper.bottom + TITLE_MM + EDGE_MM, height=high - upper.height)
    right = spare.right - spare.left if case.side == "both" else 0.0
    boxes = tuple(box._replace(width=box.width + right) for box in (upper, lower))
    return stack_views(first, second, case.side, (boxes[0], boxes[1]))


def _extent(pose: Pose, frame: ViewFrame) -> Extent:
    """The limb's skin in a view, and what is drawn in the printed window."""
    left, right = frame.limits
    box = frame.box
    corners = [frame.from_page(x, y) for x in (left, right) for y in (box.y, box.bottom)]
    skins = [
        pose.uv_of(name, frame.view, pose.limb.skin_outline(name, frame.view))
        for name in pose.limb.segments
    ]
    points = np.concatenate([*skins, np.array(corners)])
    return extent_of([(u, v) for u, v in points.tolist()])
