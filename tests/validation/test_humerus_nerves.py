"""What is told of nerves and vessels beside humeral pins, against places in the section data."""

import json
import math
import re
from pathlib import Path

import pytest

from fixplan.case.records import Case, LimbSize, Pin
from fixplan.checks.finding import Finding
from fixplan.checks.run import check
from fixplan.limb.scale import limb_of

SIZE = LimbSize(sex="male", stature_mm=1750.0, mass_kg=80.0)
UPPER_ARM = Path(__file__).parents[2] / "resources" / "anatomy" / "upper-arm.json"
BUNDLE = {"brachial-artery": "brachial artery", "median-nerve": "median nerve"}


def told(
    level_mm: float, bearing_deg: float, *, exposed: bool = False, tip_mm: float = 2.0
) -> list[Finding]:
    pin = Pin(
        id="pin-1",
        number=1,
        bone="humerus",
        level_mm=level_mm,
        bearing_deg=bearing_deg,
        diameter_mm=5.0,
        tip_mm=tip_mm,
        open_approach=exposed,
    )
    return list(check(Case(side="right", limb="arm", size=SIZE, pins=(pin,), last_number=1)))


@pytest.mark.parametrize("exposed", [False, True])
@pytest.mark.parametrize("above_mm", [35.0, 55.0, 75.0, 100.0, 125.0])
@pytest.mark.parametrize("bearing_deg", [290.0, 300.0, 312.0, 330.0, 0.0, 30.0, 60.0])
def test_no_lateral_pin_in_the_lower_arm_is_silent_on_the_radial_nerve(
    above_mm: float, bearing_deg: float, exposed: bool
) -> None:
    """CO-H5: crossings from 50 (76 - 2 x 13) to 129 mm above the epicondyle; CO-H8 below that."""
    epicondyle = limb_of("arm", "male", 1750.0, 80.0).landmark("humeral_lateral_epicondyle")
    found = told(epicondyle.level_mm - above_mm, bearing_deg, exposed=exposed)
    about = [one for one in found if "radial nerve" in one.message]
    assert about
    if above_mm > 50.0 and not exposed:
        assert about[0].severity in ("stop", "caution")


MIDDLE = 0.45
"""The section of the upper arm, as a share of the humerus, at which the bundle is measured here."""


def authored() -> dict:
    levels = json.loads(UPPER_ARM.read_text(encoding="utf-8"))["levels"]
    return next(one for one in levels if math.isclose(one["z"], MIDDLE))


def far_gap_mm(
    track: str, bearing_deg: float, radius_mm: float = 2.5, tip_mm: float = 2.0
) -> float:
    """Surface gap (mm) past the bone in the plane of the section, from its figures alone.

    Flat pin end 2 mm past the farthest crossing of the bone's outline, aimed at its target.
    """
    level = authored()
    bone = next(one for one in level["bones"] if one["bone"] == "humerus")
    outline, centre = bone["outline"], bone["target"]
    edges = list(zip(outline, [*outline[1:], outline[0]], strict=True))
    turn = math.radians(bearing_deg + 180.0)
    along, across = (math.cos(turn), math.sin(turn)), (-math.sin(turn), math.cos(turn))

    def placed(point: list[float]) -> tuple[float, float]:
        off = (point[0] - centre[0], point[1] - centre[1])
        return off[0] * along[0] + off[1] * along[1], off[0] * across[0] + off[1] * across[1]

    exits = []
    for a, b in ((placed(one), placed(two)) for one, two in edges):
        if (a[1] > 0) != (b[1] > 0):
            exits.append(a[0] + (b[0] - a[0]) * a[1] / (a[1] - b[1]))
    hazard = next(one for one in level["hazards"] if one.get("track") == track)
    ahead, aside = placed(hazard["at"])
    if ahead < 0:
        return math.inf
    past = max(0.0, ahead - max(exits) - tip_mm)
    return math.hypot(past, max(0.0, abs(aside) - radius_mm)) - hazard["radius_mm"]


def graded(gap_mm: float) -> str | None:
    """D22: past the bone under 2 mm a stop, 2 to 5 mm a caution."""
    return "stop" if gap_mm < 2 else "caution" if gap_mm < 5 else None


@pytest.mark.parametrize(("tip_mm", "grades"), [(2.0, {"caution", None}), (8.0, {"stop", None})])
def test_bundle_past_the_bone_is_graded_by_its_gap_all_round(
    tip_mm: float, grades: set[str | None]
) -> None:
    """Stop, caution or silence for every fourth bearing; within 0.6 mm of a limit either will do.

    The room is for the course of both between sections: they run a little obliquely.
    """
    seen = set()
    for bearing_deg in range(0, 360, 4):
        found = told(MIDDLE * 335.0, bearing_deg, tip_mm=tip_mm)
        far = [one for one in found if one.rule == "rule.pin.nerve-far"]
        for track, name in BUNDLE.items():
            gap_mm = far_gap_mm(track, bearing_deg, tip_mm=tip_mm)
            wanted = {graded(gap_mm - 0.6), graded(gap_mm), graded(gap_mm + 0.6)}
            got = next((one.severity for one in far if f"hazard:{track}" in one.subjects), None)
            assert got in wanted, (name, bearing_deg, gap_mm)
            seen.add(got)
    assert grades <= seen


def test_what_keeps_its_margin_is_still_named_with_its_distance() -> None:
    """A pin from 10 degrees behind lateral passes the bundle by more than 5 mm: told, as a note."""
    note = next(one for one in told(100.0, 350.0) if one.rule == "rule.nerves.spread-unknown")
    assert note.severity == "note"
    assert re.search(r"median nerve \(\d mm\)", note.message)
