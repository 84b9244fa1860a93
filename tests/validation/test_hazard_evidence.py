"""Findings about nerves, vessels and joints against what the cited papers report.

Numbers are the papers' own. Levels are turned into the limb's by its landmarks alone.
"""

import pytest

from fixplan.case.records import Case, LimbSize, Pin
from fixplan.checks.finding import Finding
from fixplan.checks.run import check
from fixplan.limb.scale import limb_of

MALE = LimbSize(sex="male", stature_mm=1750, mass_kg=80)
ARM = limb_of("arm", "male", 1750.0, 80.0, (), ())
LEG = limb_of("leg", "male", 1750.0, 80.0, (), ())
LATERAL_EPICONDYLE = ARM.landmark("humeral_lateral_epicondyle").level_mm
LESSER_TROCHANTER = LEG.landmark("lesser_trochanter").level_mm
TUBERCLE = LEG.landmark("adductor_tubercle").level_mm
PATELLA_TOP = LEG.landmark("patella_top").level_mm


def found(bone: str, level_mm: float, bearing_deg: float, limb: str = "leg", **more):
    pin = Pin(
        id="pin-1", number=1, bone=bone, level_mm=level_mm, bearing_deg=bearing_deg,
        **{"diameter_mm": 5.0} | more,
    )  # fmt: skip
    case = Case(limb=limb, side="right", size=MALE, pins=(pin,), last_number=1)
    worst_first: dict[str, Finding] = {}
    for one in check(case):
        worst_first.setdefault(one.rule, one)
    return worst_first


@pytest.mark.parametrize("above_mm", [70, 75, 87, 100, 102, 106, 129])
@pytest.mark.parametrize("bearing_deg", [0, 30, 330])
def test_lateral_humeral_pins_where_the_radial_nerve_crosses_are_stops(above_mm, bearing_deg):
    """Hit by 56.4 % of pins at 100 mm and 20.5 % at 70 mm (Paterson 2017); 75 to 129 mm seen."""
    rules = found("humerus", LATERAL_EPICONDYLE - above_mm, bearing_deg, "arm", diameter_mm=4.0)
    told = rules.get("rule.pin.radial-nerve-band") or rules["rule.pin.nerve-near"]
    assert told.severity == "stop"


@pytest.mark.parametrize("share", [0.19, 0.25, 0.31, 0.37, 0.43])
def test_the_radial_band_holds_by_share_of_the_humerus_too(share):
    """19 to 43 % up from the elbow in 95 arms (Wegmann 2014), in a small and a large arm."""
    for stature_mm in (1550.0, 1950.0):
        size = LimbSize(sex="female", stature_mm=stature_mm)
        limb = limb_of("arm", "female", stature_mm, None, (), ())
        length_mm = limb.bones["humerus"].length_mm
        level_mm = limb.landmark("elbow_axis").level_mm - share * length_mm
        pin = Pin(
            id="pin-1", number=1, bone="humerus", level_mm=level_mm, bearing_deg=40, diameter_mm=4
        )
        case = Case(limb="arm", side="left", size=size, pins=(pin,), last_number=1)
        rules = {one.rule for one in check(case) if one.severity == "stop"}
        assert rules & {"rule.pin.radial-nerve-band", "rule.pin.nerve-near"}


def test_the_lowest_seventy_percent_of_the_epicondylar_distance_is_outside_the_band():
    """43 mm above the lateral epicondyle for a distance of 62 mm (Kamineni 2009)."""
    rules = found("humerus", LATERAL_EPICONDYLE - 43, 0, "arm", diameter_mm=4.0)
    assert not {"rule.pin.radial-nerve-band", "rule.pin.nerve-near"} & rules.keys()


@pytest.mark.parametrize("below_mm", [45, 57, 60, 69])
def test_lateral_pins_in_the_axillary_band_are_told_of(below_mm):
    """45 to 69 mm below the top of the head in 50 arms; 57 to 60 mm below the acromion."""
    top = ARM.landmark("humeral_head_top").level_mm
    rules = found("humerus", top + below_mm, 0, "arm")
    assert {"rule.pin.nerve-near", "rule.pin.axillary-nerve-band"} & rules.keys()
    assert "rule.pin.shoulder-capsule" in rules


def test_past_the_axillary_band_nothing_of_it_is_said():
    """0.23 of the arm's length below the acromion is the greatest that was seen (CO-H3)."""
    acromion = ARM.landmark("acromion").level_mm
    level_mm = acromion + 0.23 * ARM.bones["humerus"].length_mm + 30
    rules = found("humerus", level_mm, 15, "arm", diameter_mm=4.0)
    assert not any("axillary" in one.message for one in rules.values())


@pytest.mark.parametrize(("below_mm", "told"), [(30, True), (94, True), (130, True), (142, False)])
def test_the_anterior_femoral_window_begins_below_the_last_nerve_branch(below_mm, told):
    """58 ± 36 mm, at most 136 mm below the lesser trochanter (Beltran 2012)."""
    rules = found("femur", LESSER_TROCHANTER + below_mm, 90, diameter_mm=6.0)
    nerve = {"rule.pin.nerve-near", "rule.pin.spread"} & rules.keys()
    assert bool(nerve) == told


@pytest.mark.parametrize("below_mm", [30, 58, 94, 136, 200])
def test_lateral_femoral_pins_meet_no_nerve_branch(below_mm):
    """No branch crossed lateral to the line trochanter to lateral condyle (Beltran 2012)."""
    rules = found("femur", LESSER_TROCHANTER + below_mm, 5, diameter_mm=6.0)
    assert not {"rule.pin.nerve-near", "rule.pin.spread", "rule.pin.side"} & rules.keys()


@pytest.mark.parametrize(
    ("above_mm", "severity"), [(30, "stop"), (44, "stop"), (60, "caution"), (70, "caution")]
)
def test_the_suprapatellar_pouch(above_mm, severity):
    """Mean 46.3 mm above the patella in cadavers (Beltran 2012), 75 mm advised."""
    rules = found("femur", PATELLA_TOP - above_mm, 90, diameter_mm=5.0)
    assert rules["rule.pin.suprapatellar-pouch"].severity == severity


@pytest.mark.parametrize(("above_mm", "bearing_deg"), [(232, 135), (188, 180), (143, 220)])
def test_medial_femoral_pins_lie_where_the_artery_was_seen(above_mm, bearing_deg):
    """Artery level with front, middle and back at 232, 188 and 143 mm above the tubercle."""
    rules = found("femur", TUBERCLE - above_mm, bearing_deg, diameter_mm=5.0)
    told = rules.get("rule.pin.nerve-near") or rules["rule.pin.spread"]
    assert "femoral artery" in told.message


@pytest.mark.parametrize("bearing_deg", [95, 110, 120])
def test_the_advised_tibial_entry_at_mid_shaft_meets_nothing(bearing_deg):
    """20 to 60 degrees medial of sagittal (CO-T4); the drawn limb clears the front part."""
    rules = found("tibia", 192.5, bearing_deg)
    assert not {one.severity for one in rules.values() if "nerve" in one.rule} & {"stop", "caution"}


@pytest.mark.parametrize("bearing_deg", [140, 150, 160])
def test_a_tibial_pin_aimed_posterolaterally_meets_the_anterior_tibial_bundle(bearing_deg):
    """The hazard that a handbook names in the middle third (CO-T5)."""
    told = found("tibia", 192.5, bearing_deg)["rule.pin.nerve-far"]
    assert "anterior tibial vessels" in told.message
    assert told.severity in ("stop", "caution")


@pytest.mark.parametrize("back_mm", [10, 12, 16, 20])
def test_the_calcaneal_window_at_mid_height(back_mm):
    """A pin three quarters of the way from malleolus to heel keeps off the drawn nerves."""
    rules = found("calcaneus", 24.0, 180, kind="through", offset_mm=back_mm - 12.0)
    assert "rule.pin.nerve-near" not in rules
    assert rules["rule.pin.heel-branches"].severity == "note"


@pytest.mark.parametrize("forward_mm", [16, 24, 30])
def test_further_forward_in_the_heel_the_nerves_are_met(forward_mm):
    rules = found("calcaneus", 24.0, 180, kind="through", offset_mm=-forward_mm)
    assert rules["rule.pin.nerve-near"].severity == "stop"


def test_a_medial_first_metatarsal_pin_near_its_base_meets_the_deep_plantar_artery():
    """Cut in 5 of 10 and touched in 4 within 18 mm of the joint (Barrett 2008)."""
    for below_mm in (8, 12, 16):
        rules = found("metatarsal-1", below_mm, 180, diameter_mm=4.0)
        told = rules.get("rule.pin.nerve-far") or rules["rule.pin.spread"]
        assert "deep plantar" in told.message
    told = found("metatarsal-1", 30, 180, diameter_mm=4.0)
    assert not any("deep plantar" in one.message for one in told.values())
