"""What the step of an open approach names: what its pins would run through, and nothing else."""

import pytest

from fixplan.case.records import Case, LimbSize, Pin
from fixplan.frame.opened import met_words
from fixplan.frame.order import order_lines


def case_of(level_mm: float, bearing_deg: float) -> Case:
    pin = Pin(
        id="pin-1", number=1, bone="radius", level_mm=level_mm, bearing_deg=bearing_deg,
        diameter_mm=3.0, open_approach=True,
    )  # fmt: skip
    size = LimbSize(sex="male", stature_mm=1750.0)
    return Case(limb="arm", side="right", size=size, pins=(pin,), last_number=1)


def test_the_step_names_the_skin_nerve_on_the_way_in() -> None:
    """CO-R3, CO-R5: the superficial radial nerve of the distal forearm, shown by a short cut."""
    found = [
        case for bearing in range(0, 60, 5) if met_words(case := case_of(190, bearing), case.pins)
    ]
    named = [case for case in found if "superficial radial nerve" in met_words(case, case.pins)]
    assert named
    (line,) = [one for one in order_lines(named[0]) if "open approach" in one]
    assert "see and protect nerve and tendon (" in line
    assert "superficial radial nerve" in line


@pytest.mark.parametrize("bone", ["femur-9", "tibia-x"])
def test_nothing_is_named_of_a_bone_that_the_limb_does_not_have(bone: str) -> None:
    pin = Pin(id="pin-1", number=1, bone=bone, level_mm=10.0, bearing_deg=0.0, diameter_mm=3.0)
    assert met_words(case_of(190, 0), (pin,)) == ""
