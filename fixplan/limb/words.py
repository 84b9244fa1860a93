"""Levels and bearings in the words of the trade."""

from collections.abc import Iterable, Sequence

from fixplan.limb.anatomy import Landmark, Limb
from fixplan.limb.authored import LevelWays

QUARTERS = ("lateral", "anterior", "medial", "posterior")
"""The names of bearings 0, 90, 180 and 270 degrees."""


STEMS = {
    "anterior": "antero",
    "posterior": "postero",
    "palmar": "palmo",
    "plantar": "planto",
    "dorsal": "dorso",
}
"""How the front and back sides begin a word for the corner beside them."""


NAMED_DEG = 22.5
"""Within this of one of the four sides a bearing bears that side's name, beyond it the corner's."""


def bearing_words(bearing_deg: float, sides: Sequence[str] = QUARTERS) -> str:
    """A bearing as a side of the eight, with whole degrees from the nearest of the four.

    "anteromedial, 35° from medial", "lateral, 15° towards posterior"; one of the four is named
    alone. The side is that of `corner_words`. `sides` are a segment's own words for bearings 0, 90,
    180 and 270 degrees (`Segment.sides`).
    """
    whole = round(bearing_deg) % 360
    nearest = ((whole + 45) // 90) % 4
    off = (whole - 90 * nearest + 180) % 360 - 180
    if off == 0:
        return sides[nearest]
    other = sides[(nearest + (1 if off > 0 else -1)) % 4]
    if abs(off) < NAMED_DEG:
        return f"{sides[nearest]}, {abs(off)}° towards {other}"
    return f"{_corner(sides[nearest], other)}, {abs(off)}° from {sides[nearest]}"


def side_words(bearing_deg: float, sides: Sequence[str] = QUARTERS) -> str:
    """A bearing within a sentence: "lateral (20° towards posterior)"."""
    side, off, rest = bearing_words(bearing_deg, sides).partition(", ")
    return f"{side} ({rest})" if off else side


def range_words(from_deg: float, to_deg: float, sides: Sequence[str] = QUARTERS) -> str:
    """A range of bearings by its ends: "lateral (20° towards posterior) to anterior"."""
    return f"{side_words(from_deg, sides)} to {side_words(to_deg, sides)}"


def corner_words(bearing_deg: float, sides: Sequence[str] = QUARTERS) -> str:
    """The side of a limb that a bearing points to, in eighths: "posteromedial"."""
    eighth = round((bearing_deg % 360) / 45) % 8
    nearest = sides[eighth // 2]
    return nearest if eighth % 2 == 0 else _corner(nearest, sides[(eighth // 2 + 1) % 4])


def entry_words(limb: Limb, bone: str, bearing_deg: float) -> str:
    """A pin's side of entry in the words of the segment that its bone belongs to."""
    known = limb.bones.get(bone)
    sides = limb.segments[known.segment].sides if known else QUARTERS
    return bearing_words(bearing_deg, sides)


FROM_SIDE_DEG = 45.0
"""A pin within this of lateral or medial enters from the side."""


def across_words(limb: Limb, bone: str, bearing_deg: float, y_mm: float) -> str:
    """How far in front of a landmark or behind it a pin enters from the side; else empty.

    Only for bones with such a landmark: "30 mm anterior to the posteroinferior point of the heel".
    `y_mm` is where its axis meets the skin.
    """
    turned = abs((bearing_deg + 90.0) % 180.0 - 90.0)
    marks = (mark for mark in limb.landmarks if mark.bone == bone and mark.tells_across)
    mark = next(marks, None)
    if mark is None or turned > FROM_SIDE_DEG:
        return ""
    gap = round(y_mm - mark.y_mm)
    sides = limb.segments[mark.segment].sides
    return f"{abs(gap)} mm {sides[1 if gap > 0 else 3]} to the {mark.name}" if gap else ""


def aside_words(limb: Limb, bone: str, bearing_deg: float, offset_mm: float) -> str:
    """To which side of the bone's middle a pin off its centre is aimed: "6 mm anterior"."""
    off = round(abs(offset_mm))
    if not off:
        return ""
    known = limb.bones.get(bone)
    sides = limb.segments[known.segment].sides if known else QUARTERS
    side = corner_words(bearing_deg + (90.0 if offset_mm > 0 else -90.0), sides)
    return f"{off} mm {side} of the bone's middle"


def ways_of(limb: Limb, segment: str) -> LevelWays:
    """The words for both ways along a segment's levels; the usual ones if there is no such one."""
    known = limb.segments.get(segment)
    return known.ways if known else LevelWays()


def ways_of_bone(limb: Limb, bone: str) -> LevelWays:
    """The words for both ways along the levels of the segment that a bone belongs to."""
    known = limb.bones.get(bone)
    return ways_of(limb, known.segment if known else "")


def _corner(first: str, second: str) -> str:
    """Two neighbouring sides as one word: front or back leads."""
    leading, following = (first, second) if first in STEMS else (second, first)
    return f"{STEMS.get(leading, leading)}{following}"


def level_words(limb: Limb, segment: str, level_mm: float, bone: str = "") -> str:
    """A level told from the nearest landmark that a hand can feel; from an imaged one if none.

    In the words of the segment: "83 mm above the tip of the medial malleolus", "12 mm distal to the
    first tarsometatarsal joint". `bone`: the bone that the level is on, if any; a bone with
    landmarks of its own is told from those alone.
    """
    return _told(limb, segment, level_mm, bone, palpable=True)


def level_words_imaged(limb: Limb, segment: str, level_mm: float, bone: str = "") -> str:
    """A level told from the nearest landmark that an image shows; from a felt one if none."""
    return _told(limb, segment, level_mm, bone, palpable=False)


def level_landmark(
    limb: Limb, segment: str, level_mm: float, bone: str = "", *, palpable: bool = True
) -> Landmark | None:
    """The landmark that a level is told from; None if the segment has none."""
    marks = [mark for mark in limb.landmarks if mark.segment == segment]
    of_bone = [mark for mark in marks if mark.bone == bone and mark.tells_own]
    own = of_bone or [mark for mark in marks if mark.tells_level]
    wanted = [mark for mark in own if mark.palpable == palpable] or own
    return _nearest(wanted, level_mm)


def _nearest(marks: Iterable[Landmark], level_mm: float) -> Landmark | None:
    return min(marks, key=lambda mark: abs(mark.level_mm - level_mm), default=None)


def _told(limb: Limb, segment: str, level_mm: float, bone: str, *, palpable: bool) -> str:
    mark = level_landmark(limb, segment, level_mm, bone, palpable=palpable)
    if mark is None:
        return f"level {level_mm:.0f} mm"
    gap = round(level_mm - mark.level_mm)
    if gap == 0:
        return f"at the level of the {mark.name}"
    way = ways_of(limb, segment).from_landmark[gap > 0]
    return f"{abs(gap)} mm {way} the {mark.name}"
