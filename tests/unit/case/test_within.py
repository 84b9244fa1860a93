"""Levels stay on their bone."""

import pytest

from fixplan.case import edits
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Fracture, Pin
from fixplan.case.within import level_within_mm, refuse_beyond, slide_within_mm
from fixplan.errors import EditError

ARM = Case(limb="arm", side="right")
HUMERUS = limb_of_case(ARM).bones["humerus"]


def test_a_pin_slides_no_further_than_its_bone():
    pin = Pin(id="pin", number=1, bone="humerus", level_mm=100.0, bearing_deg=0.0, diameter_mm=4.0)
    case = edits.add_pin(ARM, pin)
    assert edits.slide_pin(case, "pin-1", 900.0).pins[0].level_mm == HUMERUS.to_mm
    assert edits.slide_pin(case, "pin-1", 20.0).pins[0].level_mm == 120.0
    assert edits.move(case, "pin-1", "front", 0.0, -900.0).pins[0].level_mm == HUMERUS.from_mm


def test_a_fracture_slides_with_its_length_to_its_bones_end():
    fracture = Fracture(id="fracture", bone="humerus", from_mm=100.0, to_mm=140.0)
    case = edits.add_fracture(ARM, fracture)
    moved = edits.move(case, "fracture-1", "front", 0.0, 900.0).fractures[0]
    assert (moved.from_mm, moved.to_mm) == (HUMERUS.to_mm - 40.0, HUMERUS.to_mm)


def test_what_lies_off_its_bone_may_come_back_but_go_no_further():
    beyond = HUMERUS.to_mm + 30.0
    assert slide_within_mm(ARM, "humerus", beyond, beyond, 5.0) == 0.0
    assert slide_within_mm(ARM, "humerus", beyond, beyond, -5.0) == -5.0


def test_a_level_beyond_a_bone_is_its_end_and_typed_it_is_refused():
    assert level_within_mm(ARM, "humerus", -212.0) == HUMERUS.from_mm
    with pytest.raises(EditError, match="212 mm beyond the start of the humerus"):
        refuse_beyond(ARM, "humerus", 100.0, -212.0)
    refuse_beyond(ARM, "humerus", 100.0)
