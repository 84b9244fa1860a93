"""Starting frames of arm, hand, foot and pelvis with the real judge."""

import pytest
from msgspec.structs import replace

from fixplan.case.edits import mirrored
from fixplan.case.records import Case, LimbSize
from fixplan.checks.finding import Finding
from fixplan.checks.run import check, judge_pin
from fixplan.errors import EditError
from fixplan.frame.groups import pin_groups
from fixplan.frame.joining import bar_paths
from fixplan.frame.order import order_lines
from fixplan.frame.patterns import layout, patterns, size_of
from fixplan.frame.starting import lay_frame
from fixplan.frame.verdicts import verdict_of
from tests.unit.frame.other_limbs import FRAMES, MAN, WOMAN, bare, broken, laid

NAMES = [name for name, *_ in FRAMES]


@pytest.mark.parametrize("size", [MAN, WOMAN], ids=lambda size: size.sex)
@pytest.mark.parametrize("pattern", NAMES)
def test_no_stop_is_found_in_a_laid_frame(pattern, size) -> None:
    found = check(laid(pattern, size=size).case)
    assert [one.message for one in found if one.severity == "stop"] == []


SHOWN = ("rule.pin.spread", "rule.pin.radial-nerve-beside", "rule.pin.axillary-nerve-band")
"""Where a nerve may lie, and only an open approach that shows it lets a pin in."""


def is_open(case: Case, found: Finding) -> bool:
    return all(pin.open_approach for pin in case.pins if pin.id in found.subjects)


@pytest.mark.parametrize("pattern", NAMES)
def test_a_caution_is_one_of_width_or_of_something_close_by_that_was_said(pattern) -> None:
    frame = laid(pattern)
    cautions = [one for one in check(frame.case) if one.severity == "caution"]
    other = [one for one in cautions if one.rule != "rule.pin.hole-ratio"]
    told = {
        "rule.pin.nerve-near",
        "rule.pin.nerve-far",
        "rule.pin.protect",
        "rule.pelvis.laparotomy",
        *SHOWN,
    }
    assert all(is_open(frame.case, one) for one in other if one.rule in SHOWN)
    assert {one.rule for one in other} <= told
    assert len(frame.statements) >= bool(other)


@pytest.mark.parametrize("pattern", NAMES)
def test_every_clamp_is_listed_and_every_bar_stocked(pattern) -> None:
    case = laid(pattern).case
    paths = bar_paths(case)
    assert set(paths) == {bar.id for bar in case.bars}
    for path in paths.values():
        assert all(joint.reaches and joint.part for joint in path.joints)
        assert path.stock_length_mm is not None


@pytest.mark.parametrize("pattern", NAMES)
def test_every_group_has_its_pins(pattern) -> None:
    assert all(group.is_enough for group in pin_groups(laid(pattern).case))


@pytest.mark.parametrize("pattern", [name for name, limb, _ in FRAMES if limb != "pelvis"])
def test_a_left_limb_gets_the_same_frame(pattern) -> None:
    right, left = laid(pattern), laid(pattern, side="left")
    assert left.case == replace(right.case, side="left")


@pytest.mark.parametrize("pattern", ["pelvis-low", "pelvis-crest"])
def test_both_sides_of_a_pelvis_are_pinned_alike(pattern) -> None:
    pins = laid(pattern).case.pins
    sides = [
        [(pin.level_mm, pin.bearing_deg, pin.diameter_mm) for pin in pins if pin.bone == bone]
        for bone in ("ilium-right", "ilium-left")
    ]
    assert sides[0] == sides[1]
    assert len(sides[0]) in (1, 2)


def test_a_frame_of_another_limb_is_refused() -> None:
    with pytest.raises(EditError, match="is for the arm, this case is of the leg"):
        lay_frame(bare("leg"), "elbow-spanning", judge_pin)


def test_a_front_bar_needs_both_sides() -> None:
    with pytest.raises(EditError, match="set the side of the case to both"):
        lay_frame(replace(bare("pelvis"), side="right"), "pelvis-low", judge_pin)


def test_no_fracture_of_the_hand_is_told_by_kinds_of_bone() -> None:
    with pytest.raises(EditError, match="No fracture of the metacarpal or phalanx is drawn"):
        lay_frame(bare("arm"), "hand-ray", judge_pin)


def test_pins_that_need_an_open_cut_have_it_and_it_is_said() -> None:
    frame = laid("wrist-spanning")
    assert all(pin.open_approach for pin in frame.case.pins)
    assert "Pins 1, 2, 3 and 4 go in through an open approach" in frame.statements[-1]


def test_humeral_pins_are_open_where_the_radial_nerve_crosses_and_none_runs_through_it() -> None:
    """Open in the middle third and at the levels where the nerve turns forward; not below them."""
    frame = laid("humerus-fragments").case
    assert [pin.open_approach for pin in frame.pins] == [False, True, True, False]
    assert [one.message for one in check(frame) if one.rule == "rule.pin.nerve-near"] == []
    assert [300 <= pin.bearing_deg <= 330 for pin in frame.pins] == [False, False, True, True]


def test_an_open_place_through_a_nerve_is_barred_and_one_beside_it_is_not() -> None:
    def caution(measured: float) -> Finding:
        return Finding(
            rule="x",
            severity="caution",
            subjects=("x",),
            subject="x",
            message="beside a nerve",
            measured=measured,
            limit=5.0,
            evidence=("OWN-03",),
        )

    assert verdict_of((caution(0.0),)).is_barred
    assert not verdict_of((caution(2.0),)).is_barred
    assert verdict_of((caution(2.0),)).cautions == 1


@pytest.mark.parametrize(
    ("bone", "bar_mm", "thickest_mm"), [("metacarpal-4", 4.0, 2.5), ("ulna", 8.0, 3.0)]
)
def test_small_bones_get_thin_pins_and_bars(bone, bar_mm, thickest_mm) -> None:
    low = 28 if bone == "metacarpal-4" else 110
    case = bare("arm", broken(bone, low, low + 8))
    pattern = "hand-ray" if bone == "metacarpal-4" else "forearm-fragments"
    frame = lay_frame(case, pattern, judge_pin).case
    assert {bar.diameter_mm for bar in frame.bars} == {bar_mm}
    assert max(pin.diameter_mm for pin in frame.pins) == thickest_mm


def test_the_patterns_of_a_limb_are_those_that_its_menu_offers() -> None:
    assert set(patterns("pelvis")) == {"pelvis-low", "pelvis-crest"}
    assert set(patterns("arm")) | set(patterns("leg")) | set(patterns("pelvis")) == set(patterns())
    assert not set(patterns("arm")) & set(patterns("leg"))


def test_a_segment_has_its_size_of_frame() -> None:
    assert [layout(size_of(name)).bar_mm for name in ("leg", "forearm", "hand")] == [11.0, 8.0, 4.0]


@pytest.mark.parametrize(
    ("pattern", "words"),
    [
        ("elbow-spanning", "Elbow bent 90°"),
        ("wrist-spanning", "Wrist at 10° of extension"),
        ("wrist-spanning", "Bend the knuckle"),
        ("humerus-fragments", "compare the other arm"),
        ("foot-columns", "Bars 1 and 2 along each side of the foot"),
        ("foot-columns-leg", "on each side from the heel pin to the tibia"),
        ("pelvis-low", "Bar 1 across the front"),
        ("pelvis-crest", "Bar 3 across the front"),
        ("pelvis-crest", "The back of the ring still needs its own fixation"),
    ],
)
def test_the_build_order_speaks_of_the_limb(pattern, words) -> None:
    assert any(words in line for line in order_lines(laid(pattern).case))


@pytest.mark.parametrize("pattern", [name for name, limb, _ in FRAMES if limb != "pelvis"])
def test_a_mirrored_frame_gets_mirrored_findings(pattern) -> None:
    right = laid(pattern).case
    found = [
        [(one.rule, one.severity, one.subjects, one.measured, one.message) for one in check(case)]
        for case in (right, replace(right, side="left"))
    ]
    assert found[0] == found[1]


@pytest.mark.parametrize("pattern", ["pelvis-low", "pelvis-crest"])
def test_a_mirrored_pelvis_has_the_mirror_image_of_its_bars(pattern) -> None:
    case = laid(pattern).case
    here, there = bar_paths(case), bar_paths(mirrored(case))
    for bar, path in here.items():
        for at, other in ((path.start_mm, there[bar].start_mm), (path.end_mm, there[bar].end_mm)):
            assert other == pytest.approx((-at[0], at[1], at[2]))


def test_a_mirrored_pelvis_changes_the_sides_of_its_findings_alone() -> None:
    case = laid("pelvis-low").case
    found = [
        sorted((one.rule, one.severity, round(one.measured or 0.0, 6)) for one in check(each))
        for each in (case, mirrored(case))
    ]
    assert found[0] == found[1]


@pytest.mark.parametrize("size", [MAN, WOMAN], ids=lambda size: size.sex)
@pytest.mark.parametrize("bone", ["radius", "ulna"])
@pytest.mark.parametrize("low_mm", [60, 110, 120, 140, 160])
def test_no_pin_of_a_forearm_is_laid_on_a_stop(bone, low_mm, size) -> None:
    case = bare("arm", broken(bone, low_mm, low_mm + 15), size=size)
    frame = lay_frame(case, "forearm-fragments", judge_pin)
    assert frame.case.pins
    assert [one.message for one in check(frame.case) if one.severity == "stop"] == []
    sides = [
        sum((pin.level_mm > low_mm) is far for pin in frame.case.pins) for far in (False, True)
    ]
    said = " ".join(frame.statements)
    assert ("one side has no pin" in said) is (0 in sides)
    assert ("The ulna can be pinned" in said) is (bone == "radius" and min(sides) < 2)


def test_a_link_to_a_pin_that_stands_alone_is_told_as_that() -> None:
    frame = lay_frame(bare("arm", broken("radius", 125, 140)), "forearm-fragments", judge_pin)
    text = " ".join(order_lines(frame.case))
    assert "Bar 2 between the short bar and pin 1; pull to length" in text
    assert "short bars" not in text


def test_a_frame_whose_every_place_has_a_stop_is_refused() -> None:
    barred = Finding(
        rule="x", severity="stop", subjects=("x",), subject="x", message="Pin 1 may not stand"
    )
    with pytest.raises(EditError, match="may not stand"):
        lay_frame(bare("leg"), "foot-columns", lambda *_: (barred,))


@pytest.mark.parametrize(
    ("pattern", "limb", "fractures", "size"),
    [
        ("elbow-spanning", "arm", (), LimbSize()),
        ("elbow-spanning", "arm", broken("humerus", 218, 238), MAN),
        ("ankle-delta", "leg", broken("tibia", 184, 204), MAN),
        ("knee-spanning", "leg", broken("tibia", 107, 127), MAN),
        ("knee-spanning", "leg", broken("femur", 277, 297), MAN),
        ("ankle-delta", "leg", broken("tibia", 128, 148), LimbSize(sex="female", stature_mm=1600)),
    ],
)
def test_bars_and_pins_of_an_awkward_frame_are_laid_without_a_stop(
    pattern, limb, fractures, size
) -> None:
    """A pin stays within its stocked length; two bars on one pin do not run through each other.

    Bars that a clamp joins are held apart by it and are no reason to refuse a frame.
    """
    frame = lay_frame(bare(limb, fractures, size=size), pattern, judge_pin)
    assert len(frame.case.bars) >= 2
    assert [one.message for one in check(frame.case) if one.severity == "stop"] == []


def test_a_frame_whose_bar_would_run_through_the_limb_is_refused() -> None:
    case = bare("arm", broken("humerus", 185, 205))
    with pytest.raises(EditError, match="would run inside the skin of the upper arm"):
        lay_frame(case, "elbow-spanning", judge_pin)
