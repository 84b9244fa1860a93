import json
import re
from pathlib import Path

import msgspec
import pytest
from msgspec.structs import replace

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, LimbSize, Pin
from fixplan.checks.rules import rule_by_id
from fixplan.checks.run import check, judge_pin
from fixplan.checks.texts import beyond, listed, number, number_pair, pins_words
from fixplan.checks.turning import _turn
from fixplan.limb.scale import limb_of
from fixplan.limb.words import corner_words

EXAMPLES = Path(__file__).parents[2] / "validation" / "rules"


def test_a_measured_value_never_reads_like_the_limit_it_misses():
    assert number_pair(12.0, 20.0) == ("12", "20")
    assert number_pair(19.96, 20.0) == ("19.96", "20")
    assert number_pair(19.6, 20.0) == ("19.6", "20")
    assert number_pair(18.69, 18.7) == ("18.69", "18.7")


def test_a_small_negative_number_has_no_sign():
    assert number(-0.3) == "0"
    assert number(-3.2) == "-3"


@pytest.mark.parametrize("open_growth_plates", [False, True])
@pytest.mark.parametrize("limb", ["leg", "arm"])
def test_what_lies_beyond_its_landmark_is_told_without_a_minus(limb, open_growth_plates):
    """A pin every 4 mm of every bone, past both ends: no message has a number below 0."""
    side = {"limb": limb, "side": "right", "open_growth_plates": open_growth_plates}
    for bone in limb_of(limb).bones.values():
        levels = [
            bone.from_mm - 8 + 4 * step for step in range(int(bone.to_mm - bone.from_mm) // 4)
        ]
        for level_mm in levels:
            pin = Pin(
                id="pin-1",
                number=1,
                bone=bone.name,
                level_mm=level_mm,
                bearing_deg=90,
                diameter_mm=3,
            )
            for found in judge_pin(Case(pins=(pin,), last_number=1, **side), pin):
                assert not re.search(r"(?<!\w)-\d", found.message), found.message


def test_runs_of_pins_are_drawn_together(leg):
    one, two, three, four = leg.pins
    seven = replace(four, id="pin-7", number=7)
    assert pins_words([one]) == "Pin 1"
    assert pins_words([two, one]) == "Pins 1 and 2"
    assert pins_words([one, two, three, seven]) == "Pins 1 to 3 and 7"


def test_words_in_a_row():
    assert listed([]) == ""
    assert listed(["a", "b", "c"]) == "a, b and c"


@pytest.mark.parametrize(
    ("bearing_deg", "side"),
    [(0, "lateral"), (100, "anterior"), (181, "medial"), (359, "lateral"), (-90, "posterior")],
)
def test_a_bearing_as_a_side(bearing_deg, side):
    assert corner_words(bearing_deg) == side


def test_a_value_at_its_limit_keeps_it_and_the_worst_limit_passed_counts():
    ratio = rule_by_id("rule.pin.hole-ratio")
    assert beyond(ratio, 100 / 3) == ("caution", 25)
    assert beyond(ratio, 33.4) == ("stop", 33.33)
    assert beyond(ratio, 25.0) is None
    plateau = rule_by_id("rule.fracture.plateau-pin")
    assert beyond(plateau, 99.0) == ("caution", 100)
    assert beyond(plateau, 100.0) == ("note", 150)


@pytest.mark.parametrize(
    ("rule_id", "says", "words"),
    [
        ("rule.pin.suprapatellar-pouch", 0, "pouch of the knee joint"),
        ("rule.pin.ankle-capsule", 0, "joint"),
        ("rule.pin.length", 4, "ask for a longer one"),
    ],
)
def test_a_finding_names_what_is_met_and_what_mends_it(rule_id, says, words):
    told = json.loads((EXAMPLES / f"{rule_id}.json").read_text(encoding="utf-8"))["examples"][says]
    case = msgspec.convert(told["case"], Case)
    assert [words in one.message for one in check(case) if one.rule == rule_id] == [True]


@pytest.mark.parametrize(
    ("diameter_mm", "words"),
    [
        (4.0, "; a pin of 3 mm would take 20 %; up to 30 % is usual (OWN-12"),
        (4.6, "; take 4 mm, the thickest listed at or under 30 % (OWN-12"),
    ],
)
def test_a_hole_over_a_quarter_tells_what_the_list_has_instead(diameter_mm, words):
    """A width of 14.7 mm: 4 mm take 27 %, 4.6 mm 31 %; the quarter is ours and cited as that."""
    case = Case(limb="arm", side="right", size=LimbSize(sex="male", stature_mm=1750.0))
    pin = Pin(
        id="pin-1",
        number=1,
        bone="radius",
        level_mm=165.0,
        bearing_deg=300.0,
        diameter_mm=diameter_mm,
    )
    (told,) = [one for one in judge_pin(case, pin) if one.rule == "rule.pin.hole-ratio"]
    assert words in told.message
    assert told.evidence[0] == "OWN-12"


def test_a_turn_tells_where_it_ends():
    """The side that comes next, past which or towards which it turns, and the side of its end."""
    limb = limb_of_case(Case(limb="leg", side="right"))
    pin = Pin(
        id="pin-1", number=1, bone="tibia", level_mm=100.0, bearing_deg=351.0, diameter_mm=5.0
    )
    turns = [_turn(limb, pin, to) for to in (49.0, 0.0, 20.0)]
    assert turns == [
        "turn it 58° past lateral, to anterolateral (41° from anterior)",
        "turn it 9° to lateral",
        "turn it 29° towards lateral, to lateral (20° towards anterior)",
    ]


def test_a_pin_whose_tip_ends_before_the_bone_is_a_stop():
    """A low pelvic pin's tip is set back from the far table; turned elsewhere it may end before."""
    pin = Pin(
        id="pin-1",
        number=1,
        bone="ilium-right",
        level_mm=100.0,
        bearing_deg=0.0,
        diameter_mm=6.0,
        tip_mm=-20.4,
    )
    told = {one.rule: one for one in check(Case(limb="pelvis", side="both", pins=(pin,)))}
    stop = told["rule.pin.misses-bone"]
    assert (stop.severity, "does not reach" in stop.message) == ("stop", True)
    assert "-20 mm" in stop.message
    deep = check(Case(limb="pelvis", side="both", pins=(replace(pin, tip_mm=-2.0),)))
    assert "rule.pin.misses-bone" not in {one.rule for one in deep}
