import math

import pytest

from fixplan.errors import GeometryError
from fixplan.geometry.validity import checked_polygon, polygon_problem

SQUARE = [(0, 0), (10, 0), (10, 10), (0, 10)]


def test_a_square_has_no_problem_either_way_round():
    assert polygon_problem(SQUARE) is None
    assert polygon_problem(SQUARE[::-1]) is None


def test_area_of_a_checked_polygon_is_that_of_arithmetic():
    assert checked_polygon(SQUARE).area == pytest.approx(100)


@pytest.mark.parametrize("count", [0, 1, 2])
def test_fewer_than_three_points_is_said_with_their_number(count):
    assert f"has {count} of at least 3 points" in polygon_problem(SQUARE[:count])


def test_a_crossing_is_told_with_its_place():
    bow_tie = [(0, 0), (10, 10), (10, 0), (0, 10)]
    assert "crosses or touches itself at (5.0, 5.0) mm" in polygon_problem(bow_tie)


def test_an_edge_that_runs_back_over_another_is_a_problem():
    spike = [(0, 0), (10, 0), (10, 10), (10, -5), (0, -5)]
    assert "crosses or touches itself" in polygon_problem(spike)


def test_points_on_one_line_have_no_area():
    assert "no area" in polygon_problem([(0, 0), (5, 5), (20, 20)])


def test_a_point_drawn_over_again_is_named():
    problem = polygon_problem([(0, 0), (10, 0), (20, 5), (10, 0), (0, 10)])
    assert "Points 2 and 4" in problem
    assert "(10.0, 0.0)" in problem


def test_a_point_that_repeats_the_one_before_it_draws_nothing():
    doubled = [(0, 0), (0, 0), (10, 0), (10, 10), (10, 10), (0, 10), (0, 0)]
    assert polygon_problem(doubled) is None
    assert checked_polygon(doubled).area == pytest.approx(100)
    assert "has 2 of at least 3 points" in polygon_problem([(0, 0), (0, 0), (9, 9)])
    assert "has 1 of at least 3 points" in polygon_problem([(0, 0), (0, 0), (0, 0)])


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
def test_a_coordinate_that_is_no_number_is_told(bad):
    assert "Point 2" in polygon_problem([(0, 0), (bad, 0), (5, 5)])


def test_a_checked_polygon_is_never_repaired():
    with pytest.raises(GeometryError, match="crosses or touches itself"):
        checked_polygon([(0, 0), (10, 10), (10, 0), (0, 10)])


@pytest.mark.parametrize(
    "points", [SQUARE[:2], [(0, 0), (10, 10), (10, 0), (0, 10)], [(0, 0), (1, 1), (2, 2)]]
)
def test_every_problem_is_one_sentence(points):
    problem = polygon_problem(points)
    assert problem.endswith(".")
    assert "\n" not in problem
