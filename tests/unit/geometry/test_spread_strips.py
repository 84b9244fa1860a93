"""The published spread of the nerve beside the anterior superior iliac spine: a strip medial to it.

Üzel 2011 (CO-P1): 26 mm medial to the spine on average, 3 to 65 mm seen. Levels and depth are ours.
"""

import pytest
from msgspec.structs import replace

from fixplan.case.limbs import limb_of_case
from fixplan.checks.run import check
from fixplan.geometry.paths import pin_path
from fixplan.geometry.spread_strips import strip_hits, strips_at
from tests.unit.frame.other_limbs import laid

NERVE = "lateral-cutaneous-nerve-of-thigh"


@pytest.fixture(scope="module")
def case():
    return laid("pelvis-low").case


@pytest.mark.parametrize("side", ["right", "left"])
def test_the_strip_reaches_from_3_to_65_mm_medial_to_the_spine(case, side) -> None:
    limb = limb_of_case(case)
    spine = limb.landmark(f"asis_{side}")
    (strip,) = strips_at(limb, f"hemipelvis-{side}", spine.level_mm + 10.0)
    assert strip.track == NERVE
    assert [spine.x_mm - x for x in strip.x_mm] == pytest.approx([65.0, 3.0])


@pytest.mark.parametrize("off_mm", [-20.0, 40.0])
def test_there_is_none_where_it_was_not_measured(case, off_mm) -> None:
    limb = limb_of_case(case)
    level_mm = limb.landmark("asis_right").level_mm + off_mm
    assert strips_at(limb, "hemipelvis-right", level_mm) == ()


def test_a_low_pin_runs_through_it_at_the_distance_that_is_told(case) -> None:
    limb = limb_of_case(case)
    path = pin_path(limb, case.pins[0])
    (hit,) = strip_hits(limb, path)
    ends = [float(point[0]) for point in (path.near_point_mm, path.skin_point_mm)]
    spine = limb.landmark("asis_right")
    assert min(ends) - 0.1 <= spine.x_mm - hit.medial_mm <= max(ends) + 0.1


def test_a_pin_from_the_side_keeps_clear_of_it(case) -> None:
    limb = limb_of_case(case)
    lateral = replace(case.pins[0], bearing_deg=0.0, tilt_deg=0.0)
    assert not list(strip_hits(limb, pin_path(limb, lateral)))


def test_it_is_said_as_a_nerve_to_open_for_and_protect(case) -> None:
    found = [one for one in check(case) if one.rule == "rule.pin.groin-nerve"]
    assert [one.severity for one in found] == ["note", "note"]
    assert all("3 to 65 mm medial" in one.message for one in found)
    assert all("spread down to bone" in one.message for one in found)
    assert all(f"hazard:{NERVE}" in one.subjects for one in found)
