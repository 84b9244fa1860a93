"""Closed outlines against shapes whose answers are known."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from fixplan.limb.rings import (
    Extent,
    extent_across,
    gap_to,
    inside,
    is_star,
    middle,
    radii,
    rounded_box,
)

SQUARE = np.array(((-2.0, -1.0), (2.0, -1.0), (2.0, 1.0), (-2.0, 1.0)))


def test_radii_of_a_rectangle() -> None:
    bearings = np.radians((0, 90, 180, 270, np.degrees(np.arctan2(1, 2))))
    assert radii(SQUARE, np.zeros(2), bearings) == pytest.approx((2, 1, 2, 1, np.sqrt(5)))
    assert radii(SQUARE, np.array((1.0, 0.0)), bearings[:4]) == pytest.approx((1, 1, 3, 1))


@given(
    st.lists(st.floats(5, 40), min_size=8, max_size=24),
    st.floats(0, 2 * np.pi, exclude_max=True),
)
def test_radii_against_shapely(reach: list[float], bearing: float) -> None:
    turn = np.arange(len(reach)) * (2 * np.pi / len(reach)) + 0.1
    ring = np.column_stack((np.cos(turn), np.sin(turn))) * np.array(reach)[:, None]
    ray = shapely.LineString([(0, 0), (100 * np.cos(bearing), 100 * np.sin(bearing))])
    expected = shapely.length(ray.intersection(shapely.Polygon(ring)))
    assert radii(ring, np.zeros(2), np.array((bearing,)))[0] == pytest.approx(expected, abs=1e-6)


def test_a_star_sees_all_of_its_outline() -> None:
    notched = np.array(((4.0, -4), (4, 4), (0, 1), (-4, 4), (-4, -4)))
    assert is_star(notched, np.zeros(2))
    assert not is_star(notched, np.array((3.5, 3.0)))
    assert not is_star(notched[::-1], np.zeros(2))


def test_extent_across_and_middle() -> None:
    assert extent_across(SQUARE, 0) == pytest.approx(2)
    assert extent_across(SQUARE, 90) == pytest.approx(4)
    assert extent_across(SQUARE, 45) == pytest.approx(6 / np.sqrt(2))
    assert middle(SQUARE + np.array((3, 5))) == pytest.approx((3, 5))


def test_extent_by_level_of_a_step() -> None:
    step = np.array(((0.0, 0), (4, 0), (4, 2), (2, 2), (2, 6), (0, 6)))
    extent = Extent(step)
    assert extent.at(1) == pytest.approx((0, 4))
    assert extent.at(4) == pytest.approx((0, 2))
    assert extent.at(0) == pytest.approx((0, 4))
    assert extent.at(6) == pytest.approx((0, 2))
    assert extent.at(6.01) is None
    assert extent.at(-0.01) is None


def test_extent_spans_a_notch() -> None:
    fork = np.array(((0.0, 0), (6, 0), (6, 5), (4, 5), (3, 1), (2, 5), (0, 5)))
    assert Extent(fork).at(4) == pytest.approx((0, 6))


def test_inside_and_gap() -> None:
    assert inside(SQUARE, np.array((1.5, 0.5)))
    assert not inside(SQUARE, np.array((2.5, 0.5)))
    assert gap_to(SQUARE, np.array((5.0, 5.0))) == pytest.approx(5)
    assert gap_to(SQUARE, np.array((0.0, 0.25))) == pytest.approx(0.75)


def test_a_rounded_box_fills_its_corners_box() -> None:
    low, high = np.array((-3.0, -1.0)), np.array((5.0, 2.0))
    for power in (2.0, 2.4, 4.0):
        ring = rounded_box(low, high, power)
        assert ring.min(axis=0) == pytest.approx(low)
        assert ring.max(axis=0) == pytest.approx(high)
    assert shapely.area(shapely.Polygon(rounded_box(low, high, 2.0, 400))) == pytest.approx(
        np.pi * 4 * 1.5, rel=1e-3
    )
