"""What findings say where faults were provoked on purpose, in every limb: no slip of the tongue."""

import re

import pytest

from fixplan.case.records import Case, LimbSize, Pin
from fixplan.case.scalars import LimbKind
from fixplan.checks.finding import Finding
from fixplan.checks.run import check
from fixplan.limb.scale import limb_of

Way = tuple[str, float, float, float]
FAULTS: dict[str, tuple[LimbKind, tuple[Way, ...]]] = {
    "shoulder": ("arm", (("humerus", 30, 0, 5), ("humerus", 60, 0, 5))),
    "medial arm": ("arm", (("humerus", 150, 180, 5), ("humerus", 270, 180, 4))),
    "elbow fossae": ("arm", (("humerus", 300, 0, 4), ("ulna", -20, 240, 4))),
    "radius": ("arm", (("radius", 60, 300, 4), ("radius", 150, 90, 4), ("radius", 190, 315, 3))),
    "ulna": ("arm", (("ulna", 40, 240, 4), ("ulna", 150, 60, 4), ("ulna", 150, 0, 4))),
    "hand": (
        "arm",
        (
            ("metacarpal-2", 10, 315, 2.5),
            ("metacarpal-1", 10, 345, 2),
            ("metacarpal-3", 30, 90, 2),
            ("proximal-phalanx-3", 90, 315, 2),
        ),
    ),
    "foot": ("leg", (("calcaneus", 24, 0, 5), ("talus", 20, 180, 4), ("metatarsal-1", 5, 180, 4))),
    "toes": ("leg", (("metatarsal-3", 30, 270, 2.5), ("metatarsal-1", 40, 0, 4))),
    "thigh": ("leg", (("femur", 240, 180, 6), ("femur", 400, 90, 5), ("femur", 425, 0, 5))),
    "knee": ("leg", (("tibia", 10, 120, 5), ("tibia", 30, 330, 5), ("tibia", 30, 0, 5))),
    "ankle": ("leg", (("tibia", 365, 120, 5), ("tibia", 340, 60, 5), ("tibia", 200, 90, 5))),
    "hip bone": ("pelvis", (("ilium-right", 20, 60, 5), ("ilium-left", 110, 72, 6))),
}
SLIPS = (
    r"\{|\}|\b0\.0 mm|keep 0 mm|in its way (off|hit)|\bNone\b|  |± not known|[a-z]-(nerve|artery)\b"
)


def provoked(fault: str, *, exposed: bool, growing: bool) -> tuple[Finding, ...]:
    limb, ways = FAULTS[fault]
    pins = tuple(
        Pin(
            id=f"pin-{number}",
            number=number,
            bone=bone,
            level_mm=level,
            bearing_deg=bearing,
            diameter_mm=diameter,
            open_approach=exposed,
        )
        for number, (bone, level, bearing, diameter) in enumerate(ways, 1)
    )
    case = Case(
        limb=limb,
        side="both" if limb == "pelvis" else "right",
        size=LimbSize(sex="male", stature_mm=1500.0 if growing else 1750.0),
        pins=pins,
        last_number=len(pins),
        open_growth_plates=growing,
    )
    return check(case)


@pytest.mark.parametrize(("exposed", "growing"), [(False, False), (True, False), (False, True)])
@pytest.mark.parametrize("fault", FAULTS)
def test_findings_of_provoked_faults_are_sentences_without_a_slip(
    fault: str, exposed: bool, growing: bool
) -> None:
    found = provoked(fault, exposed=exposed, growing=growing)
    assert any(one.severity in ("stop", "caution") for one in found)
    for one in found:
        assert not re.search(SLIPS, one.message), one.message
        assert len(one.message) < 620, one.message
        assert one.message.endswith(")"), one.message


@pytest.mark.parametrize("fault", ["radius", "ulna", "hand"])
def test_entries_of_forearm_and_hand_are_told_in_their_own_words(fault: str) -> None:
    limb = limb_of("arm")
    for one in provoked(fault, exposed=False, growing=False):
        if one.rule == "rule.pin.side":
            told = one.message.partition(", for ")[0]
            assert not re.search("lateral|medial|anterior|posterior", told)
            assert re.search("radial|ulnar|palmar|dorsal", told)
    assert {limb.segments[name].sides[0] for name in ("forearm", "hand")} == {"radial"}


@pytest.mark.parametrize("fault", FAULTS)
def test_a_stop_says_what_to_do(fault: str) -> None:
    """Of nerves, joints and growth plates: move, turn, keep off, or no pin there."""
    said = (
        r"move|turn|keep|no (blind|lateral|percutaneous) pin|ask for|listed at or under"
        r"|both cortices need"
    )
    for one in provoked(fault, exposed=False, growing=True):
        if one.severity == "stop":
            assert re.search(said, one.message, re.IGNORECASE), one.message
