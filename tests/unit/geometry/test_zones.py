"""Zones across the limb between two levels."""

import pytest

from fixplan.errors import GeometryError
from fixplan.geometry.zones import EDGE_MM, zone_across, zone_in_other_view
from fixplan.limb.pose import pose_of
from fixplan.limb.scale import limb_of

LEG = limb_of("leg", "male", 1750.0, None, (), ())
POSE = pose_of(LEG, "leg")


def test_a_zone_takes_in_the_skin_between_its_levels_and_no_more():
    zone = zone_across(LEG, "leg", "side", 120.0, 170.0)
    levels = [v for _, v in zone]
    assert (min(levels), max(levels)) == (120.0, 170.0)
    skin = LEG.skin_outline("leg", "side")
    there = skin[(skin[:, 1] > 125) & (skin[:, 1] < 165)]
    assert min(u for u, _ in zone) == pytest.approx(there[:, 0].min() - EDGE_MM, abs=2)
    assert max(u for u, _ in zone) == pytest.approx(there[:, 0].max() + EDGE_MM, abs=2)


def test_the_other_view_has_the_same_levels():
    front = ((-20.0, 100.0), (20.0, 110.0), (0.0, 160.0))
    side = zone_in_other_view(POSE, "leg", front, ())
    assert min(v for _, v in side) == pytest.approx(100.0)
    assert max(v for _, v in side) == pytest.approx(160.0)
    again = zone_in_other_view(POSE, "leg", (), side)
    assert min(v for _, v in again) == pytest.approx(100.0)


def test_what_cannot_be_is_refused_in_words():
    with pytest.raises(GeometryError, match="no zone"):
        zone_across(LEG, "leg", "front", 170.0, 120.0)
    with pytest.raises(GeometryError, match="from the dorsum"):
        zone_across(LEG, "hindfoot", "front", 10.0, 30.0)
    with pytest.raises(GeometryError, match="no tail"):
        zone_across(LEG, "tail", "side", 10.0, 30.0)
    with pytest.raises(GeometryError, match="both views"):
        zone_in_other_view(POSE, "leg", (), ())
