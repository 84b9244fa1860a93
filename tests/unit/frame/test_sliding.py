"""Sliding and turning pins against a judge that is made up, so that the outcome is known."""

from typing import NamedTuple

import pytest

from fixplan.frame.patterns import layout
from fixplan.frame.sliding import (
    Run,
    Stretch,
    far_levels,
    find_pair,
    steps,
    wished_spread_mm,
)
from fixplan.frame.verdicts import verdict_of
from tests.unit.frame.conftest import case_with

ONE_SIDE = ((120.0, 120.0),)
TWO_SIDES = ((120.0, 120.0), (140.0, 140.0))


class Said(NamedTuple):
    severity: str
    message: str
    evidence: tuple[str, ...] = ("PP-02",)
    measured: float | None = None
    limit: float | None = None


def judge_keeping_out(low: float, high: float, only_deg: float | None = None):
    def judge(_, pin):
        inside = low < pin.level_mm < high and only_deg in (None, pin.bearing_deg)
        return (Said("stop", f"{pin.level_mm:.0f} is inside"),) if inside else ()

    return judge


def stretch(judge) -> Stretch:
    return Stretch(case_with(), "tibia", "half", judge)


def run(near: float, far: float, spread: float = 60.0) -> Run:
    return Run("tibia", "tibia", near, far, spread)


def levels(pair) -> tuple[float, float | None]:
    return pair.near.level_mm, pair.far and pair.far.level_mm


def test_with_nothing_in_the_way_the_near_pin_is_near_and_the_far_one_at_the_spread() -> None:
    assert levels(find_pair(stretch(lambda *_: ()), run(200, 300), ONE_SIDE)) == (200, 260)


def test_going_proximally_is_the_mirror_of_going_distally() -> None:
    assert levels(find_pair(stretch(lambda *_: ()), run(200, 100), ONE_SIDE)) == (200, 140)


def test_the_near_pin_slides_out_of_the_way_in_steps_of_five() -> None:
    pair = find_pair(stretch(judge_keeping_out(0, 222)), run(200, 330), ONE_SIDE)
    assert levels(pair) == (225, 285)


def test_the_far_pin_takes_the_clear_level_nearest_to_the_wished_spread() -> None:
    pair = find_pair(stretch(judge_keeping_out(240, 272)), run(200, 330), ONE_SIDE)
    assert levels(pair) == (200, 275)


def test_levels_come_before_sides() -> None:
    blocked = judge_keeping_out(0, 240, only_deg=120.0)
    pair = find_pair(stretch(blocked), run(200, 330), TWO_SIDES)
    assert levels(pair) == (240, 300)
    assert pair.near.bearing_deg == 120.0


def test_the_next_side_is_tried_when_no_level_does() -> None:
    blocked = judge_keeping_out(0, 400, only_deg=120.0)
    pair = find_pair(stretch(blocked), run(200, 330), TWO_SIDES)
    assert levels(pair) == (200, 260)
    assert pair.near.bearing_deg == 140.0


def test_the_sides_of_a_pair_go_to_the_proximal_and_the_distal_pin() -> None:
    splayed = ((140.0, 105.0),)
    down = find_pair(stretch(lambda *_: ()), run(200, 300), splayed)
    up = find_pair(stretch(lambda *_: ()), run(200, 100), splayed)
    assert (down.near.bearing_deg, down.far.bearing_deg) == (140.0, 105.0)
    assert (up.near.bearing_deg, up.far.bearing_deg) == (105.0, 140.0)


def test_where_nothing_is_clear_the_least_bad_place_is_taken() -> None:
    def judge(_, pin):
        return [Said("caution", "c")] * (1 if pin.level_mm == 215 else 2)

    pair = find_pair(stretch(judge), run(200, 300), ONE_SIDE)
    assert pair.near.level_mm == 215
    assert not pair.near.verdict.is_clear


def test_a_stop_is_worse_than_any_number_of_cautions() -> None:
    def judge(_, pin):
        return [Said("stop", "s")] if pin.level_mm != 210 else [Said("caution", "c")] * 5

    assert find_pair(stretch(judge), run(200, 280), ONE_SIDE).near.level_mm == 210


def test_of_equally_many_stops_the_least_excess_is_taken() -> None:
    def judge(_, pin):
        return [Said("stop", "s", measured=abs(pin.level_mm - 225), limit=20.0)]

    pair = find_pair(stretch(judge), run(200, 240), ONE_SIDE)
    assert pair.near.verdict.excess == pytest.approx(abs(25 - 20))
    assert verdict_of(judge(None, stretch(judge).pin(205, 120.0))).excess == pytest.approx(0.0)


def test_a_short_stretch_holds_one_pin() -> None:
    pair = find_pair(stretch(lambda *_: ()), run(200, 230), ONE_SIDE)
    assert levels(pair) == (200, None)


def test_notes_and_what_sliding_cannot_mend_do_not_count() -> None:
    said = [
        Said("note", "n"),
        Said("not assessed", "a"),
        Said("caution", "width", ("PD-15", "PD-17")),
    ]
    assert verdict_of(said).is_clear
    assert verdict_of([*said, Said("caution", "worst")]).worst == "worst"


def test_each_place_is_judged_once() -> None:
    asked = []

    def judge(_, pin):
        asked.append((pin.level_mm, pin.bearing_deg))
        return (Said("stop", "s"),)

    find_pair(stretch(judge), run(200, 300), TWO_SIDES)
    assert len(asked) == len(set(asked))


def test_steps_go_either_way_and_stay_inside() -> None:
    assert steps(100, 112, 5) == (100, 105, 110)
    assert steps(112, 100, 5) == (112, 107, 102)
    assert far_levels((100, 120, 145, 160), 100, 60, 40) == (160, 145)


@pytest.mark.parametrize(("usable", "spread"), [(50, 40), (150, 60), (900, 150)])
def test_wished_spread_is_a_share_within_bounds(usable, spread) -> None:
    assert wished_spread_mm(usable, layout()) == pytest.approx(spread)
