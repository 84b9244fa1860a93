"""Errors of meaning: what a well-formed case can still get wrong."""

import pytest

from fixplan.case.meaning import case_problems
from fixplan.case.records import (
    Bar,
    BarAnchor,
    Candidate,
    Case,
    Fracture,
    FreeOutline,
    Incision,
    Injury,
    Nail,
    Pin,
    PinAnchor,
    Plate,
    Support,
    Wound,
)

SQUARE = ((0.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0))
LOWER = ((0.0, 40.0), (40.0, 40.0), (40.0, 90.0), (0.0, 90.0))
BOW_TIE = ((0.0, 0.0), (40.0, 40.0), (40.0, 0.0), (0.0, 40.0))


def pin(number: int, **fields: object) -> Pin:
    values: dict[str, object] = {"id": f"pin-{number}", "number": number, "bone": "tibia"}
    values |= {"level_mm": 100.0, "bearing_deg": 90.0, "diameter_mm": 5.0}
    return Pin(**(values | fields))


def bar(number: int, first: object, second: object, **fields: object) -> Bar:
    return Bar(**({"id": f"bar-{number}", "number": number, "anchors": (first, second)} | fields))


def on_pin(number: int, **fields: object) -> PinAnchor:
    return PinAnchor(pin=f"pin-{number}", **({"out_mm": 30.0} | fields))


def on_bar(number: int) -> BarAnchor:
    return BarAnchor(bar=f"bar-{number}", at_mm=10.0)


def problems(**fields: object) -> tuple[str, ...]:
    return case_problems(Case(side="right", **({"last_number": 99} | fields)))


def only_problem(**fields: object) -> str:
    found = problems(**fields)
    assert len(found) == 1, found
    return found[0]


def wound(**fields: object) -> Wound:
    return Wound(id="wound-1", kind="opening", segment="leg", view="front", **fields)


def injury(**fields: object) -> Injury:
    return Injury(id="injury-1", segment="leg", **fields)


def candidate(*parts: object) -> Candidate:
    return Candidate(id="candidate-1", kind="plate", parts=parts)


def test_an_empty_case_has_no_problem() -> None:
    assert problems() == ()


def test_a_sound_frame_has_no_problem() -> None:
    bars = (bar(1, on_pin(1), on_pin(2)), bar(2, on_bar(1), on_pin(3), also=("pin-1",)))
    assert problems(pins=(pin(1), pin(2), pin(3)), bars=bars) == ()


def test_an_id_used_twice() -> None:
    fracture = Fracture(id="pin-1", bone="tibia", from_mm=1.0, to_mm=2.0)
    assert only_problem(pins=(pin(1),), fractures=(fracture,)) == "the id pin-1 is used 2 times"


def test_a_pin_number_used_twice() -> None:
    assert "pin number 1 is used 2 times" in problems(pins=(pin(1), pin(1, id="pin-x")))


def test_a_pin_and_a_bar_may_have_the_same_number() -> None:
    assert problems(pins=(pin(1), pin(2)), bars=(bar(1, on_pin(1), on_pin(2)),)) == ()


def test_a_number_that_is_not_the_ids() -> None:
    assert only_problem(pins=(pin(4, id="pin-1"),)) == "pin-1 has number 4; its id says 1"


def test_last_number_below_a_pins() -> None:
    assert "last_number is 2" in only_problem(pins=(pin(3),), last_number=2)


def test_a_fracture_that_runs_backwards() -> None:
    fracture = Fracture(id="fracture-1", bone="tibia", from_mm=90.0, to_mm=80.0)
    assert only_problem(fractures=(fracture,)).startswith("fracture-1 runs from 90 to 80 mm")


def test_a_fracture_at_one_level_is_right() -> None:
    fracture = Fracture(id="fracture-1", bone="tibia", from_mm=90.0, to_mm=90.0)
    assert problems(fractures=(fracture,)) == ()


@pytest.mark.parametrize("count", [1, 2])
def test_an_outline_of_one_or_two_points(count: int) -> None:
    assert f"has {count} different points" in only_problem(injuries=(injury(front=SQUARE[:count]),))


def test_an_outline_of_repeated_points() -> None:
    assert "1 different points" in only_problem(injuries=(injury(front=SQUARE[:1] * 5),))


def test_an_outline_that_crosses_itself_is_told_with_the_place() -> None:
    text = only_problem(injuries=(injury(side=BOW_TIE),))
    assert text == "injury-1 side crosses itself near (20, 20) mm"


def test_an_injury_without_outline() -> None:
    assert "no outline" in only_problem(injuries=(injury(),))


def test_an_injury_whose_outlines_share_no_level() -> None:
    assert "share no level" in only_problem(injuries=(injury(front=SQUARE, side=LOWER),))


def test_an_injury_whose_outlines_share_some_levels_is_right() -> None:
    lower = tuple((u, v - 10) for u, v in LOWER)
    assert problems(injuries=(injury(front=SQUARE, side=lower),)) == ()


def test_a_wound_without_outline_or_line() -> None:
    assert "either an outline or a line" in only_problem(wounds=(wound(),))


def test_a_wound_with_outline_and_line() -> None:
    assert "either" in only_problem(wounds=(wound(outline=SQUARE, line=SQUARE[:2]),))


def test_a_wound_line_of_one_point() -> None:
    assert "line has 1 different points" in only_problem(wounds=(wound(line=SQUARE[:1] * 2),))


def test_a_bar_on_a_pin_that_is_not_there() -> None:
    bars = (bar(1, on_pin(1), on_pin(9)),)
    assert only_problem(pins=(pin(1),), bars=bars) == (
        "bar-1 is anchored on pin-9, which is not in the case"
    )


def test_a_bar_on_a_bar_that_is_not_there() -> None:
    assert "anchored on bar-7" in only_problem(pins=(pin(1),), bars=(bar(1, on_pin(1), on_bar(7)),))


def test_a_bar_that_also_carries_a_missing_pin() -> None:
    bars = (bar(1, on_pin(1), on_pin(2), also=("pin-8",)),)
    assert "also carries pin-8" in only_problem(pins=(pin(1), pin(2)), bars=bars)


def test_a_bar_held_twice_by_one_pin() -> None:
    assert "held twice by pin-1" in only_problem(
        pins=(pin(1),), bars=(bar(1, on_pin(1), on_pin(1)),)
    )


def test_a_bar_that_names_a_pin_twice() -> None:
    bars = (bar(1, on_pin(1), on_pin(2), also=("pin-2",)),)
    assert "names pin-2 more than once" in only_problem(pins=(pin(1), pin(2)), bars=bars)


def test_a_bar_anchored_on_itself() -> None:
    text = only_problem(pins=(pin(1),), bars=(bar(1, on_pin(1), on_bar(1)),))
    assert text.startswith("bar-1 is anchored on itself")


def test_bars_anchored_in_a_circle() -> None:
    bars = (
        bar(1, on_pin(1), on_bar(2)),
        bar(2, on_pin(1), on_bar(3)),
        bar(3, on_pin(1), on_bar(1)),
    )
    found = problems(pins=(pin(1),), bars=bars)
    assert [text.split()[0] for text in found] == ["bar-1", "bar-2", "bar-3"]


def test_the_far_end_of_a_half_pin_holds_nothing() -> None:
    bars = (bar(1, on_pin(1, end="far"), on_pin(2)),)
    assert "far end of pin-1" in only_problem(pins=(pin(1), pin(2)), bars=bars)


def test_the_far_end_of_a_through_pin_holds_a_bar() -> None:
    bars = (bar(1, on_pin(1, end="far"), on_pin(2)),)
    assert problems(pins=(pin(1, kind="through"), pin(2)), bars=bars) == ()


def test_a_support_on_a_bar_that_is_not_there() -> None:
    support = Support(id="support-1", kind="foot bar", bar="bar-4")
    assert "hangs on bar-4" in only_problem(supports=(support,))


def test_a_splint_of_no_length() -> None:
    assert "support-1 runs from 0 to 0" in only_problem(
        supports=(Support(id="support-1", kind="splint"),)
    )


def test_a_plate_that_runs_backwards_is_told_with_its_part() -> None:
    plate = Plate(
        bone="tibia", side="medial", from_mm=9.0, to_mm=9.0, width_mm=16.0, thickness_mm=6.0
    )
    assert only_problem(candidates=(candidate(plate),)).startswith("candidate-1 parts[0] runs from")


def test_a_nail_whose_locking_zone_runs_backwards() -> None:
    nail = Nail(
        bone="tibia",
        entry="proximal",
        from_mm=0.0,
        to_mm=300.0,
        width_mm=10.0,
        entry_zone=(0.0, 20.0),
        locking_zones=((290.0, 280.0),),
    )
    assert "runs from 290 to 280" in only_problem(candidates=(candidate(nail),))


def test_an_incision_of_one_point() -> None:
    cut = Incision(segment="leg", view="front", line=((0.0, 0.0),), half_width_mm=5.0)
    assert "parts[0] line has 1" in only_problem(candidates=(candidate(cut),))


def test_a_free_outline_that_crosses_itself() -> None:
    free = FreeOutline(segment="leg", front=BOW_TIE)
    assert "parts[0] front crosses itself" in only_problem(candidates=(candidate(free),))


def test_a_linked_case_named_twice() -> None:
    assert only_problem(linked=("left.json", "left.json")).endswith("is named 2 times")
