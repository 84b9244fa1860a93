"""A bar drawn by hand is as thick as its pins and bars ask for."""

import pytest

from fixplan.case.records import BarAnchor, Pin, PinAnchor
from fixplan.frame.bar_size import usual_bar_mm
from tests.unit.frame.conftest import case_with, tibia_pin
from tests.unit.frame.other_limbs import laid


def pin(number: int, bone: str, diameter_mm: float) -> Pin:
    return tibia_pin(number, 30.0, bone=bone, diameter_mm=diameter_mm)


def on(*names: str) -> tuple[PinAnchor, ...]:
    return tuple(PinAnchor(pin=name, out_mm=30.0) for name in names)


@pytest.mark.parametrize(
    ("limb", "bone", "diameter_mm", "bar_mm"),
    [
        ("leg", "tibia", 5.0, 11.0),
        ("leg", "metatarsal-1", 4.0, 8.0),
        ("arm", "ulna", 4.0, 8.0),
        ("arm", "metacarpal-2", 3.0, 4.0),
        ("pelvis", "ilium-left", 6.0, 11.0),
    ],
)
def test_the_segment_tells_the_size(limb, bone, diameter_mm, bar_mm) -> None:
    side = "both" if limb == "pelvis" else "right"
    case = case_with(pin(1, bone, diameter_mm), limb=limb, side=side)
    assert usual_bar_mm(case, on("pin-1", "pin-1")) == bar_mm


def test_a_heel_pin_with_a_thin_metatarsal_pin_takes_a_bar_that_clamps_both() -> None:
    case = case_with(pin(1, "calcaneus", 6.0), pin(2, "metatarsal-5", 2.5))
    assert usual_bar_mm(case, on("pin-1", "pin-2")) == 8.0


def test_a_link_is_as_thick_as_what_holds_it() -> None:
    case = laid("wrist-spanning").case
    anchors = (BarAnchor(bar="bar-1", at_mm=0.0), BarAnchor(bar="bar-2", at_mm=0.0))
    assert usual_bar_mm(case, anchors) == 8.0


def test_pins_that_are_only_passed_count_too() -> None:
    case = case_with(pin(1, "tibia", 5.0), pin(2, "tibia", 3.0))
    assert usual_bar_mm(case, on("pin-1"), ("pin-2",)) == 8.0
