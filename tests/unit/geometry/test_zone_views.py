"""A zone in both views, on every segment that it reaches, and the segment that a sweep lies on."""

import numpy as np
import pytest
from shapely import Point, Polygon

from fixplan.geometry.zone_views import segments_covered, zone_in_view
from fixplan.geometry.zones import zone_in_other_view
from fixplan.limb.pictures import reached_by
from fixplan.limb.pose import pose_of
from fixplan.limb.scale import limb_of

LEG = limb_of("leg", "male", 1750.0, None, (), ())
POSE = pose_of(LEG, "leg")
FOREFOOT_FROM_ABOVE = ((46.0, 45.0), (-45.0, 45.0), (-50.0, 140.0), (50.0, 140.0))
"""A sweep round the metatarsals that began over the hindfoot, whose front view is x by y."""


def _holds(rings, segment, view, drawn):
    at = POSE.uv_of(segment, view, np.array([drawn]))[0]
    return any(Polygon(ring).contains(Point(*at)) for ring in rings)


@pytest.mark.parametrize(
    ("segment", "drawn", "is_in"),
    [
        ("hindfoot", (0.0, 40.0), False),
        ("hindfoot", (-20.0, 30.0), False),
        ("forefoot", (0.0, 40.0), True),
        ("leg", (10.0, 300.0), False),
    ],
)
def test_a_zone_swept_from_above_lies_as_far_forward_in_the_side_view(segment, drawn, is_in):
    rings = zone_in_view(POSE, "hindfoot", FOREFOOT_FROM_ABOVE, (), "side")
    assert _holds(rings, segment, "side", drawn) is is_in


def test_a_zone_of_the_side_view_is_shown_on_the_foot_from_above():
    side = ((40.0, -10.0), (70.0, -10.0), (70.0, 60.0), (40.0, 60.0))
    rings = zone_in_view(POSE, "hindfoot", (), side, "front")
    assert _holds(rings, "hindfoot", "front", (0.0, 55.0))
    assert not _holds(rings, "hindfoot", "front", (0.0, 10.0))


def test_the_other_view_of_a_zone_from_above_has_its_place_forward():
    side = zone_in_other_view(POSE, "hindfoot", FOREFOOT_FROM_ABOVE, ())
    assert min(u for u, _ in side) == pytest.approx(45.0, abs=0.01)
    assert max(u for u, _ in side) <= 140.0


def test_a_zone_seen_from_above_reaches_through_the_foot_alone():
    assert reached_by(LEG, "hindfoot", has_side=False) == ("hindfoot", "forefoot")
    assert reached_by(LEG, "hindfoot", has_side=True) == tuple(LEG.segments)


def test_a_sweep_belongs_to_what_most_of_it_covers():
    uv = POSE.uv_of("hindfoot", "front", np.array(FOREFOOT_FROM_ABOVE)).tolist()
    shares = segments_covered(POSE, "front", tuple(map(tuple, uv)), is_line=False)
    assert next(iter(shares)) == "forefoot"
    assert shares["forefoot"] > 0.6
    assert sum(shares.values()) == pytest.approx(1.0)


def test_a_line_belongs_to_the_segment_that_it_runs_along():
    uv = POSE.uv_of("leg", "front", np.array([(0.0, -20.0), (0.0, 200.0)])).tolist()
    shares = segments_covered(POSE, "front", tuple(map(tuple, uv)), is_line=True)
    assert next(iter(shares)) == "leg"
