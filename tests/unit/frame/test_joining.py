"""Bars laid to real pins: clamps, lengths, order, and what cannot be laid."""

import pytest
from msgspec.structs import replace

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Bar, BarAnchor, PinAnchor
from fixplan.errors import EditError
from fixplan.frame.joining import bar_paths, laid_bars, laying_order
from fixplan.frame.pin_lines import pin_lines
from fixplan.frame.vectors import along, dot, line_meeting, minus, size, unit
from fixplan.geometry.paths import pin_path
from tests.unit.frame.conftest import bar_on, case_with, heel_pin, tibia_pin


def test_clamps_are_named_after_bar_and_pin(two_pins_and_a_bar) -> None:
    joints = bar_paths(two_pins_and_a_bar)["bar-1"].joints
    assert [j.id for j in joints] == ["clamp:bar-1/pin-1", "clamp:bar-1/pin-2"]
    assert [j.part for j in joints] == ["pin-to-bar", "pin-to-bar"]


def test_bar_axis_passes_twelve_millimetres_beside_each_pin_axis(two_pins_and_a_bar) -> None:
    path = bar_paths(two_pins_and_a_bar)["bar-1"]
    for line in pin_lines(two_pins_and_a_bar).values():
        s, t = line_meeting(path.origin_mm, path.direction, line.aim, line.outward)
        gap = size(minus(path.at(s), along(line.aim, line.outward, t)))
        assert gap == pytest.approx(12.0, abs=1e-6)
        assert t - line.skin_mm == pytest.approx(40.0, abs=1e-6)


def test_needed_length_is_span_and_two_overhangs_and_stock_is_the_next(two_pins_and_a_bar) -> None:
    path = bar_paths(two_pins_and_a_bar)["bar-1"]
    span = path.joints[1].along_mm
    assert span == pytest.approx(80, abs=4)
    assert path.length_mm == pytest.approx(span + 40)
    assert path.stock_length_mm == 150.0
    assert size(minus(path.end_mm, path.start_mm)) == pytest.approx(150.0)
    assert path.overhang_mm == pytest.approx((150 - span) / 2)


def test_a_typed_length_wins_over_stock(two_pins_and_a_bar) -> None:
    bar = replace(two_pins_and_a_bar.bars[0], length_mm=90.0)
    path = bar_paths(replace(two_pins_and_a_bar, bars=(bar,)))["bar-1"]
    assert path.stock_length_mm == 90.0
    assert path.overhang_mm < 20.0


def test_no_stocked_bar_is_long_enough() -> None:
    case = case_with(
        tibia_pin(1, 300),
        tibia_pin(2, 100, 15.0, bone="femur", diameter_mm=6.0),
        bars=(bar_on(1, "pin-2", "pin-1", overhang_mm=100.0),),
    )
    path = bar_paths(case)["bar-1"]
    assert path.length_mm > 600
    assert path.stock_length_mm is None
    assert size(minus(path.end_mm, path.start_mm)) == pytest.approx(path.length_mm)


def test_a_further_pin_in_line_is_reached() -> None:
    case = case_with(
        tibia_pin(1, 140),
        tibia_pin(2, 160),
        tibia_pin(3, 180),
        bars=(bar_on(1, "pin-1", "pin-3", also=("pin-2",)),),
    )
    joint = bar_paths(case)["bar-1"].joints[2]
    assert joint.other == "pin-2"
    assert joint.residual_mm < 1.0
    assert joint.reaches


def test_a_turned_further_pin_is_not_reached() -> None:
    case = case_with(
        tibia_pin(1, 140),
        tibia_pin(2, 160, 150.0),
        tibia_pin(3, 180),
        bars=(bar_on(1, "pin-1", "pin-3", also=("pin-2",)),),
    )
    path = bar_paths(case)["bar-1"]
    joint = path.joints[2]
    line = pin_lines(case)["pin-2"]
    s, t = line_meeting(path.origin_mm, path.direction, line.aim, line.outward)
    gap = size(minus(path.at(s), along(line.aim, line.outward, t)))
    assert joint.residual_mm == pytest.approx(abs(gap - 12.0))
    assert joint.residual_mm > 10
    assert not joint.reaches


def test_a_pin_that_passes_under_the_skin_is_not_reached() -> None:
    case = case_with(
        tibia_pin(1, 100),
        tibia_pin(2, 150, 300.0),
        tibia_pin(3, 200),
        bars=(bar_on(1, "pin-1", "pin-3", also=("pin-2",)),),
    )
    joint = bar_paths(case)["bar-1"].joints[2]
    assert joint.out_mm is not None
    assert joint.out_mm < 0
    assert not joint.reaches


def test_a_bar_on_the_far_end_of_a_heel_pin_lies_lateral() -> None:
    anchors = (PinAnchor(pin="pin-1", out_mm=60), PinAnchor(pin="pin-2", end="far", out_mm=40))
    case = case_with(
        tibia_pin(1, 200, 90.0), heel_pin(2), bars=(Bar(id="bar-1", number=1, anchors=anchors),)
    )
    joint = bar_paths(case)["bar-1"].joints[1]
    path = pin_path(limb_of_case(case), case.pins[1])
    assert joint.end == "far"
    assert joint.at_other_mm[0] == pytest.approx(-path.far_skin_mm + 40, abs=1e-6)


def test_a_link_holds_at_the_places_given_and_lengthens_what_holds_it() -> None:
    link = Bar(
        id="bar-3",
        number=3,
        anchors=(BarAnchor(bar="bar-1", at_mm=130.0), BarAnchor(bar="bar-2", at_mm=20.0)),
    )
    pins = (tibia_pin(1, 60), tibia_pin(2, 120), tibia_pin(3, 240), tibia_pin(4, 300))
    bars = (link, bar_on(1, "pin-1", "pin-2"), bar_on(2, "pin-3", "pin-4"))
    paths = bar_paths(case_with(*pins, bars=bars))
    assert list(paths) == ["bar-3", "bar-1", "bar-2"]
    first, second = paths["bar-3"].joints
    assert first.at_other_mm == pytest.approx(paths["bar-1"].at(130.0))
    assert size(minus(first.at_bar_mm, first.at_other_mm)) == pytest.approx(12.0)
    assert (first.part, second.part) == ("bar-to-bar", "bar-to-bar")
    assert paths["bar-1"].length_mm == pytest.approx(130.0 + 40.0)
    assert dot(unit(paths["bar-3"].direction), paths["bar-1"].direction) > 0.9


def test_bars_that_hold_each_other_in_a_ring_are_refused() -> None:
    def held(number: int, by: int) -> Bar:
        anchors = (PinAnchor(pin="pin-1", out_mm=40), BarAnchor(bar=f"bar-{by}", at_mm=0))
        return Bar(id=f"bar-{number}", number=number, anchors=anchors)

    with pytest.raises(EditError, match="bar 1 and bar 2 hold on each other in a ring"):
        laying_order((held(1, 2), held(2, 1)))
    with pytest.raises(EditError, match="ring"):
        bar_paths(case_with(tibia_pin(1, 100), bars=(held(1, 2), held(2, 1))))


def test_a_bar_whose_anchor_is_gone_is_told_and_left_out() -> None:
    case = case_with(tibia_pin(1, 100), bars=(bar_on(1, "pin-1", "pin-9"),))
    laid = laid_bars(case)
    assert laid.paths == {}
    assert "pin-9" in laid.problems["bar-1"]


def test_a_bar_with_both_anchors_in_one_place_is_told() -> None:
    case = case_with(tibia_pin(1, 100), bars=(bar_on(1, "pin-1", "pin-1"),))
    assert "too close together" in laid_bars(case).problems["bar-1"]


def test_no_clamp_takes_a_thick_pin_on_a_thin_bar() -> None:
    case = case_with(
        tibia_pin(1, 100, diameter_mm=6.5),
        tibia_pin(2, 180, diameter_mm=6.5),
        bars=(bar_on(1, "pin-1", "pin-2", diameter_mm=8.0),),
    )
    assert [j.part for j in bar_paths(case)["bar-1"].joints] == [None, None]


def test_mirroring_a_case_changes_no_bar(two_pins_and_a_bar) -> None:
    left = replace(two_pins_and_a_bar, side="left")
    assert bar_paths(left) == bar_paths(two_pins_and_a_bar)
