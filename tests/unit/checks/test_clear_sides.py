"""Clear directions with the rules' own limits and customary sides."""

import pytest
from msgspec.structs import replace

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, LimbSize, Pin
from fixplan.checks.band_limits import stopped_sides
from fixplan.checks.clear_sides import (
    apart_deg,
    clear_bands,
    clear_margins,
    customary_arcs,
    goes_through_muscle,
    nearest_middle_deg,
    shape_of,
)
from fixplan.checks.rules import rules
from fixplan.checks.run import check
from fixplan.frame.defaults import customary_sides
from fixplan.geometry.clear_arcs import Arc
from fixplan.geometry.clear_directions import PinShape
from fixplan.limb.scale import limb_of

HALF_PIN = PinShape(2.5, 2.0)


@pytest.fixture(scope="module")
def limb():
    return limb_of("leg")


def test_the_margins_are_the_limits_of_the_rules():
    limits = {
        part: [
            v
            for r in rules()
            if r.kind == "hazard-gap" and r.target == part
            for v in r.below.values()
        ]
        for part in ("near", "far")
    }
    margins = clear_margins()
    assert (margins.gap_mm, margins.far_gap_mm) == (max(limits["near"]), max(limits["far"]))
    assert min(margins.gap_mm, margins.far_gap_mm) > 0


def test_the_customary_band_keeps_to_the_customary_sides(limb):
    for level in (60.0, 130.0, 200.0, 330.0):
        sides = customary_sides(limb, "tibia", level)
        for arc in customary_arcs(limb, "tibia", level, HALF_PIN):
            assert any((arc.middle_deg - low) % 360 <= (high - low) % 360 for _, low, high in sides)
            assert not arc.narrow


def test_only_bones_within_muscle_are_entered_through_it():
    assert goes_through_muscle("femur")
    assert not goes_through_muscle("tibia")


@pytest.mark.parametrize("level", [2.0, 380.0])
def test_without_a_section_there_are_no_bands(limb, level):
    assert clear_bands(limb, "tibia", level, HALF_PIN) is None
    assert customary_arcs(limb, "tibia", level, HALF_PIN) == ()


def test_the_nearest_middle_is_found_across_the_lateral_side():
    arcs = (Arc(330.0, 400.0), Arc(80.0, 120.0))
    assert nearest_middle_deg(arcs, 350.0) == 5.0
    assert nearest_middle_deg(arcs, 70.0) == 100.0
    assert nearest_middle_deg((), 70.0) is None


@pytest.mark.parametrize(("one", "other", "apart"), [(350, 10, 20), (0, 180, 180), (90, 80, 10)])
def test_bearings_are_apart_the_short_way(one, other, apart):
    assert apart_deg(one, other) == apart


KEEPS_OFF = {
    rule.id for rule in rules() if rule.kind in ("hazard-gap", "pin-in-band", "pin-near-joint")
}
LOOKED_UP_MM = 0.4
"""Arcs look a track up every 2 mm along the limb, so that a gap may be this much less."""


def is_met(one):
    """Whether a finding is about a nerve, a vessel or a joint, and by more than that."""
    gap = one.rule in ("rule.pin.nerve-near", "rule.pin.nerve-far")
    return one.rule in KEEPS_OFF and not (gap and one.measured > one.limit - LOOKED_UP_MM)


ROUND = (
    ("arm", "humerus", 345.0),
    ("arm", "radius", 275.0),
    ("leg", "femur", 15.0),
    ("leg", "tibia", 120.0),
)


@pytest.mark.parametrize("open_approach", [False, True])
@pytest.mark.parametrize(("kind", "bone", "bearing_deg"), ROUND)
def test_no_direction_is_drawn_as_clear_from_which_a_rule_would_stop_the_pin(
    kind, bone, bearing_deg, open_approach
):
    """So that the section and the findings say the same, along the whole bone."""
    case = Case(limb=kind, side="right", size=LimbSize(sex="male", stature_mm=1750))
    whole = limb_of_case(case).bones[bone]
    seen = 0
    for level in range(int(whole.from_mm) + 22, int(whole.to_mm) - 15, 18):
        pin = Pin(
            id="pin-1",
            number=1,
            bone=bone,
            level_mm=level,
            bearing_deg=bearing_deg,
            diameter_mm=4,
            open_approach=open_approach,
        )
        limb, shape = limb_of_case(case), shape_of(pin)
        bands = clear_bands(limb, bone, float(level), shape, open_approach=open_approach)
        for arc in () if bands is None else bands.clear.arcs:
            for share in (0.02, 0.5, 0.98):
                bearing = (arc.from_deg + share * arc.width_deg) % 360
                turned = replace(pin, bearing_deg=bearing)
                found = check(replace(case, pins=(turned,), last_number=1))
                stops = [one for one in found if one.severity == "stop" and is_met(one)]
                assert stops == [], level
                seen += 1
    assert seen > 20


def test_a_lateral_humeral_pin_100_mm_above_the_epicondyle_has_no_clear_direction():
    """56 % of such pins hit the radial nerve (CO-H7), wherever its mean place is drawn."""
    arm = limb_of("arm", "male", 1750.0, 80.0, (), ())
    level = arm.landmark("humeral_lateral_epicondyle").level_mm - 100.0
    for open_approach in (False, True):
        bands = clear_bands(arm, "humerus", level, PinShape(2.0, 2.0), open_approach=open_approach)
        assert bands is not None
        names = {limit.name for limit in bands.clear.blocked if limit.part == "near"}
        assert ("radial nerve, where it may cross" in names) is not open_approach
        lateral = [a for a in bands.clear.arcs if (20.0 - a.from_deg) % 360 <= a.width_deg]
        assert bool(lateral) is open_approach


def test_where_the_capsule_turns_back_the_sides_behind_it_stay_clear(limb):
    """Behind 48 % of the depth of the femur the lateral capsule has turned back (PP-29)."""
    level = limb.landmark("adductor_tubercle").level_mm + 4.0
    shape = PinShape(2.5, 2.0)
    sides = stopped_sides(limb, "femur", level, shape, open_approach=False)
    lateral = [one for one in sides if one.name == "knee joint" and one.to_deg % 360 == 45.0]
    assert len(lateral) == 1
    assert 0.0 < lateral[0].from_deg < 30.0


@pytest.mark.parametrize("share", [0.4, 0.45, 0.5, 0.55])
def test_the_middle_of_the_radius_has_a_customary_band_from_behind(share):
    """Pinned from behind through muscle, which lies on every side there."""
    arm = limb_of("arm")
    level = share * arm.bones["radius"].length_mm
    arcs = customary_arcs(arm, "radius", level, PinShape(2.0, 2.0))
    assert any((275.0 - arc.from_deg) % 360 <= arc.width_deg for arc in arcs)
