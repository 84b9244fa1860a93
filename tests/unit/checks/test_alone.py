"""A click takes the first customary side from which nothing on the bare limb stops the pin."""

import pytest
from msgspec.structs import replace

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Fracture, LimbSize
from fixplan.checks.alone import is_stopped_alone
from fixplan.frame.defaults import customary_bearings
from fixplan.frame.new_pins import new_pin, pin_from

WOMAN = LimbSize(sex="female", stature_mm=1630.0)


def clicked(case: Case, bone: str, share: float):
    whole = limb_of_case(case).bones[bone]
    level = whole.from_mm + share * (whole.to_mm - whole.from_mm)
    return level, new_pin(case, bone, level, is_barred=is_stopped_alone)


@pytest.mark.parametrize(
    ("kind", "bone", "share"),
    [
        ("leg", "metatarsal-1", 0.15),
        ("leg", "cuneiform-2", 0.6),
        ("arm", "radius", 0.88),
        ("arm", "proximal-phalanx-1", 0.6),
    ],
)
def test_where_the_usual_side_is_a_stop_the_next_customary_one_is_taken(kind, bone, share):
    sex = "male" if bone == "metatarsal-1" else "female"
    case = Case(
        limb=kind, side="right", size=LimbSize(sex=sex, stature_mm=1750 if sex == "male" else 1630)
    )
    level, pin = clicked(case, bone, share)
    usual = new_pin(case, bone, level)
    assert is_stopped_alone(case, usual)
    assert not is_stopped_alone(case, pin)
    assert pin.bearing_deg in customary_bearings(limb_of_case(case), bone, level)[1:]


def test_where_every_customary_side_is_a_stop_the_usual_one_is_kept():
    case = Case(limb="arm", side="right", size=WOMAN)
    level, pin = clicked(case, "humerus", 0.56)
    sides = customary_bearings(limb_of_case(case), "humerus", level)
    assert all(
        is_stopped_alone(case, pin_from(case, "humerus", level, side, "half")) for side in sides
    )
    assert pin.bearing_deg == sides[0]


def test_what_else_is_drawn_does_not_turn_the_pin():
    case = Case(side="right", size=WOMAN)
    level, pin = clicked(case, "tibia", 0.5)
    broken = Fracture(id="fracture-1", bone="tibia", from_mm=level - 5, to_mm=level + 5)
    again = new_pin(replace(case, fractures=(broken,)), "tibia", level, is_barred=is_stopped_alone)
    assert again == pin


@pytest.mark.parametrize("bone", ["middle-phalanx-2", "middle-phalanx-4", "middle-phalanx-5"])
@pytest.mark.parametrize("share", [0.2, 0.4, 0.6, 0.8])
def test_a_click_on_a_womans_finger_gives_a_pin_without_a_stop(bone, share):
    """Nerves and arteries lie nearer in a small finger, the limit of 5 mm stays."""
    case = Case(limb="arm", side="left", size=WOMAN)
    _, pin = clicked(case, bone, share)
    assert not is_stopped_alone(case, pin)
