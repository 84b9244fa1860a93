"""Small vectors against numpy."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fixplan.frame.vectors import (
    across,
    along,
    cross,
    dot,
    line_meeting,
    minus,
    size,
    stretch_gap,
    unit,
)

coordinate = st.floats(-500, 500)
vectors = st.tuples(coordinate, coordinate, coordinate)


@given(vectors, vectors)
def test_products_agree_with_numpy(a, b) -> None:
    assert dot(a, b) == pytest.approx(float(np.dot(a, b)), abs=1e-6)
    assert cross(a, b) == pytest.approx(tuple(np.cross(a, b)), abs=1e-6)


def test_a_zero_vector_has_no_direction_and_stays_zero() -> None:
    assert unit((0.0, 0.0, 0.0)) == (0.0, 0.0, 0.0)


def test_across_leaves_nothing_along() -> None:
    way = unit((1.0, 2.0, 2.0))
    assert dot(across((5.0, -3.0, 8.0), way), way) == pytest.approx(0.0, abs=1e-12)


def test_skew_lines_meet_at_their_common_perpendicular() -> None:
    s, t = line_meeting((0, 0, 0), (1, 0, 0), (30, 12, -7), (0, 0, 1))
    assert (s, t) == pytest.approx((30, 7))


def test_parallel_lines_meet_beside_the_second_point() -> None:
    s, t = line_meeting((0, 0, 0), (0, 0, 1), (5, 0, 40), (0, 0, 1))
    assert (s, t) == pytest.approx((40, 0))


@given(vectors, vectors, vectors, vectors)
def test_stretch_gap_is_never_over_a_sampled_gap(p, p_end, q, q_end) -> None:
    shares = np.linspace(0, 1, 21)
    a = np.array(p) + shares[:, None] * (np.array(p_end) - np.array(p))
    b = np.array(q) + shares[:, None] * (np.array(q_end) - np.array(q))
    sampled = np.linalg.norm(a[:, None] - b[None, :], axis=2).min()
    gap = stretch_gap(p, p_end, q, q_end)
    longest = max(size(minus(p_end, p)), size(minus(q_end, q)))
    assert sampled - longest / 20 - 1e-6 <= gap <= sampled + 1e-6


def test_crossing_stretches_have_the_gap_of_their_lines() -> None:
    assert stretch_gap((-10, 0, 0), (10, 0, 0), (0, 3, -5), (0, 3, 5)) == pytest.approx(3)
    assert along((1, 1, 1), (0, 0, 1), 4) == (1, 1, 5)
