"""Sweeps of the hand become sound outlines."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fixplan.errors import GeometryError
from fixplan.geometry.strokes import swept_line, swept_outline, zone_outline
from fixplan.geometry.validity import polygon_problem

CIRCLE = [(40 * math.cos(a / 50), 200 + 40 * math.sin(a / 50)) for a in range(300)]


def area(ring):
    """The shoelace formula."""
    pairs = zip(ring, (*ring[1:], ring[0]), strict=True)
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)) / 2


def test_a_circle_keeps_its_area_with_far_fewer_points():
    ring = swept_outline(CIRCLE, 1.0)
    assert len(ring) < 30
    assert area(ring) == pytest.approx(math.pi * 40**2, rel=0.03)
    assert polygon_problem(ring) is None


def test_a_sweep_that_crosses_itself_at_its_end_keeps_the_large_piece():
    tail = [(40.0, 195.0), (60.0, 190.0), (60.0, 205.0), (35.0, 203.0)]
    ring = swept_outline([*CIRCLE, *tail], 1.0)
    assert polygon_problem(ring) is None
    assert area(ring) == pytest.approx(math.pi * 40**2, rel=0.1)


@pytest.mark.parametrize("points", [[], [(0.0, 0.0)], [(0.0, 0.0), (5.0, 5.0), (9.0, 9.0)]])
def test_a_sweep_round_nothing_is_refused(points):
    with pytest.raises(GeometryError, match="round nothing"):
        swept_outline(points, 1.0)


@given(st.lists(st.tuples(st.floats(-90, 90), st.floats(0, 400)), min_size=3, max_size=40))
def test_whatever_is_swept_is_a_sound_outline_or_refused(points):
    try:
        ring = swept_outline(points, 1.0)
    except GeometryError:
        return
    assert polygon_problem(ring) is None


def test_a_line_keeps_its_ends():
    line = swept_line([(0.0, 0.0), (0.2, 10.0), (0.0, 20.0), (15.0, 40.0)], 1.0)
    assert line == ((0.0, 0.0), (0.0, 20.0), (15.0, 40.0))
    with pytest.raises(GeometryError, match="no length"):
        swept_line([(0.0, 0.0)], 1.0)


def test_a_zone_is_the_silhouette_between_two_levels():
    box = ((-30.0, 0.0), (30.0, 0.0), (30.0, 400.0), (-30.0, 400.0))
    zone = zone_outline(box, 100.0, 150.0, 4.0)
    assert {v for _, v in zone} == {100.0, 150.0}
    assert {u for u, _ in zone} == {-34.0, 34.0}
    with pytest.raises(GeometryError, match="not drawn"):
        zone_outline(box, 500.0, 600.0, 4.0)
