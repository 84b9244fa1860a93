"""The build order step by step: each step names its parts, later parts are faint."""

from msgspec.structs import replace

from fixplan.case.records import Case
from fixplan.frame.order import build_order, order_lines
from fixplan.notes.steps import NOW_INK, PICTURE, barred_at, step_shapes, steps_of, stops_at
from fixplan.sheet.ink import FAINT_INK, SEVERITY_INK
from fixplan.sheet.shapes import Text
from fixplan.sheet.statements import open_stops, order_block

TITLES = {"FRONT", "SIDE", "facing the patient", "from the lateral side"}


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


def test_open_stops_about_what_a_step_puts_on_are_told_with_it(tibia: Case, findings) -> None:
    steps = steps_of(tibia)
    told = {step.number for at, step in enumerate(steps) if stops_at(tibia, findings, at)}
    assert told == {step.number for step in steps if "pin-1" in step.puts_on} != set()
    accepted = tuple(replace(one, accepted="no other place") for one in findings)
    assert not any(stops_at(tibia, accepted, at) for at in range(len(steps)))


def test_the_sentence_that_bars_a_step_is_the_sheets(tibia: Case, findings) -> None:
    ats = range(len(steps_of(tibia)))
    told = [sentence for at in ats for sentence in barred_at(tibia, findings, at)]
    block = order_block(build_order(tibia), open_stops(findings), 200.0, 3.0)
    printed = [w.text for row in block.rows for w in row.words if w.text.startswith("Stop at")]
    assert told == printed == ["Stop at pin 1: settle it first"]


def test_a_stop_about_no_pin_or_bar_bars_the_first_step(tibia: Case, findings) -> None:
    elsewhere = tuple(replace(one, subjects=("injury-1",)) for one in findings)
    told = [barred_at(tibia, elsewhere, at) for at in range(len(steps_of(tibia)))]
    assert told[0] == ("Stop at the frame or the limb: settle it first",)
    assert not any(told[1:])


def test_a_stops_mark_keeps_its_red_while_its_pin_is_marked(tibia: Case, findings) -> None:
    at = next(n for n, step in enumerate(steps_of(tibia)) if "pin-1" in step.puts_on)
    shapes = [s for s in step_shapes(tibia, findings, at) if s.owner.startswith("pin-1")]
    strokes = {s.stroke.colour for s in shapes if getattr(s, "stroke", None) is not None}
    letters = {s.colour for s in shapes if getattr(s, "text", "") == "stop"}
    assert {NOW_INK, SEVERITY_INK["stop"]} <= strokes
    assert letters == {SEVERITY_INK["stop"]}


def test_the_titles_of_the_views_stand_within_the_picture(tibia: Case) -> None:
    texts = [s for s in step_shapes(tibia, (), 0) if isinstance(s, Text) and s.text in TITLES]
    assert {s.text for s in texts} == TITLES
    assert all(0.0 <= s.at[0] <= PICTURE[0] for s in texts)
