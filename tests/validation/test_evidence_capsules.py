"""The capsule limits round a leg against the published recesses, all round the bone.

Sources (mm from the joint surface, as the abstracts give them):
- DeCoster TA et al., J Orthop Trauma 2004 (reprint of 1999): knee capsule up to 14 below, in the
  front half 6.
- Vora AM et al., J Bone Joint Surg Am 2004;86:988: ankle, anterolateral 9.3 (most 12.2),
  anteromedial 3.3 (most 5.5), back 2 or less.
- Lee PTH et al., J Bone Joint Surg Br 2005: tibiofibular recess 18.7 (13.3 to 23.6).
Tolerance: none, only severities are compared.
"""

import pytest

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, LimbSize, Pin
from fixplan.checks.run import check

SIZE = LimbSize(sex="male", stature_mm=1750.0, mass_kg=80.0)
RADIUS_MM = 2.5


def severities(rule: str, level_mm: float, bearing_deg: float, tip_mm: float = 2.0) -> set[str]:
    pin = Pin(
        id="pin-1",
        number=1,
        bone="tibia",
        level_mm=level_mm,
        bearing_deg=bearing_deg,
        diameter_mm=2 * RADIUS_MM,
        tip_mm=tip_mm,
    )
    case = Case(side="left", size=SIZE, pins=(pin,), last_number=1)
    return {one.severity for one in check(case) if one.rule == rule}


def above_ankle(mm: float, bearing_deg: float) -> set[str]:
    """A pin that just enters the bone, with its surface this far above the ankle joint."""
    plafond = limb_of_case(Case(side="left", size=SIZE)).landmark("plafond").level_mm
    return severities("rule.pin.ankle-capsule", plafond - mm - RADIUS_MM, bearing_deg, tip_mm=-10.0)


@pytest.mark.parametrize(
    ("bearing_deg", "mean_mm", "most_mm"),
    [(60, 9.3, 12.2), (120, 3.3, 5.5), (270, 2.0, 2.0), (0, 18.7, 23.6)],
    ids=["anterolateral", "anteromedial", "back", "fibular side"],
)
def test_inside_the_mean_recess_is_a_stop_and_inside_the_highest_seen_still_a_caution(
    bearing_deg, mean_mm, most_mm
):
    assert above_ankle(mean_mm - 0.1, bearing_deg) == {"stop"}
    assert above_ankle(most_mm, bearing_deg) == {"caution"}


@pytest.mark.parametrize("bearing_deg", [0, 45, 90, 135, 180, 225, 270, 315])
def test_above_every_recess_nothing_is_found(bearing_deg):
    assert above_ankle(25.0, bearing_deg) == set()


@pytest.mark.parametrize("bearing_deg", range(0, 360, 15))
def test_a_pin_14_mm_below_the_plateau_is_clear_from_every_side(bearing_deg):
    assert severities("rule.pin.knee-capsule-tibia", 14.0 + RADIUS_MM, bearing_deg) == set()


@pytest.mark.parametrize("bearing_deg", range(0, 360, 15))
def test_a_pin_right_through_13_mm_below_the_plateau_is_never_passed(bearing_deg):
    assert severities("rule.pin.knee-capsule-tibia", 13.0 + RADIUS_MM, bearing_deg) != set()
