"""What lies in one plane of a limb."""

import numpy as np
import pytest

from fixplan.geometry.hazard_tracks import authored_levels_mm, stretches_between
from fixplan.geometry.section_structures import structures_at
from fixplan.limb.rings import inside
from fixplan.limb.scale import limb_of

SEGMENTS = ("thigh", "leg", "hindfoot")


@pytest.fixture(scope="module")
def limb():
    return limb_of("leg", "female", 1600.0, 60.0)


@pytest.mark.parametrize("segment", SEGMENTS)
def test_every_authored_structure_is_there_once(limb, segment):
    levels = authored_levels_mm(limb, segment)
    for level_mm, authored in zip(levels, limb.references[segment].authored.levels, strict=True):
        found = structures_at(limb, segment, level_mm)
        tracks = [one.track for one in found.round]
        assert len(set(tracks)) == len(tracks)
        assert {h.track for h in authored.hazards if h.at is not None} <= set(tracks)
        names = {one.name for one in found.outlined}
        assert {h.name for h in authored.hazards if h.outline} <= names


@pytest.mark.parametrize("segment", SEGMENTS)
def test_structures_lie_in_the_skin_and_on_their_tracks(limb, segment):
    known = limb.segments[segment]
    for share in (0.13, 0.5, 0.77):
        level_mm = known.known_from_mm + share * (known.known_to_mm - known.known_from_mm)
        skin = limb.skin(segment, level_mm)
        found = structures_at(limb, segment, level_mm)
        assert found.round
        for one in found.round:
            assert inside(skin, np.array(one.at))
            near = stretches_between(limb, segment, level_mm, level_mm)
            of_track = [near.structures[i].track == one.track for i in near.which.tolist()]
            ends = near.chosen(np.array(of_track))
            at = np.array((*one.at, level_mm))
            detour = np.linalg.norm(ends.start - at, axis=1) + np.linalg.norm(ends.end - at, axis=1)
            length = np.linalg.norm(ends.end - ends.start, axis=1)
            assert (detour - length).min() == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("level_mm", [-5.0, 3.0, 500.0])
def test_outside_the_authored_levels_there_is_nothing(limb, level_mm):
    found = structures_at(limb, "leg", level_mm)
    assert (found.round, found.outlined, found.spreads) == ((), (), ())


def test_a_spread_of_levels_holds_at_those_levels_only(limb):
    plafond = limb.landmark("plafond").level_mm
    at = [structures_at(limb, "leg", plafond - up).spreads for up in (60.0, 100.0, 150.0)]
    named = [{band.name for band in bands} for bands in at]
    assert "anterior tibial vessels" in named[0]
    assert named[2] == set()
    (band,) = [band for band in at[0] if band.name == "anterior tibial vessels"]
    assert (band.from_deg, band.to_deg) == (10.0, 90.0)
    assert 0 < band.inner_mm < band.outer_mm


def test_a_spread_of_bearing_lies_either_side_of_the_mean_place(limb):
    known = limb.segments["thigh"]
    found = structures_at(limb, "thigh", known.known_from_mm + 40.0)
    (band,) = [band for band in found.spreads if "sciatic" in band.name]
    (nerve,) = [one for one in found.round if "sciatic" in one.name]
    arm = np.array(nerve.at) - found.target
    bearing = np.degrees(np.arctan2(arm[1], arm[0]))
    assert (band.from_deg + band.to_deg) / 2 == pytest.approx(bearing)
    assert band.to_deg - band.from_deg > 48.0
    assert band.inner_mm == pytest.approx(np.hypot(*arm) - nerve.radius_mm)
