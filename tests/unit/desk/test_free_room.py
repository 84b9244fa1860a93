"""A box on the screen lies where it covers least."""

import numpy as np
import pytest

from fixplan.desk.free_room import CELL_PX, least_covering

AREA = (600, 300)


def boxes(*rows):
    return np.array(rows, dtype=float).reshape(-1, 5)


def test_on_an_empty_sheet_it_lies_at_the_lower_left():
    spot = least_covering(boxes(), AREA, (120, 48))
    assert (spot.x, spot.covered) == (0, 0)
    assert spot.y + 48 == pytest.approx(AREA[1], abs=CELL_PX)


def test_it_finds_the_one_gap_that_is_large_enough():
    taken = boxes((0, 0, 600, 100, 1), (0, 180, 600, 300, 1), (0, 100, 300, 180, 1))
    spot = least_covering(taken, AREA, (240, 60))
    assert spot.covered == 0
    assert spot.x >= 300
    assert 100 <= spot.y <= 120


def test_without_a_gap_it_covers_what_weighs_least():
    spot = least_covering(boxes((0, 0, 600, 300, 3), (0, 0, 600, 190, 5)), AREA, (120, 60))
    assert spot.y >= 190
    assert spot.covered == 3 * (120 // CELL_PX) * (60 // CELL_PX)


def test_it_may_be_larger_than_the_area():
    assert least_covering(boxes(), (50, 20), (400, 90))[:2] == (0, 0)
