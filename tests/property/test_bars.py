"""Bars under change: one offset from what holds them, alike when mirrored, rigid with the limb."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from fixplan.case.records import Bar, Case, Fracture, LimbSize, Pin, PinAnchor
from fixplan.errors import EditError
from fixplan.frame.joining import laid_bars
from fixplan.frame.lining_up import line_up_pin
from fixplan.frame.pin_lines import pin_lines
from fixplan.frame.skin_gap import bar_gap
from fixplan.frame.vectors import along, line_meeting, minus, size

REFERENCE = LimbSize(sex="male", stature_mm=1750, mass_kg=80)
levels = st.floats(40, 340)
sides = st.floats(90, 170)
outs = st.floats(15, 80)
tilts = st.floats(-20, 20)


@st.composite
def tibia_cases(draw) -> Case:
    """Three pins in the tibia, a bar on the outer two that is to carry the middle one."""
    low = draw(st.floats(40, 200))
    places = (low, low + draw(st.floats(30, 60)), low + draw(st.floats(70, 130)))
    pins = tuple(
        Pin(
            id=f"pin-{n}",
            number=n,
            bone="tibia",
            level_mm=level,
            bearing_deg=draw(sides),
            tilt_deg=draw(tilts),
            diameter_mm=5.0,
        )
        for n, level in enumerate(places, 1)
    )
    anchors = tuple(PinAnchor(pin=f"pin-{n}", out_mm=draw(outs)) for n in (1, 3))
    lay = draw(st.sampled_from([1, -1]))
    bar = Bar(id="bar-1", number=1, anchors=anchors, also=("pin-2",), lay=lay)
    return Case(side="right", size=REFERENCE, pins=pins, bars=(bar,), last_number=3)


@settings(max_examples=60, deadline=None)
@given(tibia_cases())
def test_a_bar_passes_one_offset_from_both_anchor_pins(case) -> None:
    path = laid_bars(case).paths["bar-1"]
    lines = pin_lines(case)
    for pin in ("pin-1", "pin-3"):
        s, t = line_meeting(path.origin_mm, path.direction, lines[pin].aim, lines[pin].outward)
        gap = size(minus(path.at(s), along(lines[pin].aim, lines[pin].outward, t)))
        assert gap == pytest.approx(12.0, abs=1e-5)


@settings(max_examples=30, deadline=None)
@given(tibia_cases())
def test_a_mirrored_case_has_the_same_bars(case) -> None:
    assert laid_bars(replace(case, side="left")) == laid_bars(case)


@settings(max_examples=30, deadline=None)
@given(tibia_cases(), st.floats(0, 30))
def test_bending_the_knee_moves_nothing_within_the_leg(case, flexion) -> None:
    """With the femur broken the thigh stands still and the leg moves with its frame, rigidly."""
    broken = Fracture(id="fracture-1", bone="femur", from_mm=200, to_mm=240)
    straight = replace(case, fractures=(broken,), knee_flexion_deg=0.0)
    bent = replace(straight, knee_flexion_deg=flexion)
    before, after = (laid_bars(one).paths["bar-1"] for one in (straight, bent))
    assert after.length_mm == pytest.approx(before.length_mm, abs=1e-6)
    for old, new in zip(before.joints, after.joints, strict=True):
        assert new.residual_mm == pytest.approx(old.residual_mm, abs=1e-6)
        assert new.out_mm == pytest.approx(old.out_mm, abs=1e-6)


@settings(max_examples=30, deadline=None)
@given(tibia_cases())
def test_a_pin_that_can_be_lined_up_is_reached_and_the_bar_stays(case) -> None:
    try:
        pin = line_up_pin(case, "bar-1", "pin-2")
    except EditError:
        return
    moved = replace(case, pins=(case.pins[0], pin, case.pins[2]))
    before, after = (laid_bars(one).paths["bar-1"] for one in (case, moved))
    assert (after.origin_mm, after.direction) == (before.origin_mm, before.direction)
    assert after.joints[2].residual_mm == pytest.approx(0.0, abs=1e-5)
    assert after.joints[2].reaches


@settings(max_examples=30, deadline=None)
@given(tibia_cases(), st.floats(5, 60))
def test_moving_a_bar_out_alike_on_both_pins_keeps_pins_nearer_the_skin(case, by) -> None:
    """What a pin's clamp stands off the skin grows by just what the bar was moved."""
    bar = case.bars[0]
    anchors = tuple(replace(a, out_mm=a.out_mm + by) for a in bar.anchors)
    moved = replace(case, bars=(replace(bar, anchors=anchors, also=()),))
    plain = replace(case, bars=(replace(bar, also=()),))
    assert bar_gap(moved, "bar-1").most_mm == pytest.approx(bar_gap(plain, "bar-1").most_mm + by)
