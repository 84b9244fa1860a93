"""The zone for a medial pin of the heel, told by the lines that the papers drew.

From the back and lower point of the heel towards two landmarks, seen from the side:
- Casey D, et al. J Orthop Trauma 2002 (abstract): behind half of the way to the tip of the medial
  malleolus and one third of the way to the tuberosity of the navicular; branches of the medial
  calcaneal nerve are at risk even there.
- Mekhail AO, et al. Clin Orthop 1996;332:254 (abstract): three quarters of the way from malleolus
  to heel.
Where the drawn nerves lie is schematic, so that agreement is a check of the drawing and no proof.
"""

import numpy as np
import pytest

from fixplan.case.records import Case, LimbSize, Pin
from fixplan.checks.finding import Finding
from fixplan.checks.run import check
from fixplan.limb.anatomy import Limb
from fixplan.limb.pose import pose_of
from fixplan.limb.scale import limb_of

ADULTS = (("male", 1750.0), ("female", 1630.0))
BUNDLE = {
    "hazard:tibial-nerve",
    "hazard:posterior-tibial-vessels",
    "hazard:medial-plantar-nerve-and-vessels",
    "hazard:lateral-plantar-nerve-and-vessels",
}
PIN_SHARE = 0.04
"""Half the thickness of the pin, as a share of the ways: its whole width lies behind the lines."""
CALCANEAL = {"hazard:medial-calcaneal-nerve", "hazard:medial-calcaneal-branches"}


def place(limb: Limb, landmark: str) -> np.ndarray:
    """A landmark in the side view of the hindfoot: y and level, mm."""
    one = limb.landmark(landmark)
    pose = pose_of(limb, "leg")
    at = pose.to_limb(one.segment, np.array([[one.x_mm, one.y_mm, one.level_mm]]))
    found: np.ndarray = pose.from_limb("hindfoot", at)[0, 1:]
    return found


def found_at(sex: str, stature_mm: float, y_mm: float, level_mm: float) -> dict[str, Finding]:
    """What is found of a medial half-pin of 5 mm that enters there, by rule."""
    size = LimbSize(sex=sex, stature_mm=stature_mm)
    section = limb_of("leg", sex, stature_mm).section("calcaneus", level_mm)
    assert section is not None
    pin = Pin(
        id="pin-1",
        number=1,
        bone="calcaneus",
        level_mm=level_mm,
        bearing_deg=180,
        offset_mm=float(section.target[1]) - y_mm,
        diameter_mm=5,
    )
    found = check(Case(side="right", size=size, pins=(pin,), last_number=1))
    return {one.rule: one for one in found}


def on_the_way(sex: str, stature_mm: float, landmark: str, share: float) -> dict[str, Finding]:
    """The same, a share of the way from the heel to a landmark."""
    limb = limb_of("leg", sex, stature_mm)
    heel = place(limb, "heel_point")
    y, level = heel + share * (place(limb, landmark) - heel)
    return found_at(sex, stature_mm, float(y), float(level))


def met(found: dict[str, Finding]) -> set[str]:
    near = found.get("rule.pin.nerve-near")
    return set() if near is None else set(near.subjects)


@pytest.mark.parametrize(("sex", "stature_mm"), ADULTS)
@pytest.mark.parametrize(
    ("landmark", "limit"), [("medial_malleolus_tip", 0.5), ("navicular_tuberosity", 0.333)]
)
def test_in_front_of_either_line_is_told(sex, stature_mm, landmark, limit) -> None:
    told = on_the_way(sex, stature_mm, landmark, limit + 0.02)
    assert told["rule.pin.heel"].severity == "caution"


@pytest.mark.parametrize(("sex", "stature_mm"), ADULTS)
@pytest.mark.parametrize("share", [0.25, 1 / 3])
def test_a_third_or_a_quarter_from_the_heel_is_in_the_zone_but_for_the_calcaneal_nerve(
    sex, stature_mm, share
) -> None:
    """In the zone of every series; branches of the medial calcaneal nerve are still met (CO-C2)."""
    told = on_the_way(sex, stature_mm, "medial_malleolus_tip", share)
    assert "rule.pin.heel" not in told
    assert "rule.pin.heel-branches" in told
    assert met(told) & CALCANEAL
    assert not met(told) & BUNDLE


@pytest.mark.parametrize(("sex", "stature_mm"), ADULTS)
def test_behind_both_lines_no_vessel_nor_main_nerve_is_met(sex, stature_mm) -> None:
    limb = limb_of("leg", sex, stature_mm)
    heel = place(limb, "heel_point")
    ways = [place(limb, name) - heel for name in ("medial_malleolus_tip", "navicular_tuberosity")]
    seen = 0
    for level in np.linspace(*limb.known_mm("hindfoot"), 6).tolist():
        for y in np.arange(-50.0, 0.0, 4.0).tolist():
            gone = np.array([y, level]) - heel
            shares = [float(gone @ way / (way @ way)) for way in ways]
            if 0 < shares[0] < 0.5 - PIN_SHARE and 0 < shares[1] < 0.333 - PIN_SHARE:
                assert not met(found_at(sex, stature_mm, y, level)) & BUNDLE, (level, y)
                seen += 1
    assert seen > 15


@pytest.mark.parametrize(("sex", "stature_mm"), ADULTS)
def test_half_way_to_the_navicular_the_plantar_bundle_is_met(sex, stature_mm) -> None:
    assert met(on_the_way(sex, stature_mm, "navicular_tuberosity", 0.5)) & BUNDLE
