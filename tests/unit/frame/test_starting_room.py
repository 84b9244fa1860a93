"""Where a fragment is short: closer distances, an open approach, and what bounds the room."""

import pytest
from msgspec.structs import replace

from fixplan.case.fragments import fragments
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import BoneSize, Case, Fracture, LimbSize
from fixplan.checks.run import check, judge_pin
from fixplan.frame.groups import pin_groups
from fixplan.frame.patterns import layout
from fixplan.frame.room import bounds_words, room_of, too_little_words
from fixplan.frame.starting import LaidFrame, lay_frame

CHILD = LimbSize(stature_mm=1200)


def broken_at(case: Case, bone: str, share: float) -> Case:
    """The case with the bone broken over 12 mm about a share of its length."""
    whole = limb_of_case(case).bones[bone]
    at_mm = whole.from_mm + share * (whole.to_mm - whole.from_mm)
    fracture = Fracture(id="fracture-1", bone=bone, from_mm=at_mm - 6, to_mm=at_mm + 6)
    return replace(case, fractures=(fracture,))


def laid_at(limb: str, bone: str, share: float, pattern: str, size: LimbSize) -> LaidFrame:
    case = broken_at(Case(limb=limb, side="right", size=size), bone, share)
    return lay_frame(case, pattern, judge_pin)


def found(frame: LaidFrame, *rules: str) -> list[str]:
    return [one.message for one in check(frame.case) if one.rule in rules]


@pytest.mark.parametrize(("from_mm", "to_mm"), [(158, 170), (150, 178), (164, 164.5)])
def test_a_humerus_broken_in_its_middle_gets_two_pins_on_each_side(from_mm, to_mm) -> None:
    size = LimbSize(bones=(BoneSize(bone="humerus", length_mm=340),))
    fracture = Fracture(id="fracture-1", bone="humerus", from_mm=from_mm, to_mm=to_mm)
    case = Case(limb="arm", side="right", size=size, fractures=(fracture,))
    frame = lay_frame(case, "humerus-fragments", judge_pin)
    assert [len(group.pins) for group in pin_groups(frame.case)] == [2, 2]
    bad = [one for one in check(frame.case) if one.severity in ("stop", "caution")]
    opened = {pin.id for pin in frame.case.pins if pin.open_approach}
    assert all("open approach" in one.message and one.subjects[0] in opened for one in bad)


def test_a_high_humeral_pin_in_the_axillary_band_is_open_and_that_is_told() -> None:
    """CO-H1: no zone under the deltoid is free of the nerve, so a pin there goes in open."""
    frame = laid_at("arm", "humerus", 0.5, "humerus-fragments", LimbSize(stature_mm=1500))
    high = [pin for pin in frame.case.pins if pin.open_approach]
    assert high
    assert "through an open approach" in frame.statements[-1]
    assert found(frame, "rule.pin.axillary-nerve-band") == [
        one.message
        for one in check(frame.case)
        if one.rule == "rule.pin.axillary-nerve-band" and "feel for it" in one.message
    ]


def test_pins_that_stand_closer_than_usual_keep_their_least_distances() -> None:
    """PP-01 and PP-07: 20 mm to the fracture, 20 mm between pins of the forearm."""
    frame = laid_at("arm", "ulna", 0.5, "forearm-fragments", LimbSize(stature_mm=1500))
    assert [len(group.pins) for group in pin_groups(frame.case)] == [2, 2]
    assert found(frame, "rule.pin.fracture", "rule.pin.spacing") == []
    levels = sorted(pin.level_mm for pin in frame.case.pins)
    assert levels[1] - levels[0] < layout("small").apart_mm


def test_one_sentence_tells_how_much_room_is_left_and_what_bounds_it() -> None:
    frame = laid_at("leg", "tibia", 0.8, "per-fragment", LimbSize(sex="male", stature_mm=1650))
    said = [one for one in frame.statements if "too little for two" in one]
    assert len(said) == 1
    for words in (
        "30 mm apart",
        "between 23 mm off the fracture and ",
        "the ankle is near)",
        "it holds one; span the ankle instead (starting frame Ankle delta).",
    ):
        assert words in said[0]


def test_no_room_is_told_with_its_bounds_and_the_frame_across_the_joint() -> None:
    frame = laid_at("arm", "humerus", 0.8, "humerus-fragments", LimbSize(stature_mm=1900))
    assert any(
        "has no room for a pin between 22.5 mm off the fracture and" in one
        and "(the fossae of the elbow are near below); span the elbow instead" in one
        for one in frame.statements
    )


def test_the_room_of_a_fragment_is_what_its_fracture_and_the_bone_leave() -> None:
    case = broken_at(Case(limb="arm", side="right"), "humerus", 0.5)
    piece = fragments(case, "humerus")[0]
    low, high = room_of(case, piece, 22.5)
    assert high == pytest.approx(piece.to_mm - 22.5)
    assert low == pytest.approx(0.23 * 334.4 + 0.5, abs=0.1)
    words = bounds_words(case, piece, 22.5)
    assert words.startswith("between ")
    assert "the capsule of the shoulder is near above) and 22.5 mm off the fracture" in words
    assert f"has {high - low:.0f} mm for pins" in too_little_words(case, piece, layout("small"))


@pytest.mark.parametrize("pattern", ["per-fragment", "single-bar"])
def test_in_a_small_femur_the_thickest_listed_pin_without_a_caution_is_taken(pattern) -> None:
    """PD-15, D16: 6 mm would take 27 to 30 % of that bone, 5 mm stays under a quarter."""
    small = laid_at("leg", "femur", 0.5, pattern, CHILD)
    big = laid_at("leg", "femur", 0.5, pattern, LimbSize(sex="male", stature_mm=1800))
    assert {pin.diameter_mm for pin in small.case.pins if pin.bone == "femur"} == {5.0}
    assert {pin.diameter_mm for pin in big.case.pins if pin.bone == "femur"} == {6.0}
    femur = [one for one in found(small, "rule.pin.hole-ratio") if "femur" in one]
    assert femur == []


def test_where_none_thinner_is_listed_the_usual_pin_stays() -> None:
    frame = laid_at("leg", "tibia", 0.5, "per-fragment", CHILD)
    assert {pin.diameter_mm for pin in frame.case.pins} == {5.0}
    assert all("no thinner pin is listed" in one for one in found(frame, "rule.pin.hole-ratio"))


def test_low_femoral_pins_come_from_the_side_where_none_entered_the_joint() -> None:
    """PP-29: side pins 20 mm above the patella entered no joint; PP-28 speaks of the front."""
    frame = laid_at("leg", "femur", 0.62, "per-fragment", LimbSize(sex="male", stature_mm=1750))
    low = max(frame.case.pins, key=lambda pin: pin.level_mm)
    top_mm = limb_of_case(frame.case).landmark("patella_top").level_mm
    assert top_mm - low.level_mm < 46
    assert (
        found(
            frame,
            "rule.pin.suprapatellar-pouch",
            "rule.pin.suprapatellar-pouch-aside",
            "rule.pin.knee-capsule-femur",
        )
        == []
    )


def test_a_column_pin_is_looked_for_from_every_customary_bearing() -> None:
    """From the usual ones the pin of the first metatarsal stands on nerve and vein here."""
    case = Case(limb="leg", side="right", size=LimbSize(sex="female", stature_mm=1500))
    frame = lay_frame(case, "foot-columns", judge_pin)
    assert not any("first metatarsal" in said for said in frame.statements)
