"""Bearings inside a published spread, and that they agree with what is found of one pin."""

from collections.abc import Iterable

import numpy as np
import pytest

from fixplan.case.records import Pin
from fixplan.geometry.clear_arcs import Arc
from fixplan.geometry.clear_directions import PinShape
from fixplan.geometry.clear_limb import Margins, bands_at
from fixplan.geometry.clear_spread import NAMED, STEP_DEG, spread_blocked
from fixplan.geometry.paths import pin_path
from fixplan.geometry.spread_bands import spread_hits
from fixplan.limb.scale import limb_of

HALF_PIN = PinShape(2.5, 2.0)
FAR_MM = 2.0


@pytest.mark.parametrize(
    ("kind", "bone"), [("leg", "femur"), ("leg", "tibia"), ("arm", "humerus"), ("arm", "radius")]
)
@pytest.mark.parametrize("pin", [HALF_PIN, PinShape(2.5, 0.0, through=True)])
def test_a_bearing_is_in_a_spread_just_when_the_pin_is(kind: str, bone: str, pin: PinShape):
    limb = limb_of(kind)
    segment = limb.segments[limb.bones[bone].segment]
    random = np.random.default_rng(11)
    seen = set()
    for _ in range(80):
        level = float(random.uniform(segment.known_from_mm, segment.known_to_mm))
        bearing = float(random.uniform(0, 360))
        blocked = spread_blocked(limb, bone, level, pin, FAR_MM)
        ends = [end for one in blocked for end in (one.from_deg, one.to_deg)]
        if any(abs((end - bearing + 180) % 360 - 180) < STEP_DEG for end in ends):
            continue
        placed = Pin(
            id="pin-1",
            number=1,
            bone=bone,
            level_mm=level,
            bearing_deg=bearing,
            diameter_mm=2 * pin.radius_mm,
            tip_mm=pin.overshoot_mm,
            kind="through" if pin.through else "half",
        )
        hits = spread_hits(limb, pin_path(limb, placed), FAR_MM)
        inside = any((bearing - b.from_deg) % 360 <= b.to_deg - b.from_deg for b in blocked)
        assert inside is any(hit.grade == NAMED for hit in hits)
        seen.add(inside)
    assert seen == {True, False}


def test_the_customary_band_keeps_out_of_spreads_and_the_clear_band_tells_them():
    """Lateral, 120 mm above the lateral epicondyle, in the range of 75 to 129 mm seen (CO-H5)."""
    limb = limb_of("arm")
    level = limb.landmark("humeral_lateral_epicondyle").level_mm - 120.0
    without, told = (
        bands_at(
            limb, "humerus", level, HALF_PIN, Margins(3.0, 2.0, spread), (), through_muscle=True
        )
        for spread in (None, FAR_MM)
    )
    assert _holds_lateral(without.customary), "the mean place alone is clear of it"
    assert _holds_lateral(told.clear.arcs)
    assert not _holds_lateral(told.customary)
    assert _holds_lateral(told.spread)


def _holds_lateral(arcs: Iterable[Arc]) -> bool:
    return any(arc.from_deg <= turn <= arc.to_deg for arc in arcs for turn in (0.0, 360.0))
