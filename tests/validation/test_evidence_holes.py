"""The one-third rule against the smallest bones that the published ratio allows.

Sources: one third of the bone's outer width, Bible JE, Mir HR, J Am Acad Orthop Surg 2015;23:683
and three reviews (from memory; children confirmed in a handbook); 20 % costs 34 % of torsional
strength, Edgerton BC et al., J Orthop Res 1990;8:851 as quoted by Speck FL et al., Am J Orthop
2017;46:E108.
The table is arithmetic on those two: bone = 3 x pin and 5 x pin, in mm. Each width is put into the
program as a typed width of the tibia, and the program's own check is asked.
"""

import pytest

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import BoneSize, Case, LimbSize, Pin
from fixplan.checks.pins import hole_detail
from fixplan.checks.rules import rule_by_id
from fixplan.checks.run import check
from fixplan.checks.scene import scene_of

SMALLEST_BONE_MM = {
    1.6: (4.8, 8.0),
    2.0: (6.0, 10.0),
    2.5: (7.5, 12.5),
    3.0: (9.0, 15.0),
    4.0: (12.0, 20.0),
    5.0: (15.0, 25.0),
    6.0: (18.0, 30.0),
    6.5: (19.5, 32.5),
}
LEVEL_MM, BEARING_DEG = 192.5, 180.0
HAIR_MM = 0.1


def case_with_width(width_mm: float, pin_mm: float) -> Case:
    """A tibia that is `width_mm` wide across a pin at mid-shaft."""

    def sized(typed_mm: float) -> Case:
        bone = BoneSize(bone="tibia", length_mm=385.0, width_mm=typed_mm)
        return Case(side="right", size=LimbSize(sex="male", stature_mm=1750.0, bones=(bone,)))

    as_typed_20 = limb_of_case(sized(20.0)).width_mm("tibia", LEVEL_MM, BEARING_DEG)
    case = sized(20.0 * width_mm / as_typed_20)
    found_mm = limb_of_case(case).width_mm("tibia", LEVEL_MM, BEARING_DEG)
    assert found_mm == pytest.approx(width_mm, abs=1e-6)
    pin = Pin(
        id="pin-1",
        number=1,
        bone="tibia",
        level_mm=LEVEL_MM,
        bearing_deg=BEARING_DEG,
        diameter_mm=pin_mm,
    )
    return Case(side="right", size=case.size, pins=(pin,), last_number=1)


def severities(case: Case) -> list[str]:
    return [one.severity for one in check(case) if one.rule == "rule.pin.hole-ratio"]


def detail(case: Case) -> str:
    rule = rule_by_id("rule.pin.hole-ratio")
    assert rule is not None
    return hole_detail(scene_of(case), case.pins[0], rule)


@pytest.mark.parametrize("pin_mm", SMALLEST_BONE_MM)
def test_the_smallest_bone_for_one_third_is_no_stop_and_a_hair_less_is(pin_mm: float):
    bone_mm = SMALLEST_BONE_MM[pin_mm][0]
    assert severities(case_with_width(bone_mm, pin_mm)) == ["caution"]
    assert severities(case_with_width(bone_mm - HAIR_MM, pin_mm)) == ["stop"]


@pytest.mark.parametrize("pin_mm", SMALLEST_BONE_MM)
def test_one_fifth_is_a_detail_and_above_it_nothing_is_said(pin_mm: float):
    bone_mm = SMALLEST_BONE_MM[pin_mm][1]
    just_over, under = (
        case_with_width(bone_mm - HAIR_MM, pin_mm),
        case_with_width(bone_mm + HAIR_MM, pin_mm),
    )
    assert severities(just_over) == severities(under) == []
    assert "one third less torsional strength" in detail(just_over)
    assert detail(under) == ""


@pytest.mark.parametrize("pin_mm", SMALLEST_BONE_MM)
def test_a_quarter_is_where_the_caution_begins(pin_mm: float):
    assert severities(case_with_width(4 * pin_mm - HAIR_MM, pin_mm)) == ["caution"]
    assert severities(case_with_width(4 * pin_mm + HAIR_MM, pin_mm)) == []
