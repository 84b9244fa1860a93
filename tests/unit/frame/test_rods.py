"""Many rods at once against two at a time, and by hand."""

import numpy as np
import pytest

from fixplan.frame.rods import overlaps_mm
from fixplan.frame.vectors import stretch_gap

ALONG = ((0.0, 0.0, 0.0), (100.0, 0.0, 0.0), 5.0)


@pytest.mark.parametrize(
    ("other", "deep"),
    [
        (((50.0, -20.0, 3.0), (50.0, 20.0, 3.0), 2.0), 4.0),
        (((0.0, 8.0, 0.0), (100.0, 8.0, 0.0), 5.0), 2.0),
        (((110.0, 0.0, 0.0), (150.0, 0.0, 0.0), 5.0), 0.0),
        (((50.0, 30.0, 0.0), (50.0, 80.0, 0.0), 5.0), -20.0),
        (((20.0, 3.0, 4.0), (20.0, 3.0, 4.0), 1.0), 1.0),
    ],
)
def test_by_hand(other, deep):
    assert overlaps_mm((ALONG,), (other,))[0, 0] == pytest.approx(deep)


def test_nothing_against_something_is_an_empty_table():
    assert overlaps_mm((), (ALONG,)).shape == (0, 1)


def test_all_pairs_agree_with_one_at_a_time():
    drawn = np.random.default_rng(5).uniform(-60, 60, size=(30, 6))
    rods = [(tuple(row[:3].tolist()), tuple(row[3:].tolist()), 5.5) for row in drawn]
    table = overlaps_mm(rods[:12], rods[12:])
    for i, one in enumerate(rods[:12]):
        for j, other in enumerate(rods[12:]):
            alone = 11.0 - stretch_gap(one[0], one[1], other[0], other[1])
            assert table[i, j] == pytest.approx(alone, abs=1e-9)
