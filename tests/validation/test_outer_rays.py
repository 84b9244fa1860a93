"""The outer rays of hand and foot: sizes and what lies round them, against what was seen.

Dunleavy 2022 (Hand), 108 CT scans: the narrowest canal of the fourth metacarpal is 2.7 mm in men,
of the fifth 3.9 mm. Descriptive laboratory study of the lateral approach to the base of the fifth
metatarsal (10 feet): the lateral dorsal cutaneous nerve lies superficial to the peroneus brevis
tendon. Widths of metatarsals and the places of tendons: from memory.
"""

import math

import numpy as np
import pytest

from fixplan.case.records import Case
from fixplan.checks.not_assessed import unassessed_pins
from fixplan.checks.run import check
from fixplan.frame.new_pins import new_pin
from fixplan.limb.rings import gap_to
from fixplan.limb.scale import limb_of

RAYS = (
    ("arm", "metacarpal-3"),
    ("arm", "metacarpal-4"),
    ("arm", "metacarpal-5"),
    ("leg", "metatarsal-2"),
    ("leg", "metatarsal-3"),
    ("leg", "metatarsal-4"),
    ("leg", "metatarsal-5"),
)


def with_pin(limb: str, side: str, bone: str, level_mm: float) -> Case:
    case = Case(limb=limb, side=side)
    pin = new_pin(case, bone, level_mm)
    return Case(limb=limb, side=side, pins=(pin,), last_number=pin.number)


@pytest.mark.parametrize(("bone", "seen_mm"), [("metacarpal-4", 2.7), ("metacarpal-5", 3.9)])
def test_narrowest_canals_of_the_ulnar_metacarpals(bone: str, seen_mm: float) -> None:
    limb = limb_of("arm", "male", 1750.0)
    cuts = [limb.section(bone, level) for level in np.arange(14.0, 46.0, 2.0)]
    widths = [np.ptp(cut.canal, axis=0).min() for cut in cuts if cut and cut.canal is not None]
    assert min(widths) == pytest.approx(seen_mm, abs=0.2)


def test_the_nerve_at_the_base_of_the_fifth_metatarsal_is_nearer_the_skin_than_the_tendon() -> None:
    level = limb_of("leg").references["forefoot"].authored.levels[0]
    place = {hazard.track: hazard.at for hazard in level.hazards}
    skin = np.array(level.skin)
    nerve, tendon = (
        np.array(place[track]) for track in ("lateral-dorsal-cutaneous-nerve", "peroneus-brevis")
    )
    assert gap_to(skin, nerve) < gap_to(skin, tendon)
    assert math.dist(nerve, tendon) < 12


@pytest.mark.parametrize(("limb", "bone"), RAYS)
@pytest.mark.parametrize("level_mm", [30.0, 45.0])
def test_a_click_on_an_outer_ray_is_judged_and_meets_no_nerve_on_its_way_in(
    limb: str, bone: str, level_mm: float
) -> None:
    case = with_pin(limb, "right", bone, level_mm)
    assert not unassessed_pins(case)
    assert "rule.pin.nerve-near" not in {one.rule for one in check(case)}


@pytest.mark.parametrize(("limb", "bone"), RAYS)
def test_a_left_ray_is_judged_as_a_right_one(limb: str, bone: str) -> None:
    told = [
        [(one.rule, one.severity, one.measured) for one in check(with_pin(limb, side, bone, 35.0))]
        for side in ("right", "left")
    ]
    assert told[0] == told[1]
    assert told[0]
