"""The build order step by step: each step names its parts, later parts are faint."""

from msgspec.structs import replace

from fixplan.case.records import Case
from fixplan.frame.order import order_lines
from fixplan.notes.steps import NOW_INK, step_shapes, steps_of, stops_at
from fixplan.sheet.ink import FAINT_INK


def inks(case: Case, step: int, owner: str) -> set[str]:
    shapes = [s for s in step_shapes(case, (), step) if s.owner == owner]
    return {s.stroke.colour for s in shapes if getattr(s, "stroke", None) is not None}


def test_steps_are_those_of_the_build_order(any_case: Case) -> None:
    assert [step.text for step in steps_of(any_case)] == list(order_lines(any_case))
    assert steps_of(Case(side="left")) == ()


def test_every_pin_and_bar_comes_in_some_step(any_case: Case) -> None:
    named = {subject for step in steps_of(any_case) for subject in step.subjects}
    assert {pin.id for pin in any_case.pins} <= named
    assert {bar.id for bar in any_case.bars} <= named


def test_a_part_is_faint_before_its_step_marked_in_it_and_plain_after(tibia: Case) -> None:
    first = next(n for n, step in enumerate(steps_of(tibia)) if "bar-1" in step.subjects)
    assert inks(tibia, first - 1, "bar-1") == {FAINT_INK}
    assert inks(tibia, first, "bar-1") == {NOW_INK}
    assert not inks(tibia, len(steps_of(tibia)) - 1, "bar-1") & {FAINT_INK, NOW_INK}


def test_the_limb_is_there_from_the_start(tibia: Case) -> None:
    assert any(shape.owner not in ("pin-1", "bar-1") for shape in step_shapes(tibia, (), 0))


def test_open_stops_about_what_a_step_places_are_told_with_it(tibia: Case, findings) -> None:
    told = {step.number: stops_at(step, findings) for step in steps_of(tibia)}
    with_pin = [step.number for step in steps_of(tibia) if "pin-1" in step.subjects]
    assert with_pin
    assert {number for number, words in told.items() if words} == set(with_pin)
    accepted = tuple(replace(one, accepted="no other place") for one in findings)
    assert not any(stops_at(step, accepted) for step in steps_of(tibia))
