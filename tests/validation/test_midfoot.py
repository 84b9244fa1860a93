"""Midfoot and talar neck against what is published of them.

Santi and Botte 1996 (15 feet, abstract read): medially the neck of the talus is reached in front of
and above the tibialis posterior tendon; laterally only a narrow place. Maceroli 2015 (12 ankles,
abstract read): the ankle's capsule starts 15.5 mm (12.4 to 20.0) behind the head, and all medial
pins in the body were inside it. Gardner 2010: a medial cuneiform pin in its dorsal half. That the
places of the sections themselves are from memory is said in the data.
"""

import numpy as np
import pytest
from msgspec.structs import replace

from fixplan.case.edits import add_pin
from fixplan.case.records import Case, LimbSize, Pin
from fixplan.checks.run import check
from fixplan.frame.defaults import customary_bearings, pinned_levels
from fixplan.frame.new_pins import new_pin
from fixplan.geometry.paths import pin_path
from fixplan.limb.scale import limb_of

LEG = limb_of("leg", "male", 1750.0, 80.0, (), ())
CASE = Case(side="right", size=LimbSize(sex="male", stature_mm=1750.0, mass_kg=80.0))
PINNED = ("talus", "navicular", "cuboid", "cuneiform-1", "cuneiform-2", "cuneiform-3")
NERVES = {"rule.pin.nerve-near", "rule.pin.nerve-far", "rule.pin.joint-space"}


def told(pin: Pin) -> dict[str, str]:
    """Severity by rule of what is found about a pin that stands alone."""
    case = add_pin(CASE, pin)
    placed = case.pins[-1].id
    return {one.rule: one.severity for one in check(case) if placed in one.subjects}


def talar(level_mm: float, y_mm: float) -> Pin:
    """A medial pin that enters the talus at a level and a place from front to back."""
    pin = new_pin(CASE, "talus", level_mm)
    at = float(pin_path(LEG, pin).near_point_mm[1])
    return new_pin(CASE, "talus", level_mm, at - y_mm)


@pytest.mark.parametrize("bone", PINNED)
def test_some_customary_place_of_each_bone_is_clear_of_vessels_and_joints(bone: str) -> None:
    low, high = pinned_levels(LEG, bone)
    found = []
    for level in np.linspace(low, high, 5).tolist():
        for bearing in customary_bearings(LEG, bone, level):
            pin = new_pin(CASE, bone, level)
            path = pin_path(LEG, pin)
            assert path.known
            assert path.hits_bone
            turned = replace(pin, bearing_deg=bearing)
            found.append(NERVES.isdisjoint(told(turned)))
    assert any(found)


@pytest.mark.parametrize("level_mm", [-2.0, 0.0, 2.0, 4.0])
def test_the_neck_of_the_talus_is_reached_in_front_of_the_tibialis_posterior(
    level_mm: float,
) -> None:
    head = LEG.landmark("talar_head").y_mm
    assert "rule.pin.talar-body" not in told(talar(level_mm, head - 10.0))
    assert told(talar(level_mm, head - 10.0))["rule.pin.talar-neck"] == "note"
    tendon = _tendon_y(level_mm)
    assert head - 10.0 - 2.0 > tendon + 3.0


def _tendon_y(level_mm: float) -> float:
    """Where the authored levels beside it have the middle of the tendon."""
    levels = LEG.groups["talus"].authored.levels
    places = [
        (level.z * LEG.groups["talus"].span_mm, hazard.at[1])
        for level in levels
        for hazard in level.hazards
        if hazard.track == "tibialis-posterior-tendon" and hazard.at is not None
    ]
    return float(np.interp(level_mm, *zip(*places, strict=True)))


@pytest.mark.parametrize(
    ("behind_mm", "severity"), [(10.0, None), (14.0, "caution"), (18.0, "stop"), (25.0, "stop")]
)
def test_the_capsule_of_the_ankle_bounds_the_neck_behind(
    behind_mm: float, severity: str | None
) -> None:
    head = LEG.landmark("talar_head").y_mm
    assert told(talar(1.0, head - behind_mm)).get("rule.pin.talar-body") == severity


@pytest.mark.parametrize(("bearing_deg", "offset_mm", "is_told"), [(165, 0, False), (180, 5, True)])
def test_a_medial_cuneiform_pin_belongs_in_the_dorsal_half(
    bearing_deg: float, offset_mm: float, is_told: bool
) -> None:
    pin = new_pin(CASE, "cuneiform-1", -10.0)
    pin = replace(pin, bearing_deg=float(bearing_deg), offset_mm=float(offset_mm))
    assert ("rule.pin.cuneiform" in told(pin)) is is_told


def test_the_dorsalis_pedis_bars_the_dorsum_of_the_cuneiforms_beside_it() -> None:
    """It runs over the middle of the tarsus to the first web, lateral to the long extensor."""
    pin = replace(new_pin(CASE, "cuneiform-1", -10.0), bearing_deg=55.0)
    assert told(pin)["rule.pin.nerve-near"] == "stop"
