"""Zones across the whole limb between two levels, taken from the skin's silhouettes."""

from fixplan.case.scalars import Outline, View
from fixplan.errors import GeometryError
from fixplan.geometry.strokes import zone_outline
from fixplan.limb.anatomy import Limb

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


def zone_in_other_view(limb: Limb, segment: str, front: Outline, side: Outline) -> Outline:
    """For a zone drawn in one view: what lies at its levels across the limb in the other one.

    Raises:
        GeometryError: as `zone_across`, or when it is drawn in both views already.
    """
    if bool(front) == bool(side):
        raise GeometryError("It is drawn in both views: take one outline away first.")
    levels = [level for _, level in front or side]
    return zone_across(limb, segment, "side" if front else "front", min(levels), max(levels))
