"""From where levels are counted, in words. No Qt."""

from functools import lru_cache

from fixplan.limb.anatomy import Landmark, Limb
from fixplan.limb.words import level_words, ways_of

NEAR_MM = 2.0
USUAL_FRACTURE_MM = 30.0
SHORT_BONE_SHARE = 0.15


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


def own_start(limb: Limb, bone: str) -> Landmark | None:
    """The first of a bone's own landmarks, from which its levels are counted; None without any."""
    own = [mark for mark in limb.landmarks if mark.bone == bone and mark.tells_own]
    return min(own, key=lambda mark: mark.level_mm, default=None)


def counted_from_mm(limb: Limb, bone: str) -> float:
    """The level in its segment at which the typed levels of a bone are 0, mm."""
    start = own_start(limb, bone)
    return 0.0 if start is None else start.level_mm


def counted_words(limb: Limb, segment: str, bone: str = "") -> str:
    """How the levels of a segment, or of a bone with landmarks of its own, are counted."""
    onward = ways_of(limb, segment).from_landmark[1]
    start = own_start(limb, bone)
    return f"Levels: mm {onward} the {datum_words(limb, segment) if start is None else start.name}."


def place_words(limb: Limb, segment: str, level_mm: float, bone: str = "") -> str:
    """A level from level 0 and from what a hand can feel."""
    where = ways_of(limb, segment).from_landmark[level_mm >= 0]
    told = f"{abs(level_mm):.0f} mm {where} the {datum_words(limb, segment)}"
    felt = level_words(limb, segment, level_mm, bone)
    return told if felt == told else f"{told}; {felt}"


def ray_words(limb: Limb, segment: str, level_mm: float, bone: str) -> str:
    """A level of a bone with landmarks of its own, from its start and from what a hand can feel.

    Of any other bone, and beside the bones, from level 0 of the segment.
    """
    start = own_start(limb, bone)
    if start is None:
        return place_words(limb, segment, level_mm, bone)
    gap = round(level_mm - start.level_mm)
    told = f"{abs(gap)} mm {ways_of(limb, segment).from_landmark[gap >= 0]} the {start.name}"
    felt = level_words(limb, segment, level_mm, bone)
    return told if felt == told or gap == 0 else f"{told}; {felt}"


@lru_cache(maxsize=64)
def has_rays(limb: Limb, segment: str) -> bool:
    """Whether some bones of a segment have levels told from landmarks of their own."""
    return any(mark.segment == segment and mark.tells_own for mark in limb.landmarks)


def usual_fracture_mm(limb: Limb, bone: str) -> float:
    """How long a fracture is taken whose length is not told: a short bone's is shorter."""
    known = limb.bones[bone]
    share = round(SHORT_BONE_SHARE * (known.to_mm - known.from_mm))
    return float(min(USUAL_FRACTURE_MM, max(share, 2)))


def usual_level_mm(limb: Limb, bone: str) -> float:
    """Where a new thing on a bone is offered: the middle of what is known of it, in 5 mm steps."""
    known = limb.bones[bone]
    return float(5 * round((known.from_mm + known.to_mm) / 10))
