"""Clear directions with the rules' own limits and customary sides."""

import pytest

from fixplan.checks.clear_sides import (
    apart_deg,
    clear_bands,
    clear_margins,
    customary_arcs,
    goes_through_muscle,
    nearest_middle_deg,
)
from fixplan.checks.rules import rules
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
