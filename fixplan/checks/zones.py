"""Levels that drawn things take up, so that most pins need not be measured against them at all."""

from functools import lru_cache

import msgspec

from fixplan.case.records import FreeOutline, Incision, Injury, Nail, Plate, Wound
from fixplan.case.scalars import Outline, Record
from fixplan.geometry.paths import PinPath
from fixplan.limb.anatomy import Limb

Levels = tuple[float, float]

EVERYWHERE: Levels = (float("-inf"), float("inf"))
"""For what does not show its levels, as marks on the foot seen from above."""


class Zone(msgspec.Struct, frozen=True, eq=False):
    """A zone of injury with its margin and the levels that both together take up, mm.

    `reaches`: the segments whose pins it concerns.
    """

    injury: Injury
    margin_mm: float
    levels_mm: Levels
    reaches: tuple[str, ...]


def is_from_above(limb: Limb, segment: str) -> bool:
    """Whether a segment's front view is seen from above, as the foot's is."""
    known = limb.segments.get(segment)
    return known is not None and known.front_shows == "forward"


def meet(first: Levels, second: Levels) -> bool:
    """Whether two ranges of levels meet."""
    return first[0] <= second[1] and second[0] <= first[1]


def pin_levels(path: PinPath) -> Levels:
    """The levels that a pin takes up from its tip to beyond the skin, its thickness included."""
    ends = float(path.solid.start_mm[2]), float(path.solid.end_mm[2])
    return min(ends) - path.radius_mm, max(ends) + path.radius_mm


@lru_cache(maxsize=512)
def levels_of(limb: Limb, drawn: Record) -> Levels:
    """The levels that a drawn thing takes up, without margin."""
    if isinstance(drawn, Plate | Nail):
        return min(drawn.from_mm, drawn.to_mm), max(drawn.from_mm, drawn.to_mm)
    if isinstance(drawn, Wound | Incision):
        return _mark_levels(limb, drawn)
    if isinstance(drawn, Injury | FreeOutline):
        return _region_levels(limb, drawn.segment, drawn.front, drawn.side)
    return EVERYWHERE


def _mark_levels(limb: Limb, mark: Wound | Incision) -> Levels:
    if mark.view == "front" and is_from_above(limb, mark.segment):
        return EVERYWHERE
    outline = mark.outline if isinstance(mark, Wound) else ()
    wide_mm = mark.half_width_mm if mark.line else 0.0
    low, high = _span((*outline, *mark.line))
    return low - wide_mm, high + wide_mm


def _region_levels(limb: Limb, segment: str, front: Outline, side: Outline) -> Levels:
    if is_from_above(limb, segment):
        return _span(side)
    return _span((*front, *side))


def _span(points: Outline) -> Levels:
    levels = [level for _, level in points]
    return (min(levels), max(levels)) if levels else EVERYWHERE
