"""How much room a piece of bone leaves for pins, what bounds it, and what else can be done."""

from fixplan.case.fragments import Fragment
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case
from fixplan.frame.defaults import levels_why, pinned_levels
from fixplan.frame.patterns import Layout, frames, patterns
from fixplan.limb.words import level_words

Levels = tuple[float, float]

SAME_MM = 0.01


def room_of(case: Case, piece: Fragment, clear_mm: float) -> Levels:
    """Lowest and highest level (mm) for pins, so far from its fractures; the wrong way round: none.

    Bounded by the part of the bone that is pinned.
    """
    limb = limb_of_case(case)
    whole = limb.bones[piece.bone]
    low, high = pinned_levels(limb, piece.bone)
    if piece.from_mm > whole.from_mm:
        low = max(low, piece.from_mm + clear_mm)
    if piece.to_mm < whole.to_mm:
        high = min(high, piece.to_mm - clear_mm)
    return low, high


def bounds_words(case: Case, piece: Fragment, clear_mm: float) -> str:
    """What bounds the room: "from 75 mm below the acromion (…) to 23 mm off the fracture"."""
    low, high = pinned_levels(limb_of_case(case), piece.bone)
    room = room_of(case, piece, clear_mm)
    ends = (
        _end_words(case, piece.bone, (low, levels_why(piece.bone)[0]), clear_mm, room[0]),
        _end_words(case, piece.bone, (high, levels_why(piece.bone)[1]), clear_mm, room[1]),
    )
    return f"between {ends[0]} and {ends[1]}"


def _end_words(
    case: Case, bone: str, bound: tuple[float, str], clear_mm: float, level_mm: float
) -> str:
    bound_mm, why = bound
    if abs(level_mm - bound_mm) > SAME_MM:
        return f"{clear_mm:g} mm off the fracture"
    limb = limb_of_case(case)
    place = level_words(limb, limb.bones[bone].segment, level_mm, bone)
    return f"{place} ({why})" if why else place


def too_little_words(case: Case, piece: Fragment, laid: Layout) -> str:
    """One sentence on a piece with room for one pin alone: how much, where, what two need."""
    low, high = room_of(case, piece, laid.fracture_least_mm)
    return (
        f"The {piece.words} has {max(high - low, 0):.0f} mm for pins, too little for two "
        f"{laid.apart_least_mm:.0f} mm apart: {bounds_words(case, piece, laid.fracture_least_mm)}; "
        f"it holds one; {instead_words(case, piece) or 'place a second by hand'}."
    )


def no_room_words(case: Case, piece: Fragment, laid: Layout) -> str:
    """One sentence on a piece without room for a pin."""
    return (
        f"The {piece.words} has no room for a pin "
        f"{bounds_words(case, piece, laid.fracture_least_mm)}; "
        f"{instead_words(case, piece) or 'place its pins by hand'}."
    )


def instead_words(case: Case, piece: Fragment) -> str:
    """The starting frame across the joint of the piece; empty where there is none."""
    whole = limb_of_case(case).bones[piece.bone]
    first, last = frames().groups.end_blocks.get(piece.bone, ("", ""))
    joint = first if piece.from_mm <= whole.from_mm else last if piece.to_mm >= whole.to_mm else ""
    for one in patterns(case.limb).values():
        if joint and one.spans == joint and piece.bone in one.bones:
            return f"span the {joint} instead (starting frame {one.short})"
    return ""
