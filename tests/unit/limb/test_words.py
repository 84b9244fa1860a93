"""Levels and bearings in words."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fixplan.limb.scale import limb_of
from fixplan.limb.words import (
    QUARTERS,
    across_words,
    aside_words,
    bearing_words,
    corner_words,
    level_words,
    level_words_imaged,
    range_words,
)

LIMB = limb_of("leg")


@pytest.mark.parametrize(
    ("bearing_deg", "words"),
    [
        (0, "lateral"),
        (90, "anterior"),
        (180, "medial"),
        (270, "posterior"),
        (360, "lateral"),
        (-90, "posterior"),
        (145, "anteromedial, 35° from medial"),
        (120, "anteromedial, 30° from anterior"),
        (20, "lateral, 20° towards anterior"),
        (340, "lateral, 20° towards posterior"),
        (225.4, "posteromedial, 45° from posterior"),
        (0.4, "lateral"),
        (359.6, "lateral"),
    ],
)
def test_bearing_words(bearing_deg: float, words: str) -> None:
    assert bearing_words(bearing_deg) == words


@given(st.floats(-720, 720))
def test_bearing_words_lead_back_to_the_bearing(bearing_deg: float) -> None:
    side, _, rest = bearing_words(bearing_deg).partition(", ")
    off, towards, other = rest.partition("° towards ")
    if not towards:
        off, _, other = rest.partition("° from ")
    quarter = QUARTERS.index(other if other and not towards else side)
    ahead = QUARTERS[(quarter + 1) % 4]
    turn = int(off) if off and ahead[:4] in (other if towards else side) else -int(off or 0)
    back = 90 * quarter + turn
    assert abs((back - bearing_deg + 180) % 360 - 180) <= 0.5 + 1e-9
    assert abs(turn) <= 45


@pytest.mark.parametrize("sides", [QUARTERS, ("radial", "palmar", "ulnar", "dorsal")])
def test_one_bearing_has_one_side_wherever_it_is_told(sides: tuple[str, ...]) -> None:
    for bearing_deg in range(360):
        side = bearing_words(bearing_deg, sides).split(",", maxsplit=1)[0]
        assert side == corner_words(bearing_deg, sides)


def test_a_range_is_told_by_its_ends() -> None:
    assert (
        range_words(340, 105) == "lateral (20° towards posterior) to anterior (15° towards medial)"
    )
    assert range_words(300, 360) == "posterolateral (30° from posterior) to lateral"


@pytest.mark.parametrize(
    ("segment", "level_mm", "words"),
    [
        ("leg", 302.0, "83 mm above the tip of the medial malleolus"),
        ("leg", 100.0, "59 mm below the tibial tubercle"),
        ("leg", 41.3, "at the level of the tibial tubercle"),
        ("thigh", 330.0, "77 mm above the top of the patella"),
        ("thigh", 160.0, "140 mm below the tip of the greater trochanter"),
        ("hindfoot", 24.0, "20 mm dorsal to the posteroinferior point of the heel"),
        ("hindfoot", 60.0, "16 mm plantar to the posteroinferior point of the heel"),
        ("forefoot", 40.0, "14 mm proximal to the head of the first metatarsal"),
        ("forefoot", 60.0, "6 mm distal to the head of the first metatarsal"),
    ],
)
def test_level_words(segment: str, level_mm: float, words: str) -> None:
    assert level_words(LIMB, segment, level_mm) == words


@pytest.mark.parametrize(
    ("segment", "level_mm", "words"),
    [
        ("leg", 302.0, "70 mm above the ankle joint line"),
        ("leg", 60.0, "60 mm below the knee joint line"),
        ("thigh", 400.0, "70 mm above the end of the femoral condyles"),
    ],
)
def test_level_words_imaged(segment: str, level_mm: float, words: str) -> None:
    assert level_words_imaged(LIMB, segment, level_mm) == words


def test_a_hand_and_a_foot_have_words_of_their_own() -> None:
    hand = ("radial", "palmar", "ulnar", "dorsal")
    assert bearing_words(0, hand) == "radial"
    assert bearing_words(315, hand) == "dorsoradial, 45° from radial"
    assert bearing_words(250, hand) == "dorsal, 20° towards ulnar"
    assert bearing_words(100, hand) == "palmar, 10° towards ulnar"
    foot = ("lateral", "dorsal", "medial", "plantar")
    assert bearing_words(160, foot) == "medial, 20° towards dorsal"
    assert bearing_words(280, foot) == "plantar, 10° towards lateral"


@pytest.mark.parametrize(
    ("bone", "bearing", "y_mm", "words"),
    [
        ("calcaneus", 180, -44, "8 mm anterior to the posteroinferior point of the heel"),
        ("calcaneus", 0, -60, "8 mm posterior to the posteroinferior point of the heel"),
        ("calcaneus", 180, -52, ""),
        ("calcaneus", 270, -44, ""),
        ("tibia", 180, -44, ""),
    ],
)
def test_a_heel_pin_is_told_front_to_back_as_well(bone, bearing, y_mm, words):
    assert across_words(LIMB, bone, bearing, y_mm) == words


@pytest.mark.parametrize(
    ("bearing", "offset", "words"),
    [
        (0, 6, "6 mm anterior of the bone's middle"),
        (0, -6, "6 mm posterior of the bone's middle"),
        (90, 6, "6 mm medial of the bone's middle"),
        (90, 0.3, ""),
    ],
)
def test_an_aim_off_the_middle_is_told_by_its_side(bearing, offset, words):
    assert aside_words(LIMB, "tibia", bearing, offset) == words
