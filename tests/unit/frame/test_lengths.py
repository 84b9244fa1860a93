"""Needed length as a sum, the stocked pin that serves, and its thread."""

import pytest
from msgspec.structs import replace

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Bar, Case, PinAnchor
from fixplan.case.scalars import LimbKind
from fixplan.frame.lengths import pin_length
from fixplan.frame.stock import parts
from fixplan.geometry.paths import pin_path
from tests.unit.frame.conftest import bar_on, case_with, heel_pin, tibia_pin


def test_the_sum_of_a_half_pin_by_arithmetic(two_pins_and_a_bar) -> None:
    """Tip 2, bone and skin from the path, bar axis 40 off the skin; clamp 16 long, 8 past it."""
    case = two_pins_and_a_bar
    path = pin_path(limb_of_case(case), case.pins[0])
    length = pin_length(case, case.pins[0])
    assert length.tip_mm == 2.0
    assert length.bone_mm == pytest.approx(path.near_mm - path.far_mm)
    assert length.depth_mm == pytest.approx(path.skin_mm - path.near_mm)
    assert length.gap_mm == pytest.approx(40 - 8)
    assert length.clamp_mm == 24.0
    from_skin_to_tip = path.skin_mm - path.far_mm + 2
    assert length.needed_mm == pytest.approx(from_skin_to_tip + 40 + 8 + 8)
    assert f"= {length.needed_mm:.0f} mm" in length.words


def test_the_next_stocked_length_is_chosen(two_pins_and_a_bar) -> None:
    length = pin_length(two_pins_and_a_bar, two_pins_and_a_bar.pins[0])
    listed = [x for x, _ in parts().half_pins["d5"].stock]
    assert length.stock_mm == min(x for x in listed if x >= length.needed_mm)
    assert length.is_stocked
    assert length.is_long_enough


def test_a_pin_that_would_just_do_is_taken_one_length_longer_for_the_doubt_about_the_skin() -> None:
    """A heel pin that needs 200 mm with the skin as drawn: 3.2 mm of doubt ask for 225."""
    just = pin_length(case_with(heel_pin(1)), heel_pin(1)).needed_mm
    out_mm = 32 + (200 - just)
    anchors = (PinAnchor(pin="pin-1", out_mm=out_mm), PinAnchor(pin="pin-2", out_mm=40))
    case = case_with(
        heel_pin(1), tibia_pin(2, 200), bars=(Bar(id="bar-1", number=1, anchors=anchors),)
    )
    length = pin_length(case, case.pins[0])
    assert length.needed_mm == pytest.approx(200)
    assert length.at_most_mm == pytest.approx(203.2)
    assert length.stock_mm == 225.0
    assert length.covers_doubt


def test_where_no_stocked_length_covers_the_doubt_the_longest_is_taken_and_it_says_so() -> None:
    longest = parts().half_pins["d5"].stock[-1][0]
    usual = pin_length(case_with(tibia_pin(1, 100)), tibia_pin(1, 100)).needed_mm
    bar = bar_on(1, "pin-1", "pin-2", 32 + longest - 1 - usual)
    case = case_with(tibia_pin(1, 100), tibia_pin(2, 180), bars=(bar,))
    length = pin_length(case, case.pins[0])
    assert length.needed_mm == pytest.approx(longest - 1)
    assert (length.stock_mm, length.is_long_enough, length.covers_doubt) == (longest, True, False)


def test_without_a_bar_the_usual_distance_is_assumed() -> None:
    case = case_with(tibia_pin(1, 100))
    assert pin_length(case, case.pins[0]).gap_mm == pytest.approx(32 - 8)


def test_of_two_bars_the_outer_one_counts() -> None:
    case = case_with(
        tibia_pin(1, 100),
        tibia_pin(2, 180),
        bars=(bar_on(1, "pin-1", "pin-2", 40), bar_on(2, "pin-1", "pin-2", 58)),
    )
    assert pin_length(case, case.pins[0]).gap_mm == pytest.approx(58 - 8)


def test_a_typed_length_that_is_too_short_is_not_long_enough() -> None:
    case = case_with(tibia_pin(1, 100, length_mm=60.0))
    length = pin_length(case, case.pins[0])
    assert length.stock_mm == 60.0
    assert not length.is_long_enough
    assert not length.is_stocked
    assert length.thread_spans is None


def test_no_stocked_pin_is_long_enough() -> None:
    case = case_with(
        tibia_pin(1, 100), tibia_pin(2, 180), bars=(bar_on(1, "pin-1", "pin-2", 250.0),)
    )
    length = pin_length(case, case.pins[0])
    assert length.stock_mm is None
    assert length.longest_mm == 250.0
    assert not length.is_long_enough


def test_a_diameter_that_is_not_stocked_has_no_length() -> None:
    case = case_with(tibia_pin(1, 100, diameter_mm=7.0))
    length = pin_length(case, case.pins[0])
    assert (length.stock_mm, length.longest_mm) == (None, None)


def test_thread_spans_tip_and_both_cortices(two_pins_and_a_bar) -> None:
    length = pin_length(two_pins_and_a_bar, two_pins_and_a_bar.pins[1])
    assert length.thread_needed_mm == pytest.approx(length.tip_mm + length.bone_mm)
    assert length.thread_mm is not None
    assert length.thread_mm >= length.thread_needed_mm
    assert length.thread_spans


def test_a_wide_bone_asks_for_a_longer_pin_with_more_thread() -> None:
    case = case_with(tibia_pin(1, 30, 150.0))
    length = pin_length(case, case.pins[0])
    assert length.bone_mm > 50
    assert length.thread_spans
    shortest = min(x for x, _ in parts().half_pins["d5"].stock if x >= length.needed_mm)
    assert length.stock_mm > shortest


def test_a_through_pin_counts_skin_gap_and_clamp_on_both_sides() -> None:
    case = case_with(heel_pin(1))
    path = pin_path(limb_of_case(case), case.pins[0])
    length = pin_length(case, case.pins[0])
    assert length.tip_mm == 0.0
    assert length.gap_mm == pytest.approx(2 * (32 - 8))
    assert length.clamp_mm == 48.0
    assert length.needed_mm == pytest.approx(path.skin_mm - path.far_skin_mm + 2 * (32 + 16))
    assert length.doubt_words == "± 3"
    assert length.uncertainty_mm == pytest.approx(2 * 1.6)


def test_each_end_of_a_through_pin_has_its_own_gap() -> None:
    anchors = (PinAnchor(pin="pin-1", out_mm=50), PinAnchor(pin="pin-2", end="far", out_mm=60))
    case = case_with(
        tibia_pin(1, 200, 90), heel_pin(2), bars=(Bar(id="bar-1", number=1, anchors=anchors),)
    )
    assert pin_length(case, case.pins[1]).gap_mm == pytest.approx((32 - 8) + (60 - 8))


@pytest.mark.parametrize("kind", ["half_pins", "through_pins"])
def test_stock_grows_in_length_and_thread(kind) -> None:
    for pin in getattr(parts(), kind).values():
        assert list(pin.stock) == sorted(pin.stock)
        assert all(thread < length for length, thread in pin.stock)


@pytest.mark.parametrize(
    ("bone", "limb", "doubt"),
    [
        ("humerus", "arm", "± 3"),
        ("radius", "arm", "± 2"),
        ("metacarpal-2", "arm", "as drawn"),
        ("metatarsal-1", "leg", "as drawn"),
    ],
)
def test_a_segment_whose_skin_was_not_measured_says_so_in_a_sentence(
    bone: str, limb: LimbKind, doubt: str
) -> None:
    """The girth model is of thigh, leg, upper arm and forearm."""
    pin = replace(tibia_pin(1, 40.0 if "meta" in bone else 120.0), bone=bone, bearing_deg=300.0)
    case = Case(limb=limb, side="right", pins=(pin,), last_number=1)
    length = pin_length(case, pin)
    assert length.doubt_words == doubt
    assert ("was not measured" in length.words) == (doubt == "as drawn")
    assert "± not known" not in length.words
