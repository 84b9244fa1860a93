"""The views with the whole limb in them, for drawing where nothing is planned yet. No Qt."""

import numpy as np

from fixplan.case.records import Case
from fixplan.limb.pose import Pose
from fixplan.sheet.box import Box
from fixplan.sheet.views import Extent, ViewFrame, extent_of, place_views, stack_views

EDGE_MM = 4.0

Frames = tuple[ViewFrame, ...]


def whole_limb_frames(case: Case, pose: Pose, printed: Frames) -> Frames:
    """Frames in the room of the printed ones that show all of the limb and all that is planned."""
    front, side = printed
    extents = [_extent(pose, frame) for frame in printed]
    if side.box.y > front.box.y:
        return stack_views(extents[0], extents[1], case.side, (front.box, side.box))
    room = Box(
        front.box.x,
        front.box.y,
        side.box.right - front.box.x,
        max(front.box.height, side.box.height),
    )
    v_from = min(extent.v_from for extent in extents) - EDGE_MM
    v_to = max(extent.v_to for extent in extents) + EDGE_MM
    first, second = (Extent(one.u_from, one.u_to, v_from, v_to) for one in extents)
    return place_views(first, second, case.side, room, side.box.x - front.box.right)


def _extent(pose: Pose, frame: ViewFrame) -> Extent:
    """The limb's skin in a view, and what the printed window holds."""
    corners = [frame.from_page(x, y) for x, y in frame.box.corners]
    skins = [
        pose.uv_of(name, frame.view, pose.limb.skin_outline(name, frame.view))
        for name in pose.limb.segments
    ]
    points = np.concatenate([*skins, np.array(corners)])
    return extent_of([(u, v) for u, v in points.tolist()])
