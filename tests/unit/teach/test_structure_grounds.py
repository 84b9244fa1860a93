"""Why? tells the sources of the structure that a finding names, and of no other limb's."""

import pytest

from fixplan.case.records import Case, Pin
from fixplan.case.scalars import LimbKind
from fixplan.checks.rules import rule_by_id
from fixplan.checks.run import check
from fixplan.teach.reasons import entry_of


@pytest.mark.parametrize(
    ("limb", "bone", "level", "bearing", "structure", "wanted", "unwanted"),
    [
        ("arm", "humerus", 230.0, 0.0, "radial nerve", "Kamineni", "Beltran"),
        ("leg", "femur", 300.0, 220.0, "femoral artery", "AN-01", "Kamineni"),
        ("leg", "tibia", 320.0, 60.0, "anterior tibial", "Mirza", "Beltran"),
    ],
)
def test_a_finding_rests_on_what_is_published_of_its_structure(
    limb: LimbKind,
    bone: str,
    level: float,
    bearing: float,
    structure: str,
    wanted: str,
    unwanted: str,
) -> None:
    pin = Pin(id="pin-1", number=1, bone=bone, level_mm=level, bearing_deg=bearing, diameter_mm=5.0)
    case = Case(limb=limb, side="right", pins=(pin,), last_number=1)
    near = ("rule.pin.nerve-near", "rule.pin.nerve-far")
    found = [one for one in check(case) if one.rule in near and structure in one.message]
    assert found
    rule = rule_by_id(found[0].rule)
    assert rule is not None
    grounds = entry_of(rule, found[0].evidence).grounds
    told = " ".join(
        f"{one.evidence.id} {one.evidence.cite} {work.authors}"
        for one in grounds
        for work in one.works
    )
    assert wanted in told
    assert unwanted not in told
    assert "OWN-03" in told
