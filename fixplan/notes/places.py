"""Where a drawn zone or wound lies, in words: between landmarks that a hand can feel."""

from fixplan.case.limbs import limb_of_case, pose_of_case
from fixplan.case.records import Case
from fixplan.case.scalars import Outline, View
from fixplan.limb.anatomy import Limb
from fixplan.limb.words import level_words


def place_words(case: Case, segment: str, view: View, drawn: Outline) -> str:
    """From where to where along the limb, as far as the limb goes.

    What is drawn on the foot from above is told by how far forward it lies.
    """
    from fixplan.geometry.zone_views import extent_on_limb

    limb = limb_of_case(case)
    if not drawn or segment not in limb.segments:
        return segment
    is_forward = view == "front" and limb.segments[segment].front_shows == "forward"
    ends = extent_on_limb(pose_of_case(case), segment, view, drawn, 1)
    if ends is None:
        return f"beside the limb, by the {limb.segments[segment].title}"
    tell = _forward_words if is_forward else level_words
    low, high = (tell(limb, segment, end) for end in ends)
    return f"from {low} to {high}" if low != high else low


def _forward_words(limb: Limb, segment: str, y_mm: float) -> str:
    """How far forward on the foot, from the nearest landmark of the segment that tells it."""
    marks = [mark for mark in limb.landmarks if mark.segment == segment and mark.tells_across]
    mark = min(marks, key=lambda one: abs(one.y_mm - y_mm), default=None)
    if mark is None:
        return f"{y_mm:.0f} mm in front of the ankle's middle"
    gap = round(y_mm - mark.y_mm)
    way = limb.segments[segment].sides[1 if gap > 0 else 3]
    return f"{abs(gap)} mm {way} to the {mark.name}" if gap else f"the {mark.name}"
