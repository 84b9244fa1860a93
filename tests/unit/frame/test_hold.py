"""Stiffness, loads, withdrawal, advice, the usual frame and length, for bars past a fracture."""

import json
from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import replace

from fixplan.case import edits
from fixplan.case.file import read_case
from fixplan.case.growing import with_growth_plates
from fixplan.case.records import (
    Bar,
    BarAnchor,
    Case,
    Fracture,
    LengthPlan,
    LimbSize,
    Pin,
    PinAnchor,
)
from fixplan.case.trip_records import Course
from fixplan.errors import UnstableFrame
from fixplan.frame.assumed import assumed
from fixplan.frame.beams import frame_model, mechanics, posed
from fixplan.frame.hold import full_hold, has_frame, quick_hold
from fixplan.frame.hold_json import hold_json
from fixplan.frame.hold_words import figure, hold_lines, sheet_lines, short_line
from fixplan.frame.limb_length import bar_lengths, left_short_mm, length_lines, sag_mm
from fixplan.frame.loads import load_list, patient_words
from fixplan.frame.peaks import give_by_part, place_words, stress_by_part_mpa
from fixplan.frame.trying import best, tried
from fixplan.frame.usual import compared
from fixplan.frame.weights import body_of, mass_of, segment_table, weight_of

SAMPLES = Path(__file__).parents[3] / "sample_cases"

SIZE = LimbSize(stature_mm=1750.0, sex="male", mass_kg=75.0)
BREAK = Fracture(id="fracture-1", bone="tibia", from_mm=180.0, to_mm=200.0)
FAR = 1e6


def pin(number: int, level_mm: float, **fields: object) -> Pin:
    given = {"bone": "tibia", "bearing_deg": 90.0, "diameter_mm": 5.0, **fields}
    return Pin(id=f"pin-{number}", number=number, level_mm=level_mm, **given)


def frame(out_mm: float = 35.0, **fields: object) -> Case:
    pins = tuple(pin(n, level) for n, level in enumerate((70.0, 140.0, 240.0, 310.0), 1))
    anchors = (PinAnchor(pin="pin-1", out_mm=out_mm), PinAnchor(pin="pin-4", out_mm=out_mm))
    bar = Bar(id="bar-1", number=1, anchors=anchors, also=("pin-2", "pin-3"))
    given = {"size": SIZE, "fractures": (BREAK,), "pins": pins, "bars": (bar,), **fields}
    return Case(side="right", last_number=4, **given)


def linked(**fields: object) -> Case:
    short = [
        Bar(
            id=f"bar-{n}",
            number=n,
            anchors=tuple(PinAnchor(pin=f"pin-{x}", out_mm=35.0) for x in pair),
        )
        for n, pair in ((1, (1, 2)), (2, (3, 4)))
    ]
    anchors = (BarAnchor(bar="bar-1", at_mm=45.0), BarAnchor(bar="bar-2", at_mm=25.0))
    return frame(bars=(*short, Bar(id="bar-3", number=3, anchors=anchors)), **fields)


def test_a_frame_like_the_reference_frame_has_stiffness_of_its_order() -> None:
    firm = quick_hold(frame()).gaps[0].firmness
    assert 50 < firm.axial < 150
    assert firm.front_back > firm.side > firm.torsion


def test_tighter_clamps_never_hold_less_firmly() -> None:
    hold = full_hold(frame())
    low, middle, high = (np.array(one.gaps[0].firmness) for one in hold.all)
    assert (low < middle).all()
    assert (middle < high).all()


def test_the_hip_and_heel_carry_the_limb() -> None:
    """Moments about the hip by hand: 75 kg, Plagenhoef shares, the drawn lengths."""
    case = frame()
    body, table = body_of(case, load_list().patient, load_list().growing), segment_table()
    weights = [weight_of(body, table, name, -FAR, FAR) for name in ("thigh", "leg", "hindfoot")]
    told = [one.force_n for one in weights if one is not None]
    assert told == pytest.approx([0.105 * 735.5, 0.0475 * 735.5, 0.0143 * 735.5], rel=1e-3)
    lift = quick_hold(case).load("heel-lift")
    assert lift is not None
    assert lift.load.force_n == pytest.approx(51.0, abs=3.0)


def test_parts_of_a_segment_weigh_as_much_as_the_whole_with_the_same_centre() -> None:
    body, table = body_of(frame(), load_list().patient, load_list().growing), segment_table()
    parts = [weight_of(body, table, "leg", a, b) for a, b in ((-FAR, 150.0), (150.0, FAR))]
    whole = weight_of(body, table, "leg", -FAR, FAR)
    assert whole is not None
    forces = [one.force_n for one in parts if one is not None]
    moments = [one.force_n * one.at_mm[2] for one in parts if one is not None]
    assert sum(forces) == pytest.approx(whole.force_n)
    assert sum(moments) == pytest.approx(whole.force_n * whole.at_mm[2])


def test_the_hold_presses_the_gap_by_force_over_stiffness() -> None:
    found = quick_hold(frame(length=LengthPlan(traction_n=50.0)))
    load = found.load("traction-hold")
    assert load is not None
    expected = 50.0 / found.gaps[0].firmness.axial
    assert load.movements[0].along_mm == pytest.approx(expected, rel=0.05)
    assert load.load.words == "50 N along the limb, typed"


def test_a_femur_holds_a_tenth_of_body_weight() -> None:
    broken = Fracture(id="fracture-1", bone="femur", from_mm=200.0, to_mm=230.0)
    levels = (110.0, 160.0, 280.0, 330.0)
    pins = tuple(pin(n, level, bone="femur", bearing_deg=0.0) for n, level in enumerate(levels, 1))
    load = quick_hold(frame(out_mm=40.0, pins=pins, fractures=(broken,))).load("traction-hold")
    assert load is not None
    assert load.load.force_n == pytest.approx(0.10 * 75 * 9.80665)


def test_lying_on_the_side_bends_sideways_what_lifting_bends_forward() -> None:
    found = quick_hold(frame())
    lift, turn = found.load("heel-lift"), found.load("turn")
    assert lift is not None
    assert turn is not None
    assert abs(lift.movements[0].forward_mm) > abs(lift.movements[0].medial_mm)
    assert abs(turn.movements[0].medial_mm) > abs(turn.movements[0].forward_mm)


def test_a_number_beyond_the_linear_range_is_withdrawn() -> None:
    found = quick_hold(frame(length=LengthPlan(traction_n=600.0))).load("traction-hold")
    assert found is not None
    assert found.withdrawn == (True,)
    case = frame(length=LengthPlan(traction_n=600.0))
    lines = list(hold_lines(case, full_hold(case)))
    assert any(assumed().withdrawn.text.rstrip(".") in line for line in lines)
    told = hold_json(case, full_hold(case))
    (gap,) = told["gaps"]
    (pull,) = [one for one in gap["loads"] if one["load"] == "traction-hold"]
    assert pull["shift_mm"] is None
    assert pull["withdrawn"] == assumed().withdrawn.text


def test_shares_of_the_give_sum_to_one_and_clamps_of_a_single_link_give_most() -> None:
    found = quick_hold(linked())
    load = found.load("heel-lift")
    assert load is not None
    shares = give_by_part(found.solved, load.peaks.column)
    assert sum(shares.values()) == pytest.approx(1.0)
    assert next(iter(shares)).startswith("clamp:bar-3/")


def test_the_highest_stress_is_that_of_the_pin_named() -> None:
    found = quick_hold(frame())
    load = found.load("heel-lift")
    assert load is not None
    assert load.peaks.pin is not None
    most = stress_by_part_mpa(found.solved, load.peaks.column)
    pins = {part: stress for part, stress in most.items() if part.startswith("pin")}
    assert max(pins, key=lambda part: pins[part]) == load.peaks.pin.part
    assert load.peaks.pin_share == pytest.approx(load.peaks.pin.value / 690.0)


def test_places_are_told_in_words() -> None:
    assert place_words("pin-2/outer") == "at the bone"
    assert place_words("pin-2@clamp:bar-1/pin-2") == "at bar 1"
    assert place_words("bar-1@clamp:bar-1/pin-2") == "at pin 2"
    assert place_words("bar-2@clamp:bar-1/bar-2") == "at bar 1"


def test_a_second_link_is_found_to_be_the_most_telling_change() -> None:
    (first, *_) = tried(linked())
    assert first.change.words == "a second bar beside bar 3"
    assert first.gain > 1.4


def test_a_change_tried_in_the_batch_is_what_the_full_solver_finds() -> None:
    case = frame()
    thick = [one for one in tried(case) if one.change.words.startswith("all pins")]
    assert len(thick) == 1
    before = quick_hold(case).gaps[0].firmness
    after = quick_hold(thick[0].change.case).gaps[0].firmness
    ratios = [b / a for a, b in zip(before, after, strict=True)]
    assert thick[0].ratios == pytest.approx(ratios, rel=1e-6)


def test_a_bar_far_off_is_told_to_come_closer() -> None:
    told = [one.change.words for one in tried(frame(out_mm=55.0))]
    assert "bar 1: 15 mm closer" in told
    assert len(best(frame(out_mm=55.0))) <= 3


def test_the_usual_frame_is_as_firm_as_itself() -> None:
    from fixplan.frame.starting import lay_frame

    laid = lay_frame(Case(side="right", size=SIZE, fractures=(BREAK,)), "per-fragment", _silent)
    found = compared(laid.case, quick_hold(laid.case).gaps[0])
    assert found is not None
    assert found.ratios == pytest.approx((1.0, 1.0, 1.0, 1.0), rel=1e-6)
    assert found.words == "as firm as your usual frame"


def _silent(*_: object) -> tuple:
    return ()


def test_a_frame_that_nothing_joins_gives_no_number() -> None:
    case = linked()
    loose = replace(case, bars=case.bars[:2])
    assert has_frame(loose)
    with pytest.raises(UnstableFrame, match="free to move"):
        quick_hold(loose)
    assert "free to move" in short_line(loose)


def test_no_frame_says_nothing() -> None:
    assert not has_frame(frame(bars=()))
    assert sheet_lines(frame(bars=())) == ()


def test_ligaments_that_hold_make_a_spanned_joint_firmer_but_leave_its_hinge() -> None:
    pins = (
        pin(1, 230.0, bone="femur", bearing_deg=40.0),
        pin(2, 290.0, bone="femur", bearing_deg=40.0),
        pin(3, 180.0, bearing_deg=112.0),
        pin(4, 240.0, bearing_deg=112.0),
    )
    case = linked(pins=pins, fractures=())
    free, braced = (
        full_hold(replace(case, spanned_joints=state)).middle.gaps[0].firmness
        for state in ("free", "braced")
    )
    assert braced.side > 2 * free.side
    assert braced.front_back / free.front_back < 0.5 * braced.side / free.side


def test_poor_bone_and_one_cortex_hold_a_pin_less() -> None:
    case = frame()
    short = edits.change(case, "pin-1", tip_mm=-15.0)
    k = {
        name: next(s.k for s in frame_model(one).model.springs if s.owner == "pin-1")
        for name, one in (("both", case), ("one", short))
    }
    give = assumed().pin_in_bone
    assert k["both"][3] == give.rotation_nmm_per_rad
    assert k["one"][3] == give.poor_rotation_nmm_per_rad


def test_a_bent_knee_leaves_the_tibia_s_own_axes() -> None:
    straight = quick_hold(frame()).gaps[0].firmness
    bent = quick_hold(frame(knee_flexion_deg=25.0)).gaps[0].firmness
    assert bent == pytest.approx(straight, rel=1e-6)


def test_axes_of_mechanics_and_back() -> None:
    assert mechanics((1.0, 2.0, 3.0)) == (2.0, -1.0, -3.0)
    assert posed(mechanics((1.0, 2.0, 3.0))) == (1.0, 2.0, 3.0)


def test_shortening_on_purpose_and_what_bars_need() -> None:
    plan = LengthPlan(shortening_mm=20.0, correction_mm=-10.0, rotation_deg=-15.0)
    case = frame(length=replace(plan, other_limb_mm=372.0))
    assert left_short_mm(case) == 30.0
    lines = " ".join(length_lines(case))
    assert "20 mm short on arrival" in lines
    assert "Shorten by 10 mm on purpose; after it 30 mm short" in lines
    assert "15° inward" in lines
    assert "372 mm" in lines
    (bar,) = bar_lengths(case)
    assert bar.before_mm == pytest.approx(bar.after_mm + 10.0, abs=0.1)


def test_sag_under_the_hold_is_less_with_tight_clamps() -> None:
    (sag,) = sag_mm(full_hold(linked()))
    assert 0 < sag.tight_mm < sag.middle_mm < sag.loose_mm


def test_figures_are_short() -> None:
    told = [figure(value) for value in (0.0123, 0.347, 0.996, 1.23, 9.96, 21.4, 137.0)]
    assert told == ["0.01", "0.35", "1.0", "1.2", "10", "21", "140"]


def test_json_holds_every_gap_load_and_the_caution() -> None:
    case = frame()
    told = json.loads(json.dumps(hold_json(case, full_hold(case))))
    (gap,) = told["gaps"]
    assert gap["axial_n_per_mm"]["low"] < gap["axial_n_per_mm"]["high"]
    assert [one["load"] for one in gap["loads"]] == [
        "heel-lift",
        "foot-end",
        "turn",
        "traction-hold",
    ]
    assert told["caution"].startswith("Comparison aid.")
    assert np.array(gap["compliance"]).shape == (6, 6)


def test_the_usual_frame_is_laid_whatever_else_the_case_holds() -> None:
    case = read_case(SAMPLES / "open-tibial-shaft.json")
    assert case.course != Course()
    plain = replace(case, course=Course(), trips=(), candidates=(), kept_plans=())
    found = compared(case, quick_hold(case).gaps[0])
    assert found is not None
    assert found == compared(plain, quick_hold(plain).gaps[0])


@pytest.mark.parametrize(
    ("stature_mm", "growth", "mass_kg", "words"),
    [
        (None, "not told", 80.0, "the reference adult's"),
        (1750.0, "closed", 80.0, "an adult of that stature"),
        (1250.0, "open", 24.75, "a child of that stature"),
        (1250.0, "not told", 24.75, "a child of that stature"),
        (1250.0, "closed", 80.0 * (125 / 175) ** 2, "an adult of that stature"),
        (500.0, "open", 10.5, "a child of that stature"),
    ],
)
def test_a_mass_not_told_is_assumed_from_stature(stature_mm, growth, mass_kg, words) -> None:
    """Child's masses: about the median of that height, from memory."""
    size = LimbSize(stature_mm=stature_mm)
    case = with_growth_plates(Case(limb="leg", side="right", size=size), growth)
    listed = load_list()
    assert mass_of(case, listed.patient, listed.growing) == pytest.approx(mass_kg)
    assert f"an assumed {mass_kg:.0f} kg" in patient_words(case)
    assert words in patient_words(case)
    told = replace(case, size=replace(size, mass_kg=31.0))
    assert (mass_of(told, listed.patient, listed.growing), patient_words(told)) == (31.0, "31 kg")
