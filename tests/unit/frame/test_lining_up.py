"""Lining a pin up with a bar that is laid: the pin moves, the bar stays."""

import pytest
from msgspec.structs import replace

from fixplan.errors import EditError
from fixplan.frame.bar_choices import with_pin
from fixplan.frame.joining import bar_paths
from fixplan.frame.lining_up import line_up_pin
from tests.unit.frame.conftest import bar_on, case_with, tibia_pin


def three_pins(middle_deg: float, **fields):
    return case_with(
        tibia_pin(1, 100),
        tibia_pin(2, 150, middle_deg, **fields),
        tibia_pin(3, 200),
        bars=(bar_on(1, "pin-1", "pin-3", also=("pin-2",)),),
    )


@pytest.mark.parametrize("middle_deg", [95.0, 110.0, 122.0, 145.0])
@pytest.mark.parametrize("lay", [1, -1])
def test_the_lined_up_pin_is_met_at_the_offset_on_the_bars_own_side(middle_deg, lay) -> None:
    case = three_pins(middle_deg)
    case = replace(case, bars=(replace(case.bars[0], lay=lay),))
    moved = with_pin(case, line_up_pin(case, "bar-1", "pin-2"))
    before, after = bar_paths(case)["bar-1"], bar_paths(moved)["bar-1"]
    joint = after.joints[2]
    assert joint.residual_mm == pytest.approx(0.0, abs=1e-6)
    assert joint.reaches
    assert (after.origin_mm, after.direction) == (before.origin_mm, before.direction)


def test_lining_up_keeps_level_offset_and_tilt() -> None:
    case = three_pins(140.0, tilt_deg=5.0, offset_mm=2.0)
    pin = line_up_pin(case, "bar-1", "pin-2")
    assert (pin.level_mm, pin.offset_mm, pin.tilt_deg) == (150.0, 2.0, 5.0)


def test_lining_up_twice_changes_nothing_more() -> None:
    case = three_pins(140.0)
    once = line_up_pin(case, "bar-1", "pin-2")
    twice = line_up_pin(with_pin(case, once), "bar-1", "pin-2")
    assert twice.bearing_deg == pytest.approx(once.bearing_deg, abs=1e-6)


def test_a_pin_from_the_other_side_of_the_limb_is_refused() -> None:
    with pytest.raises(EditError, match="Pin 2 cannot be lined up with bar 1"):
        line_up_pin(three_pins(300.0), "bar-1", "pin-2")


def test_a_pin_that_holds_the_bar_is_refused() -> None:
    with pytest.raises(EditError, match="hangs on pin 1 itself"):
        line_up_pin(three_pins(120.0), "bar-1", "pin-1")


def test_an_unknown_pin_is_refused() -> None:
    with pytest.raises(EditError, match="pin-7"):
        line_up_pin(three_pins(120.0), "bar-1", "pin-7")
