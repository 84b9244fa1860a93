"""Numbering the pins anew from the top of the limb, in one edit (D17)."""

from msgspec.structs import replace

from fixplan.case.limbs import limb_of_case
from fixplan.case.naming import renamed_acceptance, renamed_bar, renamed_sites
from fixplan.case.records import Case, Pin
from fixplan.case.sound import sound_case
from fixplan.limb.anatomy import Limb


def renumber_from_proximal(case: Case) -> Case:
    """Number the pins 1, 2, 3 ... from proximal; bars and acceptances follow their pins.

    A pin on a bone that this limb does not have comes last.
    """
    limb = limb_of_case(case)
    ordered = sorted(case.pins, key=lambda pin: (_segment_place(pin, limb), pin.level_mm))
    new_ids = {pin.id: f"pin-{number}" for number, pin in enumerate(ordered, 1)}
    return sound_case(
        replace(
            case,
            pins=tuple(
                replace(pin, id=f"pin-{number}", number=number)
                for number, pin in enumerate(ordered, 1)
            ),
            bars=tuple(renamed_bar(bar, new_ids) for bar in case.bars),
            acceptances=tuple(renamed_acceptance(item, new_ids) for item in case.acceptances),
            pins_on_films=tuple(
                replace(one, pin=new_ids.get(one.pin, one.pin)) for one in case.pins_on_films
            ),
            course=replace(case.course, pin_sites=renamed_sites(case.course.pin_sites, new_ids)),
            last_number=len(ordered),
        )
    )


def _segment_place(pin: Pin, limb: Limb) -> int:
    """The place of a pin's segment, counted from proximal."""
    known = limb.bones.get(pin.bone)
    return list(limb.segments).index(known.segment) if known else len(limb.segments)
