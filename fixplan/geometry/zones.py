"""Zones across the whole limb between two levels, taken from the skin's silhouettes."""

import numpy as np

from fixplan.case.scalars import Outline, View
from fixplan.errors import GeometryError
from fixplan.geometry.strokes import widened, zone_outline
from fixplan.geometry.zone_views import shared_axis, zone_on_own
from fixplan.limb.anatomy import Limb
from fixplan.limb.pose import Pose

EDGE_MM = 3.0
"""How far outside the skin a zone's edge is drawn, so that it plainly takes in the skin."""


def zone_across(limb: Limb, segment: str, view: View, from_mm: float, to_mm: float) -> Outline:
    """The limb's silhouette in a view between two levels of a segment.

    Raises:
        GeometryError: the view shows no levels there, or the segment has none of these.
    """
    known = limb.segments.get(segment)
    if known is None:
        raise GeometryError(f"This limb has no {segment}: choose another part of it.")
    if view == "front" and known.front_shows != "level":
        raise GeometryError(f"The front view shows the {known.title} from the dorsum: draw there.")
    if not from_mm < to_mm:
        raise GeometryError(f"From {from_mm:.0f} to {to_mm:.0f} mm is no zone: type other levels.")
    return zone_outline(limb.skin_outline(segment, view), from_mm, to_mm, EDGE_MM)


def zone_in_other_view(pose: Pose, segment: str, front: Outline, side: Outline) -> Outline:
    """For a zone drawn in one view: what it reaches of the limb in the other one.

    Raises:
        GeometryError: when it is drawn in both views already, or reaches nothing there.
    """
    if bool(front) == bool(side):
        raise GeometryError("It is drawn in both views: take one outline away first.")
    view: View = "side" if front else "front"
    ring = zone_on_own(pose, segment, front, side, view)
    if ring is None:
        raise GeometryError("It reaches nothing of the limb in the other view: draw it there.")
    drawn = pose.drawn_of(segment, view, np.array(ring))
    along = shared_axis(pose, segment) if view == "side" else 1
    return widened(drawn, along, EDGE_MM)
