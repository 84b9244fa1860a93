"""How firmly frames of arm, hand and pelvis hold: loads, the usual frame, what is not assessed."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from fixplan.case.file import read_case
from fixplan.case.records import LengthPlan
from fixplan.checks.run import judge_pin
from fixplan.frame.bodies import holding
from fixplan.frame.hold import full_hold, quick_hold
from fixplan.frame.hold_words import hold_lines
from fixplan.frame.limb_length import sag_mm
from fixplan.frame.loads import load_list
from fixplan.frame.starting import lay_frame
from fixplan.frame.usual import compared
from fixplan.frame.weights import body_of, segment_table, weight_of
from tests.unit.frame.other_limbs import bare, broken, laid

ROOT = Path(__file__).parents[3]
ARM = ["humerus-fragments", "elbow-spanning", "wrist-spanning", "forearm-fragments", "hand-ray"]


@pytest.mark.parametrize("pattern", ARM)
def test_a_frame_of_the_arm_meets_the_loads_of_the_arm(pattern) -> None:
    loads = quick_hold(laid(pattern).case).loads
    assert [one.load.id for one in loads] == ["hand-lift", "hand-up", "arm-turn", "traction-hold"]
    assert all(one.load.force_n > 0 for one in loads)


def test_shoulder_and_hand_share_the_weight_of_the_arm() -> None:
    case = laid("wrist-spanning").case
    body, table = body_of(case, load_list().patient, load_list().growing), segment_table()
    names = ("upper-arm", "forearm", "hand")
    weights = [weight_of(body, table, name, -1e6, 1e6).force_n for name in names]
    whole = sum(weights)
    assert whole == pytest.approx(0.0577 * 80 * (178 / 175) ** 2 * 9.80665)
    assert 0.3 * whole < quick_hold(case).load("hand-lift").load.force_n < 0.6 * whole


@pytest.mark.parametrize(
    ("pattern", "force_n"),
    [("wrist-spanning", 40), ("elbow-spanning", 25), ("humerus-fragments", 25), ("hand-ray", 10)],
)
def test_the_pull_is_that_of_the_joint_or_the_bone(pattern, force_n) -> None:
    assert quick_hold(laid(pattern).case).load("traction-hold").load.force_n == force_n


def test_a_typed_pull_wins() -> None:
    case = replace(laid("wrist-spanning").case, length=LengthPlan(traction_n=55.0))
    assert quick_hold(case).load("traction-hold").load.force_n == 55.0


TURNED = {"elbow-spanning": 6.0}
"""Its pins keep off the radial nerve, so they stand nearer to the plane of the bent elbow than
those of the usual frame, laid without regard for it: along the bone it is five times as firm."""


@pytest.mark.parametrize("pattern", [*ARM, "pelvis-low", "pelvis-crest"])
def test_a_starting_frame_is_about_as_firm_as_the_usual_one(pattern) -> None:
    most = TURNED.get(pattern, 5.0)
    found = compared(laid(pattern).case, quick_hold(laid(pattern).case).gaps[0])
    assert found is not None
    assert all(0.2 < ratio < most for ratio in found.ratios)


def test_a_pelvis_has_stiffness_but_no_reference_load() -> None:
    case = laid("pelvis-low").case
    assert quick_hold(case).loads == ()
    told = list(hold_lines(case, full_hold(case)))
    assert "Stresses are not assessed: no reference load is listed for this limb" in told
    assert any("back of the ring" in line for line in told)


def test_a_frame_within_the_foot_is_not_assessed() -> None:
    said = holding(laid("foot-columns").case).said
    assert said == ("The foot counts as one piece: how firmly it is held within is not assessed.",)


def test_a_broken_ulna_that_is_pinned_counts_itself() -> None:
    case = lay_frame(bare("arm", broken("ulna", 110, 130)), "forearm-fragments", judge_pin).case
    (gap,) = quick_hold(case).gaps
    assert (gap.gap.proximal.fragment.bone, gap.gap.words) == ("ulna", "ulna fracture")


def test_sag_is_not_told_under_a_pull_beyond_the_calculation() -> None:
    """The humerus sample: its hold of 25 N is withdrawn, so the length lost under it is too."""
    case = read_case(ROOT / "sample_cases" / "humeral-shaft.json")
    hold = full_hold(case)
    assert hold.middle.load("traction-hold").withdrawn == (True,)
    assert sag_mm(hold) == (None,)
    assert "Sag of length under the hold: not assessed, as the hold itself" in hold_lines(
        case, hold
    )
