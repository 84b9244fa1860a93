import re

from msgspec.structs import replace

from fixplan.case.records import Wound
from fixplan.checks.advice import slide_words
from fixplan.checks.run import check
from tests.unit.checks.conftest import square


def open_of(case, pin_id):
    return [one for one in check(case) if one.is_open and one.subjects[0] == pin_id]


def with_pin_2(case, level_mm):
    return replace(
        case, pins=(case.pins[0], replace(case.pins[1], level_mm=level_mm), *case.pins[2:])
    )


def test_the_move_that_is_told_clears_the_pin(leg):
    wrong = with_pin_2(leg, 150.0)
    (found,) = open_of(wrong, "pin-2")
    told = re.fullmatch(r"slide it (\d+) mm proximally", found.advice)
    assert told
    assert open_of(with_pin_2(leg, 150.0 - float(told[1])), "pin-2") == []


def test_a_smaller_move_would_not_do(leg):
    (found,) = open_of(with_pin_2(leg, 150.0), "pin-2")
    short = float(re.findall(r"\d+", found.advice)[0]) - 2
    assert open_of(with_pin_2(leg, 150.0 - short), "pin-2") != []


def test_several_findings_of_one_pin_get_one_move(leg):
    wound = Wound(
        id="wound-1", kind="opening", segment="leg", view="front", outline=square(140, 230)
    )
    wrong = with_pin_2(replace(leg, wounds=(wound,)), 165.0)
    advice = {one.advice for one in open_of(wrong, "pin-2")}
    assert len(open_of(wrong, "pin-2")) >= 3
    assert len(advice) == 1
    assert advice != {""}


def test_no_move_is_told_where_none_helps(leg):
    everywhere = replace(leg.injuries[0], front=square(-50, 420))
    hopeless = open_of(replace(leg, injuries=(everywhere,)), "pin-2")
    assert hopeless
    assert {one.advice for one in hopeless} == {""}


def test_moves_are_told_in_the_words_of_the_segment():
    assert slide_words("leg", 12.0) == "slide it 12 mm distally"
    assert slide_words("thigh", -5.0) == "slide it 5 mm proximally"
    assert slide_words("hindfoot", 4.0) == "slide it 4 mm towards the sole"
    assert slide_words("hand", 4.0) == "slide it 4 mm distally"
    assert slide_words("hemipelvis-left", -4.0) == "slide it 4 mm proximally"


def level_after(case, pin_id):
    """Where a pin stands after the slide that it is told; None where none is told."""
    level_mm = next(pin.level_mm for pin in case.pins if pin.id == pin_id)
    for one in open_of(case, pin_id):
        told = re.fullmatch(r"slide it (\d+) mm (proximally|distally)", one.advice)
        if told:
            return level_mm + float(told[1]) * (1 if told[2] == "distally" else -1)
    return None


def test_a_slide_stays_in_the_fragment_of_the_pin(leg):
    narrow = replace(leg.injuries[0], front=square(175.0, 322.0))
    case = replace(leg, injuries=(narrow,))
    assert any(one.rule == "rule.pin.injury" for one in open_of(case, "pin-3"))
    level_mm = level_after(case, "pin-3")
    assert level_mm is None or level_mm > 210.0


def test_a_slide_brings_no_pin_too_near_to_its_neighbour(leg):
    near = replace(leg.pins[0], level_mm=100.0)
    case = replace(with_pin_2(leg, 150.0), bars=())
    case = replace(case, pins=(near, *case.pins[1:]))
    level_mm = level_after(case, "pin-2")
    assert level_after(replace(with_pin_2(leg, 150.0), bars=()), "pin-2") > 100.0
    assert level_mm is None or abs(level_mm - 100.0) >= 30.0
