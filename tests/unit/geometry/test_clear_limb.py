"""Clear directions at the levels of a limb, and that they agree with the gaps in space."""

import numpy as np
import pytest

from fixplan.case.records import Pin
from fixplan.geometry.clear_directions import PinShape
from fixplan.geometry.clear_limb import Margins, bands_at, muscle_sectors
from fixplan.geometry.hazard_gaps import hazard_gaps
from fixplan.geometry.paths import pin_path
from fixplan.limb.scale import limb_of

HALF_PIN = PinShape(2.5, 2.0)
FIVE = Margins(5.0)


@pytest.fixture(scope="module")
def limb():
    return limb_of("leg")


@pytest.mark.parametrize("size", [("leg",), ("leg", "female", 1560.0, 55.0)])
@pytest.mark.parametrize("bone", ["femur", "tibia", "fibula"])
def test_a_bearing_is_blocked_just_when_the_pin_is_too_near_in_space(bone, size):
    limb = limb_of(*size)
    segment = limb.segments[limb.bones[bone].segment]
    random = np.random.default_rng(7)
    seen = set()
    for _ in range(60):
        level = float(random.uniform(segment.known_from_mm, segment.known_to_mm))
        bearing = float(random.uniform(0, 360))
        bands = bands_at(limb, bone, level, HALF_PIN, FIVE)
        blocked = {
            block.part for block in bands.clear.blocked_at(bearing) if block.name not in limb.bones
        }
        pin = Pin(
            id="pin-1",
            number=1,
            bone=bone,
            level_mm=level,
            bearing_deg=bearing,
            diameter_mm=5.0,
            tip_mm=2.0,
        )
        gaps = hazard_gaps(limb, pin_path(limb, pin), 12.0)
        if any(abs(gap.gap_mm - 5.0) < 0.1 for gap in gaps):
            continue
        assert {gap.part for gap in gaps if gap.gap_mm < 5.0} == blocked
        seen.add(bool(blocked))
    assert seen == {True, False}


def test_a_nerve_that_runs_obliquely_blocks_more_than_in_its_plane(limb):
    """At the middle of the thigh's second gap the artery winds to the back of the femur."""
    level = 0.58 * limb.bones["femur"].length_mm
    bands = bands_at(limb, "femur", level, PinShape(3.0, 2.0), FIVE)
    blocked = [b for b in bands.clear.blocked if "femoral artery" in b.name]
    assert blocked
    assert {b.part for b in blocked} == {"near"}


def test_there_are_no_bands_where_there_is_no_section(limb):
    assert bands_at(limb, "femur", 10.0, HALF_PIN, FIVE) is None
    assert bands_at(limb, "tibia", limb.segments["leg"].known_to_mm + 5, HALF_PIN, FIVE) is None
    assert muscle_sectors(limb, "femur", 10.0) == ()


def test_the_customary_band_lies_in_the_clear_one_off_muscle(limb):
    bands = bands_at(limb, "tibia", 190.0, HALF_PIN, FIVE)
    assert bands.customary
    for arc in bands.customary:
        assert any(
            clear.holds(arc.from_deg + 1e-6) and clear.holds(arc.to_deg - 1e-6)
            for clear in bands.clear.arcs
        )
    names = {arc.from_limit.name for arc in bands.customary}
    assert "anterior compartment" in names


def test_the_thigh_has_a_customary_side_through_muscle(limb):
    side = (("lateral to anterolateral", 350.0, 50.0),)
    level = 0.5 * limb.bones["femur"].length_mm
    assert bands_at(limb, "femur", level, PinShape(3.0, 2.0), FIVE, side).customary == ()
    (arc,) = bands_at(
        limb, "femur", level, PinShape(3.0, 2.0), FIVE, side, through_muscle=True
    ).customary
    assert (arc.from_deg, arc.to_deg) == pytest.approx((350, 410))


def test_a_through_pin_of_the_heel_has_opposite_arcs(limb):
    bands = bands_at(limb, "calcaneus", 24.0, PinShape(2.5, 0.0, through=True), FIVE)
    starts = sorted(arc.from_deg for arc in bands.clear.arcs)
    assert len(starts) % 2 == 0
    for start in starts:
        assert min(abs((start + 180 - other + 180) % 360 - 180) for other in starts) < 1e-6


def test_a_joint_cavity_counts_at_its_authored_level_alone(limb):
    level = limb.segments["thigh"].known_to_mm
    names = {b.name for b in bands_at(limb, "femur", level, HALF_PIN, FIVE).clear.blocked}
    assert "knee joint cavity (anterior recess)" in names
    above = bands_at(limb, "femur", level - 5, HALF_PIN, FIVE)
    assert not any("joint" in b.name for b in above.clear.blocked)
    assert above.clear.arcs
