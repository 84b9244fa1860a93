"""The pin that a click on a bone gives: side, kind, depth and diameter are the customary ones."""

from collections.abc import Callable
from math import cos, radians, sin

from msgspec.structs import replace

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Pin
from fixplan.case.scalars import View
from fixplan.errors import EditError
from fixplan.frame.defaults import (
    Kind,
    band_at,
    customary_bearings,
    customary_kind,
    default_diameter,
    entry_of,
    pinned_bones,
)
from fixplan.geometry.paths import pin_path
from fixplan.limb.anatomy import Limb

Barred = Callable[[Case, Pin], bool]
_BONES_NAMED = 3
"""Of more bones that carry pins none is named: the words are to fit the status bar."""


def new_pin(
    case: Case,
    bone: str,
    level_mm: float,
    offset_mm: float = 0.0,
    view: View | None = None,
    is_barred: Barred | None = None,
) -> Pin:
    """A pin as a click on a bone gives it: customary side and kind, the bone's diameter.

    `offset_mm` is how far the click lay off the bone's middle in that view, along u; it becomes the
    pin's own offset as far as its direction allows. In a plate, which lies askew in every view, a
    pin that would miss it goes down its middle. `edits.add_pin` gives it its number.
    `is_barred`: whether a side is ruled out; the first customary side that is not is then taken,
    and the first of all where every one is.
    Raises EditError for a bone that is not customarily pinned.
    """
    limb = limb_of_case(case)
    if bone in limb.bones and bone not in pinned_bones(limb):
        raise EditError(_unpinned_words(limb, bone))
    sides = customary_bearings(limb, bone, level_mm)
    pins = (_from_side(case, bone, level_mm, bearing, offset_mm, view) for bearing in sides)
    first = next(pins)
    if is_barred is None or not is_barred(case, first):
        return first
    return next((pin for pin in pins if not is_barred(case, pin)), first)


def _from_side(
    case: Case, bone: str, level_mm: float, bearing: float, offset_mm: float, view: View | None
) -> Pin:
    limb, kind = limb_of_case(case), customary_kind(bone)
    offset = _own_offset_mm(offset_mm, bearing, view)
    pin = pin_from(case, bone, level_mm, bearing, kind, offset)
    if limb.bones[bone].is_plate and not pin_path(limb, pin).hits_bone:
        return pin_from(case, bone, level_mm, bearing, kind)
    return pin


def pin_from(
    case: Case,
    bone: str,
    level_mm: float,
    bearing_deg: float,
    kind: Kind,
    offset_mm: float = 0.0,
) -> Pin:
    """A pin from a side of entry, with the bone's own tilt, depth and diameter at that level.

    Raises EditError for a bone that is not customarily pinned.
    """
    limb = limb_of_case(case)
    band = band_at(limb, bone, level_mm)
    pin = Pin(
        id="pin-new",
        number=case.last_number + 1,
        bone=bone,
        level_mm=level_mm,
        bearing_deg=bearing_deg,
        tilt_deg=band.tilt_deg,
        offset_mm=offset_mm,
        diameter_mm=default_diameter(limb, bone, level_mm, bearing_deg, kind),
        tip_mm=entry_of(bone).tip_mm,
        kind=kind,
    )
    return pin if band.depth_mm is None else _ending_at(limb, pin, band.depth_mm)


def _ending_at(limb: Limb, pin: Pin, depth_mm: float) -> Pin:
    """A pin that ends so far in its bone; unchanged where the bone is no deeper than that."""
    short_mm = pin_path(limb, pin).bone_mm - depth_mm
    return replace(pin, tip_mm=-short_mm) if short_mm > 0 else pin


def _own_offset_mm(offset_mm: float, bearing_deg: float, view: View | None) -> float:
    """Offset across the pin that shows as clicked in the view; at most as far as clicked."""
    if view is None:
        return offset_mm
    turn = radians(bearing_deg)
    return offset_mm * (-sin(turn) if view == "front" else cos(turn))


def _unpinned_words(limb: Limb, bone: str) -> str:
    """That a bone carries no pin, and which of its own segment do, where they are few."""
    known = limb.bones[bone]
    beside = [limb.bones[name] for name in pinned_bones(limb)]
    titles = dict.fromkeys(one.title for one in beside if one.segment == known.segment)
    few = 0 < len(titles) <= _BONES_NAMED
    others = f"the {' or the '.join(titles)}" if few else "another bone"
    return f"No pin is customary in the {known.title}; choose {others}."
