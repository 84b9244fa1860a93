"""From where levels are counted."""

import pytest

from fixplan.desk.datum import (
    counted_from_mm,
    counted_words,
    datum_words,
    has_rays,
    place_words,
    ray_words,
    usual_level_mm,
)
from fixplan.limb.scale import limb_of

LEG = limb_of("leg", "male", 1750.0, None, (), ())


@pytest.mark.parametrize(
    ("segment", "words"),
    [
        ("thigh", "top of the femur"),
        ("leg", "knee joint line"),
        ("hindfoot", "top of the calcaneal tuberosity"),
        ("tail", "start of the bone"),
    ],
)
def test_level_0_has_a_name(segment, words):
    assert datum_words(LEG, segment) == words


def test_a_level_is_told_from_level_0_and_from_what_a_hand_can_feel():
    assert place_words(LEG, "leg", 141.0) == (
        "141 mm below the knee joint line; 100 mm below the tibial tubercle"
    )
    assert "above the knee joint line" in place_words(LEG, "leg", -12.0)
    assert counted_words(LEG, "thigh") == "Levels: mm below the top of the femur."


@pytest.mark.parametrize(
    ("bone", "words"),
    [
        (
            "metatarsal-5",
            "43 mm distal to the tuberosity of the fifth metatarsal; "
            "18 mm proximal to the head of the fifth metatarsal",
        ),
        (
            "metatarsal-1",
            "30 mm distal to the first tarsometatarsal joint; "
            "24 mm proximal to the head of the first metatarsal",
        ),
        (
            "",
            "30 mm distal to the first tarsometatarsal joint; "
            "24 mm proximal to the head of the first metatarsal",
        ),
    ],
)
def test_a_ray_is_told_from_its_own_ends(bone, words):
    assert ray_words(LEG, "forefoot", 30.0, bone) == words


def test_only_segments_of_many_bones_ask_which_bone_lies_under_the_mouse():
    told = {segment: has_rays(LEG, segment) for segment in LEG.segments}
    assert told == {"thigh": False, "leg": False, "hindfoot": True, "forefoot": True}


def test_a_new_thing_is_offered_in_the_middle_of_its_bone():
    bone = LEG.bones["tibia"]
    assert usual_level_mm(LEG, "tibia") == pytest.approx((bone.from_mm + bone.to_mm) / 2, abs=2.5)


def test_typed_levels_of_a_ray_count_from_its_own_base():
    hand = limb_of("arm", "male", 1750.0, None, (), ())
    bone = "metacarpal-5"
    start = counted_from_mm(hand, bone)
    assert ray_words(hand, "hand", start + 10.0, bone).startswith(
        "10 mm distal to the base of the fi"
    )
    assert counted_words(hand, "hand", bone).endswith("the base of the fifth metacarpal.")
    assert counted_from_mm(hand, "humerus") == 0.0
