"""A pelvis changed over from one side to the other, and what an arm's case may hold."""

import pytest

from fixplan.case import edits
from fixplan.case.limbs import bend_deg, fixed_segment, pose_of_case, spans
from fixplan.case.meaning import case_problems
from fixplan.case.records import Bar, Case, Fracture, Injury, Pin, PinAnchor
from fixplan.case.scalars import LimbKind
from fixplan.case.swapping import swapped


def pin(number: int, bone: str, level_mm: float) -> Pin:
    return Pin(
        id=f"pin-{number}",
        number=number,
        bone=bone,
        level_mm=level_mm,
        bearing_deg=72.0,
        diameter_mm=5.0,
    )


def bar(number: int, first: int, second: int) -> Bar:
    ends = (PinAnchor(pin=f"pin-{one}", out_mm=30.0) for one in (first, second))
    return Bar(id=f"bar-{number}", number=number, anchors=(next(ends), next(ends)))


def pelvis() -> Case:
    square = ((0.0, 0.0), (40.0, 0.0), (40.0, 40.0))
    return Case(
        limb="pelvis",
        side="both",
        pins=(pin(1, "ilium-right", 96.0), pin(2, "ilium-left", 98.0), pin(3, "ilium-left", 100.0)),
        injuries=(Injury(id="injury-1", segment="hemipelvis-right", front=square),),
        last_number=3,
    )


def test_a_mirrored_pelvis_changes_its_bones_over() -> None:
    case = pelvis()
    other = edits.mirrored(case)
    assert other.side == "both"
    assert [one.bone for one in other.pins] == ["ilium-left", "ilium-right", "ilium-right"]
    assert other.injuries[0].segment == "hemipelvis-left"
    assert edits.mirrored(other) == case
    assert swapped(swapped(case)) == case


def test_a_mirrored_arm_keeps_its_bones() -> None:
    case = Case(limb="arm", side="left", pins=(pin(1, "humerus", 110.0),), last_number=1)
    assert edits.mirrored(case).side == "right"
    assert edits.mirrored(case).pins == case.pins


@pytest.mark.parametrize(
    ("limb", "side", "wrong"),
    [("leg", "both", True), ("arm", "both", True), ("pelvis", "both", False)],
)
def test_only_a_pelvis_has_both_sides(limb: LimbKind, side: str, wrong: bool) -> None:
    case = Case(limb=limb, side="both" if side == "both" else "right")
    told = [text for text in case_problems(case) if "side" in text]
    assert bool(told) == wrong
    if wrong:
        assert told == [f"side is 'both', and a {limb} is right or left"]


def test_an_elbow_is_bent_under_a_frame_that_spans_it() -> None:
    pins = (pin(1, "humerus", 200.0), pin(2, "ulna", 100.0), pin(3, "metacarpal-2", 30.0))
    case = Case(limb="arm", side="right", pins=pins, last_number=3)
    assert (bend_deg(case, "elbow"), bend_deg(case, "wrist")) == (0.0, 0.0)
    elbow = edits.add_bar(case, bar(1, 1, 2))
    assert spans(elbow, "elbow")
    assert not spans(elbow, "wrist")
    assert (bend_deg(elbow, "elbow"), bend_deg(elbow, "wrist")) == (90.0, 0.0)
    wrist = edits.add_bar(case, bar(1, 2, 3))
    assert (bend_deg(wrist, "elbow"), bend_deg(wrist, "wrist")) == (0.0, 10.0)
    typed = edits.change_case(elbow, elbow_flexion_deg=70.0)
    assert pose_of_case(typed).bends_deg == (70.0, 0.0)
    assert bend_deg(typed, "knee") == 0.0


@pytest.mark.parametrize(
    ("bones", "standing"),
    [((), "forearm"), (("humerus",), "upper-arm"), (("humerus", "radius"), "forearm")],
)
def test_which_part_of_an_arm_stands(bones: tuple[str, ...], standing: str) -> None:
    fractures = tuple(
        Fracture(id=f"fracture-{i}", bone=bone, from_mm=100.0, to_mm=120.0)
        for i, bone in enumerate(bones, 1)
    )
    assert fixed_segment(Case(limb="arm", side="right", fractures=fractures)) == standing


def test_a_pelvis_stands_on_the_side_that_is_planned() -> None:
    broken = (Fracture(id="fracture-1", bone="ilium-right", from_mm=60.0, to_mm=70.0),)
    for side, standing in (("both", "right"), ("right", "right"), ("left", "left")):
        case = Case(limb="pelvis", side="left" if side == "left" else "both", fractures=broken)
        assert fixed_segment(case) == f"hemipelvis-{standing}"
