import numpy as np
import pytest

from fixplan.geometry.lines import closest_points, crossings

SQUARE = np.array([(-10.0, -10.0), (10.0, -10.0), (10.0, 10.0), (-10.0, 10.0)])


def test_a_line_through_a_square_crosses_both_sides():
    found = crossings(SQUARE, np.array((3.0, 0.0)), np.array((1.0, 0.0)))
    assert found == pytest.approx([-13, 7])


def test_a_line_through_a_corner_point_is_counted_once():
    diagonal = np.array((1.0, 1.0)) / np.sqrt(2)
    assert crossings(SQUARE, np.zeros(2), diagonal) == pytest.approx([-(200**0.5), 200**0.5])


def test_a_line_past_the_square_has_no_crossing():
    assert len(crossings(SQUARE, np.array((0.0, 11.0)), np.array((1.0, 0.0)))) == 0


def test_a_notch_gives_four_crossings():
    notched = np.array([(0.0, 0), (9, 0), (9, 9), (6, 9), (6, 3), (3, 3), (3, 9), (0, 9)])
    found = crossings(notched, np.array((0.0, 6.0)), np.array((1.0, 0.0)))
    assert found == pytest.approx([0, 3, 6, 9])


def test_skew_stretches_meet_at_right_angles():
    points = [np.array(p, dtype=float) for p in ((-5, 0, 0), (5, 0, 0), (0, -5, 4), (0, 5, 4))]
    distance, on_first, on_second = closest_points(*points)
    assert distance == pytest.approx(4)
    assert on_first == pytest.approx([0, 0, 0])
    assert on_second == pytest.approx([0, 0, 4])


def test_parallel_stretches_that_do_not_overlap_meet_at_their_ends():
    points = [np.array(p, dtype=float) for p in ((0, 0, 0), (10, 0, 0), (13, 4, 0), (20, 4, 0))]
    assert closest_points(*points)[0] == pytest.approx(5)


def test_two_points_are_stretches_too():
    a, b = np.array((0.0, 0, 0)), np.array((0.0, 3, 4))
    assert closest_points(a, a, b, b)[0] == pytest.approx(5)
