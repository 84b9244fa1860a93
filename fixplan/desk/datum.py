"""From where levels are counted, in words. No Qt."""

from fixplan.limb.anatomy import Limb
from fixplan.limb.words import level_words, ways_of

NEAR_MM = 2.0


def datum_words(limb: Limb, segment: str) -> str:
    """Level 0 of a segment: "knee joint line", "top of the femur"."""
    known = limb.segments.get(segment)
    if known is None:
        return "start of the bone"
    marks = [mark for mark in limb.landmarks if mark.segment == segment]
    near = [mark for mark in marks if abs(mark.level_mm) < NEAR_MM]
    if near:
        return min(near, key=lambda mark: (abs(mark.level_mm), mark.name)).name
    return f"top of the {limb.bones[known.primary].title}"


def counted_words(limb: Limb, segment: str) -> str:
    """How the levels of a segment are counted."""
    onward = ways_of(limb, segment).from_landmark[1]
    return f"Levels: mm {onward} the {datum_words(limb, segment)}."


def place_words(limb: Limb, segment: str, level_mm: float, bone: str = "") -> str:
    """A level from level 0 and from what a hand can feel."""
    where = ways_of(limb, segment).from_landmark[level_mm >= 0]
    told = f"{abs(level_mm):.0f} mm {where} the {datum_words(limb, segment)}"
    felt = level_words(limb, segment, level_mm, bone)
    return told if felt == told else f"{told}; {felt}"


def usual_level_mm(limb: Limb, bone: str) -> float:
    """Where a new thing on a bone is offered: the middle of what is known of it, in 5 mm steps."""
    known = limb.bones[bone]
    return float(5 * round((known.from_mm + known.to_mm) / 10))
