"""Overlap measures against a raster: areas by numpy, distances by scipy's exact transform.

Grid 0.25 mm. Areas agree to the raster's edge (half a cell along both outlines), distances to one
cell's diagonal and half of `overlap.STEP_MM`.
"""

import math

import numpy as np
import pytest
from scipy.ndimage import distance_transform_edt

from fixplan.errors import GeometryError
from fixplan.geometry.overlap import STEP_MM, band, overlap

CELL_MM = 0.25


def star(rng, centre, size):
    """A star-shaped outline: never crosses itself."""
    count = int(rng.integers(5, 14))
    bearings = np.sort(rng.uniform(0, 2 * math.pi, count))
    bearings += np.arange(count) * 1e-3
    radii = size * rng.uniform(0.5, 1.3, count)
    points = centre + np.stack([radii * np.cos(bearings), radii * np.sin(bearings)], axis=1)
    return [tuple(map(float, point)) for point in points]


def rastered(outline, box):
    """Cells whose middle lies inside, by counting crossed edges."""
    xs = np.arange(box[0], box[1], CELL_MM) + CELL_MM / 2
    x, y = np.meshgrid(xs, xs)
    inside = np.zeros(x.shape, dtype=bool)
    for (x0, y0), (x1, y1) in zip(outline, outline[1:] + outline[:1], strict=True):
        crosses = (y0 > y) != (y1 > y)
        with np.errstate(divide="ignore", invalid="ignore"):
            inside ^= crosses & (x < (x1 - x0) * (y - y0) / (y1 - y0) + x0)
    return inside


def round_mm(outline):
    return sum(math.dist(a, b) for a, b in zip(outline, outline[1:] + outline[:1], strict=True))


@pytest.mark.parametrize("seed", range(25))
def test_overlap_is_that_of_a_raster(seed):
    rng = np.random.default_rng(seed)
    drawn = star(rng, np.zeros(2), 20.0)
    true = star(rng, rng.uniform(-15, 15, 2), 20.0)
    found = overlap([drawn], [true])
    one, other = rastered(drawn, (-60, 60)), rastered(true, (-60, 60))
    cell = CELL_MM**2
    edge = CELL_MM * (round_mm(drawn) + round_mm(true)) / 2
    assert found.missed_mm2 == pytest.approx((other & ~one).sum() * cell, abs=edge)
    assert found.extra_mm2 == pytest.approx((one & ~other).sum() * cell, abs=edge)
    union = (one | other).sum() * cell
    assert found.share == pytest.approx((one & other).sum() * cell / union, abs=2 * edge / union)
    far = max(
        distance_transform_edt(~b, sampling=CELL_MM)[a].max()
        for a, b in ((one, other), (other, one))
    )
    assert found.largest_mm == pytest.approx(far, abs=2 * CELL_MM * math.sqrt(2) + STEP_MM / 2)


def test_two_squares_by_hand():
    """Squares of side 10, shifted by 5: shared 50 of 150, 5 mm at worst."""
    square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]
    shifted = [(x + 5, y) for x, y in square]
    found = overlap([shifted], [square])
    assert found.share == pytest.approx(1 / 3)
    assert (found.missed_mm2, found.extra_mm2) == pytest.approx((50, 50))
    assert found.largest_mm == pytest.approx(5)


def test_the_same_outline_overlaps_whole():
    square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]
    assert overlap([square], [square[::-1]]).share == pytest.approx(1)
    assert overlap([square], [square]).largest_mm == 0


def test_regions_apart_share_nothing():
    square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]
    far = [(x + 30, y) for x, y in square]
    found = overlap([far], [square])
    assert found.share == 0
    assert found.largest_mm == pytest.approx(30)


def test_a_line_becomes_a_band():
    assert overlap(
        [band([(0.0, 0.0), (0.0, 40.0)], 5.0)], [[(-5, 0), (5, 0), (5, 40), (-5, 40)]]
    ).share == (pytest.approx(1))


def test_nothing_drawn_and_a_crossing_outline_are_refused():
    square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]
    with pytest.raises(GeometryError):
        overlap([], [square])
    with pytest.raises(GeometryError):
        overlap([[(0, 0), (10, 10), (10, 0), (0, 10)]], [square])
    with pytest.raises(GeometryError):
        band([(1.0, 1.0), (1.0, 1.0)], 3.0)
