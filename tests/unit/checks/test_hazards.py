"""Findings about nerves and vessels: grave or not, grouped, opened, told once, and turned away."""

import re

import pytest
from msgspec.structs import replace

from fixplan.case import edits
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, LimbSize, Pin
from fixplan.checks.accepting import acceptance_of
from fixplan.checks.rules import rules
from fixplan.checks.run import check
from fixplan.checks.turning import turn_words


def case_of(*pins: Pin, **more) -> Case:
    size = LimbSize(sex="male", stature_mm=1750, mass_kg=80)
    return Case(side="right", size=size, pins=pins, last_number=len(pins), **more)


def pin(bone: str, level_mm: float, bearing_deg: float, number: int = 1, **more) -> Pin:
    values = {"diameter_mm": 5.0} | more
    return Pin(
        id=f"pin-{number}", number=number, bone=bone, level_mm=level_mm, bearing_deg=bearing_deg,
        **values,
    )  # fmt: skip


def of_rule(case: Case, rule: str):
    return [one for one in check(case) if one.rule == rule]


def test_all_structures_of_one_way_are_one_finding_with_all_of_them_as_subjects():
    (told,) = of_rule(case_of(pin("tibia", 192.5, 0)), "rule.pin.nerve-near")
    assert told.subjects == (
        "pin-1",
        "hazard:anterior-tibial",
        "hazard:deep-peroneal-nerve",
        "hazard:superficial-peroneal-nerve",
    )
    assert told.measured < 0
    assert told.limit == 5


def test_an_acceptance_does_not_cover_a_structure_that_joins_later():
    case = case_of(pin("tibia", 205, 140))
    (told,) = of_rule(case, "rule.pin.nerve-far")
    kept = replace(case, acceptances=(acceptance_of(told, "short tip under image control"),))
    assert of_rule(kept, "rule.pin.nerve-far")[0].accepted
    nearer = edits.change(kept, "pin-1", bearing_deg=160.0)
    assert all(one.accepted is None for one in of_rule(nearer, "rule.pin.nerve-far"))


def test_an_open_approach_turns_the_way_in_into_a_caution_but_not_the_far_side():
    shut, opened = (pin("tibia", 192.5, 24, open_approach=one) for one in (False, True))
    assert of_rule(case_of(shut), "rule.pin.nerve-near")[0].severity == "stop"
    (told,) = of_rule(case_of(opened), "rule.pin.nerve-near")
    assert told.severity == "caution"
    assert "open approach: expose and protect before drilling" in told.message
    (far,) = of_rule(case_of(pin("tibia", 192.5, 150, open_approach=True)), "rule.pin.nerve-far")
    assert far.severity == "stop"


def test_with_an_open_approach_a_pin_through_a_nerve_stays_a_stop_and_is_told_to_move():
    """D22 makes a caution of a gap under 5 mm; through a nerve there is no gap to keep open."""
    told = [
        found
        for bearing in range(330, 391, 4)
        for found in of_rule(
            case_of(pin("tibia", 192.5, bearing, open_approach=True)), "rule.pin.nerve-near"
        )
    ]
    through = ["Move or turn it: an opening" in one.message for one in told]
    assert through == [one.measured <= 0 for one in told]
    assert through == [one.severity == "stop" for one in told]
    assert any(through)
    assert not all(through)


def test_a_nerve_of_the_skin_is_held_aside_by_an_open_approach():
    """CO-C2, blunt to bone and a sleeve: a pin through its mean place is a caution then."""
    hit = pin("calcaneus", 24, 168, offset_mm=-8.0)
    for opened, severity in ((False, "stop"), (True, "caution")):
        (told,) = of_rule(case_of(replace(hit, open_approach=opened)), "rule.pin.nerve-near")
        assert told.severity == severity
        assert told.measured < 0


@pytest.mark.parametrize(
    ("level_mm", "bearing_deg", "structure"),
    [(230, 356, "radial nerve"), (230, 160, "brachial artery"), (200, 306, "radial nerve")],
)
def test_an_open_approach_excuses_no_pin_through_a_nerve_or_artery_of_the_arm(
    level_mm, bearing_deg, structure
):
    opened = pin("humerus", level_mm, bearing_deg, open_approach=True)
    found = of_rule(replace(case_of(opened), limb="arm"), "rule.pin.nerve-near")
    assert found[0].severity == "stop"
    assert f"{structure} hit" in found[0].message


def test_a_cut_from_another_side_does_not_excuse_a_pin_beside_a_nerve():
    """The radial nerve behind the bone is shown from the side of the arm, not from the inside."""
    inner = [
        one
        for bearing in range(180, 240, 5)
        for level in range(100, 200, 10)
        for one in of_rule(
            replace(case_of(pin("humerus", level, bearing, open_approach=True)), limb="arm"),
            "rule.pin.nerve-near",
        )
        if one.measured > 0 and "radial nerve: a short cut over the side" in one.message
    ]
    assert inner
    assert {one.severity for one in inner} == {"stop"}
    assert all("a cut for a pin from this side does not show it" in one.message for one in inner)


def test_a_structure_of_which_no_cut_is_listed_is_named_so():
    opened = pin("humerus", 270, 150, open_approach=True, diameter_mm=4.0)
    (told,) = of_rule(replace(case_of(opened), limb="arm"), "rule.pin.nerve-near")
    assert told.severity == "caution"
    assert "no cut is listed that shows the median nerve" in told.message


def test_a_through_pin_is_near_on_both_sides():
    half, through = (pin("femur", 238, 0, kind=kind) for kind in ("half", "through"))
    assert not of_rule(case_of(half), "rule.pin.nerve-near")
    (told,) = of_rule(case_of(through), "rule.pin.nerve-near")
    assert "femoral artery" in told.message


def test_outside_the_authored_levels_is_not_assessed_and_said_once():
    case = case_of(pin("tibia", 10, 120), pin("tibia", 362, 120, 2), pin("tibia", 192, 120, 3))
    (told,) = of_rule(case, "rule.nerves-and-vessels")
    assert told.severity == "not assessed"
    assert told.subjects == ("pin-1", "pin-2")


def test_a_pin_that_has_a_stop_for_a_nerve_is_not_told_as_wholly_unassessed():
    """2 mm beyond the last known section: what lies in it is told, what lies beyond is not."""
    known_to_mm = limb_of_case(case_of()).segments["leg"].known_to_mm
    case = case_of(pin("tibia", known_to_mm + 2, 60), pin("tibia", known_to_mm + 20, 120, 2))
    assert of_rule(case, "rule.pin.nerve-near")[0].severity == "stop"
    (told,) = of_rule(case, "rule.nerves-and-vessels")
    assert "pin 2, where no section is known" in told.message
    assert "pin 1 in part" in told.message
    assert told.subjects == ("pin-1", "pin-2")


def test_the_rest_of_a_bundle_is_named_though_it_keeps_its_distance():
    (told,) = of_rule(case_of(pin("tibia", 150, 287)), "rule.pin.nerve-near")
    assert told.subjects == ("pin-1", "hazard:tibial-nerve")
    assert "tibial nerve 2 mm off, in one bundle with posterior tibial vessels 6 mm" in told.message


def test_of_a_bundle_within_the_limit_all_are_named_as_too_near():
    (told,) = of_rule(case_of(pin("tibia", 100, 287)), "rule.pin.nerve-near")
    assert told.subjects == ("pin-1", "hazard:posterior-tibial", "hazard:tibial-nerve")


def test_unknown_spread_is_said_once_for_all_pins():
    case = case_of(pin("tibia", 205, 140), pin("tibia", 215, 140, 2))
    (told,) = of_rule(case, "rule.nerves.spread-unknown")
    assert told.severity == "note"
    assert "deep peroneal nerve" in told.message
    assert told.subjects == ("pin-1", "pin-2")


@pytest.mark.parametrize(
    "wrong",
    [
        pin("tibia", 192.5, 150),
        pin("tibia", 192.5, 0),
        pin("tibia", 340, 88),
        pin("femur", 305, 170, diameter_mm=6.0),
        pin("femur", 170, 90, diameter_mm=6.0),
    ],
    ids=lambda one: f"{one.bone}-{one.level_mm:.0f}-{one.bearing_deg:.0f}",
)
def test_a_turn_that_is_advised_clears_what_it_is_told_for(wrong):
    told = next(one for one in check(case_of(wrong)) if one.advice.startswith("turn it"))
    degrees = float(re.search(r"(\d+)°", told.advice)[1])
    left = [
        {one.rule for one in check(case_of(replace(wrong, bearing_deg=wrong.bearing_deg + way)))}
        for way in (degrees, -degrees)
    ]
    assert any(told.rule not in rules for rules in left)


def test_without_anything_to_turn_from_no_turn_is_told():
    from fixplan.checks.run import plainly_judged
    from fixplan.checks.scene import scene_of

    good = pin("tibia", 192.5, 120)
    scene = scene_of(case_of(good))
    assert turn_words(scene, good, plainly_judged(scene, good), plainly_judged) == ""


def test_in_a_child_a_hole_of_a_quarter_to_a_third_is_no_caution():
    thick = pin("tibia", 230, 120, diameter_mm=7.0)
    assert of_rule(case_of(thick), "rule.pin.hole-ratio")
    assert not of_rule(case_of(thick, open_growth_plates=True), "rule.pin.hole-ratio")
    assert not of_rule(case_of(thick, open_growth_plates=True), "rule.pin.child-diameter")


def test_right_and_left_find_the_same():
    right = case_of(pin("tibia", 192.5, 150), pin("femur", 305, 170, 2))
    left = replace(right, side="left")
    assert [(o.rule, o.severity, o.measured) for o in check(right)] == [
        (o.rule, o.severity, o.measured) for o in check(left)
    ]


@pytest.mark.parametrize(
    ("bone", "level_mm", "bearing_deg", "words"),
    [
        ("humerus", 200, 342, "radial nerve: a short cut over the side of the arm"),
        ("humerus", 70, 0, "artery: the deltoid spread along its fibres"),
        ("humerus", 270, 228, "ulnar nerve: a cut over the medial epicondyle"),
        ("radius", 60, 330, "posterior interosseous nerve: the supinator opened"),
    ],
)
def test_an_open_approach_names_the_exposure_of_what_is_met(bone, level_mm, bearing_deg, words):
    shut = pin(bone, level_mm, bearing_deg, diameter_mm=4.0)
    for approach, severity in ((False, "stop"), (True, "caution")):
        case = replace(case_of(replace(shut, open_approach=approach)), limb="arm")
        (told,) = of_rule(case, "rule.pin.nerve-near")
        assert told.severity == severity
        assert (words in told.message) is approach


@pytest.mark.parametrize(
    ("bone", "level_mm", "bearing_deg", "words"),
    [
        ("femur", 165, 102, "femoral nerve branch to vastus intermedius: rectus and vastus parted"),
        ("tibia", 24, 332, "common peroneal nerve: a cut along it"),
        ("calcaneus", 24, 180, "main branch: a short cut, blunt to bone, a sleeve"),
    ],
)
def test_so_it_does_in_the_leg(bone, level_mm, bearing_deg, words):
    opened = pin(bone, level_mm, bearing_deg, open_approach=True, offset_mm=-8.0 * (bone[0] == "c"))
    (told,) = of_rule(case_of(opened), "rule.pin.nerve-near")
    assert words in told.message


@pytest.mark.parametrize(
    "rule", [one for one in rules() if one.kind == "pin-in-band" and one.severity == "stop"]
)
def test_a_stop_for_pins_through_the_skin_names_the_cut_that_makes_it_a_caution(rule):
    assert rule.severities["open"] == "caution"
    assert re.search(
        r"open approach: (a .*cut|the .* opened).* (seen|held back)", rule.texts["open"]
    )
