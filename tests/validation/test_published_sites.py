"""Sites that papers and handbooks recommend or warn against, against the directions drawn there.

Asked as the section asks: the rules' own margins (5 mm, on the tip's side too), tip as customary.
The reference man of 1750 mm; levels as the source tells them, else as a share of the bone.
Sources by evidence id. Where the drawing is stricter than the source, that stands in STRICTER.
"""

import pytest

from fixplan.checks.clear_sides import clear_bands
from fixplan.geometry.clear_arcs import Arc
from fixplan.geometry.clear_directions import PinShape
from tests.validation.test_drawn_courses import ARM, LEG

AXIS = ARM.landmark("elbow_axis").level_mm
EPICONDYLE = ARM.landmark("humeral_lateral_epicondyle").level_mm
FEMUR, TIBIA, HUMERUS, ULNA, RADIUS = 470.0, 385.0, 335.0, 252.0, 252.0
"""The spans of which shares are told, mm."""

RECOMMENDED = (
    *(("femur", share * FEMUR, 0, "CO-F1") for share in (0.35, 0.5, 0.65)),
    *(("femur", 0.5 * FEMUR, bearing, "CO-F1") for bearing in (30, 45, 60)),
    ("femur", 0.5 * FEMUR, 90, "CO-F2"),
    *(("tibia", 0.33 * TIBIA, bearing, "CO-T4") for bearing in (110, 120)),
    *(("tibia", 0.7 * TIBIA, bearing, "CO-T4") for bearing in (120, 130, 140, 150)),
    *(("humerus", AXIS - 50, bearing, "CO-H5, CT series") for bearing in (315, 330)),
    *(("ulna", 0.5 * ULNA, bearing, "CO-U1") for bearing in (240, 255, 270)),
    ("radius", 0.5 * RADIUS, 270, "CO-R4, middle third from behind"),
)
"""Recommended or called usual, and clear."""
STRICTER = (
    *(("tibia", 0.33 * TIBIA, b, "anterior tibial vessels", "CO-T4") for b in (130, 140, 150)),
    *(("tibia", 0.7 * TIBIA, b, "anterior tibial vessels", "CO-T4") for b in (160, 170, 180)),
    ("humerus", AXIS - 150, 30, "radial nerve and profunda brachii", "CO-H5, CT series"),
)
"""Recommended, but within 5 mm on the tip's side: a caution from 2 mm on; the section keeps off."""
WARNED = (
    ("femur", 0.35 * FEMUR, 90, "femoral nerve branch to vastus intermedius", "CO-F3"),
    ("femur", 0.8 * FEMUR, 90, "pouch of the knee joint", "PP-28"),
    ("tibia", 0.5 * TIBIA, 150, "anterior tibial vessels", "CO-T5"),
    ("tibia", 0.5 * TIBIA, 160, "deep peroneal nerve", "CO-T5"),
    ("tibia", 0.9 * TIBIA, 90, "anterior tibial vessels", "struck by 53 % of screws, 20 CT"),
    ("humerus", EPICONDYLE - 100, 0, "radial nerve", "CO-H7, 56 %"),
    ("humerus", EPICONDYLE - 70, 0, "radial nerve, where it may cross", "CO-H7, 21 %"),
    ("humerus", 60.5, 0, "axillary nerve and posterior circumflex humeral artery", "CO-H1"),
    ("radius", 0.19 * RADIUS, 0, "posterior interosseous nerve", "CO-R1"),
    ("radius", 0.19 * RADIUS, 315, "posterior interosseous nerve", "CO-R1"),
)
"""Warned against, and not clear."""
THICK_MM = {"femur": 6.0, "tibia": 5.0, "humerus": 5.0, "radius": 4.0, "ulna": 4.0}


def holds(arcs: tuple[Arc, ...], bearing_deg: float) -> bool:
    return any((bearing_deg - arc.from_deg) % 360 <= arc.width_deg for arc in arcs)


def bands(bone: str, level_mm: float):
    limb = LEG if bone in LEG.bones else ARM
    found = clear_bands(limb, bone, level_mm, PinShape(THICK_MM[bone] / 2, 2.0))
    assert found is not None
    return found


@pytest.mark.parametrize(("bone", "level_mm", "bearing_deg", "source"), RECOMMENDED)
def test_a_recommended_site_is_clear_and_customary(bone, level_mm, bearing_deg, source) -> None:
    found = bands(bone, level_mm)
    assert holds(found.clear.arcs, bearing_deg), source
    assert holds(found.customary, bearing_deg), source


@pytest.mark.parametrize(("bone", "level_mm", "bearing_deg", "met", "source"), WARNED)
def test_a_site_that_is_warned_against_is_not_clear(
    bone, level_mm, bearing_deg, met, source
) -> None:
    found = bands(bone, level_mm)
    assert not holds(found.clear.arcs, bearing_deg), source
    assert met in {one.name for one in found.clear.blocked_at(bearing_deg)}


@pytest.mark.parametrize(("bone", "level_mm", "bearing_deg", "met", "source"), STRICTER)
def test_where_a_recommended_site_is_not_clear_the_tip_alone_is_the_reason(
    bone, level_mm, bearing_deg, met, source
) -> None:
    blocked = bands(bone, level_mm).clear.blocked_at(bearing_deg)
    assert met in {one.name for one in blocked}, source
    assert {one.part for one in blocked} == {"far"}
