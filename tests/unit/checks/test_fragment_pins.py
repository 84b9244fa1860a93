"""Pins of one fragment on different bars: what counts, what does not, and why."""

from fixplan.case.records import Case, Fracture
from fixplan.checks.finding import Finding
from fixplan.checks.run import check_only
from tests.unit.frame.conftest import bar_on, case_with, heel_pin, tibia_pin

PINS = frozenset({"rule.fragment.pins"})
LOOSE = frozenset({"rule.frame.loose"})
BROKEN = Fracture(id="fracture-1", bone="tibia", from_mm=180, to_mm=210)


def two_frames(*pins, bars) -> Case:
    return case_with(*pins, bars=bars, fractures=(BROKEN,))


def told(case: Case) -> tuple[Finding, ...]:
    return check_only(case, PINS)


def test_pins_of_a_frame_to_the_heel_hold_the_fragment_that_another_frame_passes_over() -> None:
    """What is wrong is told as that: no bar joins the fragments, both of which hold pins."""
    pins = (tibia_pin(1, 60), tibia_pin(2, 130), tibia_pin(3, 270), tibia_pin(4, 330), heel_pin(5))
    lower = bar_on(1, "pin-3", "pin-4")
    case = two_frames(*pins, bars=(lower, bar_on(2, "pin-1", "pin-5", also=("pin-2",))))
    assert told(case) == ()
    (found,) = check_only(case, LOOSE)
    assert "Nothing joins the proximal fragment of the tibia" in found.message


def test_pins_on_no_bar_are_named_where_they_stand_in_a_fragment_that_nothing_holds() -> None:
    pins = (tibia_pin(1, 60), tibia_pin(2, 130), tibia_pin(3, 270), tibia_pin(4, 330))
    (found,) = told(two_frames(*pins, bars=(bar_on(1, "pin-3", "pin-4"),)))
    assert found.message.startswith(
        "The proximal fragment of the tibia is held by no pin (pins 1 and 2 in it stand on no bar);"
    )


def test_one_pin_on_each_of_two_frames_is_one_pin_each_with_the_other_named() -> None:
    pins = (tibia_pin(1, 60), tibia_pin(2, 130), tibia_pin(3, 270), tibia_pin(4, 330))
    bars = (bar_on(1, "pin-1", "pin-4"), bar_on(2, "pin-2", "pin-3", out_mm=60))
    messages = [one.message for one in told(two_frames(*pins, bars=bars))]
    assert len(messages) == 4
    assert messages[0].startswith(
        "The proximal fragment of the tibia is held by 1 pin "
        "(pin 2 in it runs by bars not joined to these); two are needed"
    )


def test_a_fragment_that_two_frames_pass_over_is_told_once() -> None:
    pins = (tibia_pin(1, 250), tibia_pin(2, 280), tibia_pin(3, 310), tibia_pin(4, 340))
    bars = (bar_on(1, "pin-1", "pin-2"), bar_on(2, "pin-3", "pin-4"))
    assert [one.measured for one in told(two_frames(*pins, bars=bars))] == [0.0]
