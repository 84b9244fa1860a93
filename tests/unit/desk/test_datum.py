"""From where levels are counted."""

import pytest

from fixplan.desk.datum import counted_words, datum_words, place_words, usual_level_mm
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


def test_a_new_thing_is_offered_in_the_middle_of_its_bone():
    bone = LEG.bones["tibia"]
    assert usual_level_mm(LEG, "tibia") == pytest.approx((bone.from_mm + bone.to_mm) / 2, abs=2.5)
