"""The build order follows the frame as drawn."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from fixplan.case.records import Case, Support, Wound
from fixplan.checks.run import judge_pin, open_case
from fixplan.frame.order import build_order, order_lines, pins_in_words
from fixplan.frame.patterns import frames
from fixplan.frame.starting import lay_frame
from tests.unit.frame.conftest import case_with, tibia_pin
from tests.unit.frame.test_starting import FEMUR, PILON, PLATEAU, TIBIA, laid

SAMPLES = Path(__file__).parents[3] / "sample_cases"


def place(lines, part: str) -> int:
    return next(n for n, line in enumerate(lines) if part in line)


def test_a_case_without_pins_has_no_build_order() -> None:
    assert order_lines(case_with(fractures=(TIBIA,))) == ()


def test_reduction_comes_first_and_nerves_and_pulses_last() -> None:
    lines = order_lines(laid("per-fragment", TIBIA).case)
    assert lines[0].startswith("Length and rotation first")
    assert lines[-1].startswith("Pulses and nerves again")
    assert place(lines, "tighten last") > place(lines, "Bar 3 between the short bars")


def test_pins_come_before_short_bars_and_those_before_the_link() -> None:
    lines = order_lines(laid("per-fragment", TIBIA).case)
    assert place(lines, "Pins 1, 2, 3 and 4") < place(lines, "Bar 1 on pins 1 and 2")
    assert place(lines, "Bar 2 on pins 3 and 4") < place(lines, "Bar 3 between")


def test_a_single_bar_goes_on_the_far_pins_before_the_near_ones() -> None:
    lines = order_lines(laid("single-bar", TIBIA).case)
    assert place(lines, "Far pins 1 and 4") < place(lines, "Bar 1 with 4 clamps")
    assert place(lines, "Bar 1 with 4 clamps") < place(lines, "Near pins 2 and 3")
    assert "through the clamps of the bar" in lines[place(lines, "Near pins")]


def test_a_knee_spanning_frame_tells_the_flexion_before_its_link() -> None:
    lines = order_lines(laid("knee-spanning", PLATEAU).case)
    assert place(lines, "Knee bent 15°") < place(lines, "Bar 3 between")


def test_a_delta_tells_the_heel_pin_and_the_side_bars() -> None:
    lines = order_lines(laid("ankle-delta", PILON).case)
    assert place(lines, "Heel pin 3 from the medial side") < place(
        lines, "Bars 2 and 3 on each side"
    )


def test_a_foot_is_compared_with_the_other_foot_and_its_pins_go_in_by_hand() -> None:
    lines = order_lines(laid("foot-columns").case)
    assert "compare the other foot" in lines[0]
    assert "turn in by hand" in lines[place(lines, "Pins 2 and 3")]
    assert place(lines, "Heel pin 1") < place(lines, "Bars 1 and 2 along each side of the foot")


def test_a_foot_held_from_the_leg_is_compared_with_the_other_leg() -> None:
    lines = order_lines(laid("foot-columns-leg").case)
    assert "compare the other leg" in lines[0]
    assert place(lines, "Heel pin") < place(lines, "along each side of the foot")


def test_a_through_pin_of_the_tibia_is_no_heel_pin() -> None:
    lines = order_lines(case_with(tibia_pin(1, 100, kind="through")))
    assert not any("Heel" in line for line in lines)
    assert any(line.startswith("Pin 1: incise") for line in lines)


def test_wounds_are_marked_before_the_first_pin() -> None:
    wound = Wound(
        id="wound-1", kind="opening", segment="leg", view="front", outline=((0, 0), (1, 0), (1, 1))
    )
    lines = order_lines(case_with(tibia_pin(1, 100), wounds=(wound,)))
    assert place(lines, "Mark the wound") < place(lines, "Pin 1:")


def test_open_approach_and_supports_are_told() -> None:
    supports = (
        Support(id="support-1", kind="splint"),
        Support(id="support-2", kind="heel stand"),
    )
    lines = order_lines(case_with(tibia_pin(1, 100, open_approach=True), supports=supports))
    assert "Pin 1 through an open approach: see and protect nerve and tendon" in lines
    assert "Splint to hold the foot square" in lines
    assert "Heel stand so that the heel hangs free" in lines


def test_every_step_names_its_evidence() -> None:
    assert all(step.evidence for step in build_order(laid("single-bar", TIBIA).case))
    assert all(line.evidence for line in frames().order.values())


@pytest.mark.parametrize(
    ("numbers", "words"),
    [((), ""), ((3,), "pin 3"), ((2, 1), "pins 1 and 2"), ((1, 2, 5), "pins 1, 2 and 5")],
)
def test_pins_in_words(numbers, words) -> None:
    assert pins_in_words([tibia_pin(n, 100) for n in numbers]) == words


def test_pins_of_a_long_bar_that_go_in_open_say_so_and_loose_ones_stand_apart() -> None:
    case = laid("single-bar", TIBIA).case
    first, *others = case.pins
    opened = replace(case, pins=(replace(first, open_approach=True), *others))
    lines = order_lines(opened)
    assert any(f"pin {first.number} through an open approach" in line for line in lines)
    loose = tibia_pin(9, 60.0)
    lines = order_lines(replace(case, pins=(*case.pins, loose), last_number=9))
    assert sum("9" in line.split(":")[0] for line in lines) == 1
    assert any(line.startswith("Pin 9 stands on no bar") for line in lines)


def put_on(case: Case) -> list[str]:
    """Ids of pins and bars as the steps put them on."""
    return sorted(one for step in build_order(case) for one in step.subjects)


def things(case: Case) -> list[str]:
    return sorted(one.id for one in (*case.pins, *case.bars))


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.json")), ids=lambda path: path.stem)
def test_every_pin_and_bar_of_a_sample_case_is_put_on_once(path: Path) -> None:
    case = open_case(path).case
    assert put_on(case) == things(case)


def test_short_bars_beside_a_long_one_are_put_on_too() -> None:
    """Two frames in one leg: short bars and a link on the femur, one long bar on the tibia."""
    fractures = (FEMUR, replace(TIBIA, id="fracture-2"))
    case = lay_frame(case_with(fractures=fractures), "per-fragment", judge_pin, "femur").case
    case = lay_frame(case, "single-bar", judge_pin, "tibia").case
    assert put_on(case) == things(case)
    lines = order_lines(case)
    assert place(lines, "with 4 clamps") < place(lines, "Bar 1 on pins 1 and 2")
    assert place(lines, "Bar 2 on pins 3 and 4") < place(lines, "Bar 3 between")
