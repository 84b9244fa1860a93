"""Levels kept on their own bone: how far a thing may slide, and what is said of a typed level."""

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case
from fixplan.errors import EditError
from fixplan.limb.anatomy import Bone


def bone_ends_mm(case: Case, bone: str) -> tuple[float, float] | None:
    """The first and the last level of a bone, mm; None for a bone that this limb does not have."""
    known = limb_of_case(case).bones.get(bone)
    return None if known is None else (known.from_mm, known.to_mm)


def slide_within_mm(case: Case, bone: str, from_mm: float, to_mm: float, along_mm: float) -> float:
    """How far of `along_mm` a range (or a level twice) can slide until its bone ends, mm.

    What lies beyond an end already can slide back onto the bone, but no further off it.
    """
    ends = bone_ends_mm(case, bone)
    if ends is None:
        return along_mm
    least = min(ends[0] - from_mm, 0.0)
    most = max(ends[1] - to_mm, 0.0)
    return min(max(along_mm, least), most)


def level_within_mm(case: Case, bone: str, level_mm: float) -> float:
    """The level itself, or the end of the bone that it lies beyond, mm."""
    ends = bone_ends_mm(case, bone)
    return level_mm if ends is None else min(max(level_mm, ends[0]), ends[1])


def refuse_beyond(case: Case, bone: str, *levels_mm: float) -> None:
    """Raises EditError when one of some typed levels (mm) lies beyond the bone's ends."""
    known = limb_of_case(case).bones.get(bone)
    if known is None:
        return
    for level_mm in levels_mm:
        if not known.from_mm <= level_mm <= known.to_mm:
            raise EditError(_beyond_words(known, level_mm))


def _beyond_words(bone: Bone, level_mm: float) -> str:
    end, gap = "start", bone.from_mm - level_mm
    if level_mm > bone.to_mm:
        end, gap = "end", level_mm - bone.to_mm
    return (
        f"This level lies {gap:.0f} mm beyond the {end} of the {bone.title}, which is "
        f"{bone.to_mm - bone.from_mm:.0f} mm long; type a level on the bone."
    )
