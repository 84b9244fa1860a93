"""Fits of pictures against general libraries, on synthetic clicks with known truth and noise.

scipy.optimize.least_squares (circle, similarity as general least squares) and
scipy.linalg.orthogonal_procrustes; formula of the marker ball: similar triangles of projection,
magnification = size on the detector / true size (textbook knowledge, from memory).
"""

import numpy as np
import pytest
from scipy.linalg import orthogonal_procrustes
from scipy.optimize import least_squares

from fixplan.film.scaling import scale_from_ball
from fixplan.geometry.fits import affine, circle_through, similarity


@pytest.mark.parametrize("seed", range(12))
def test_a_circle_through_noisy_clicks(seed: int) -> None:
    rng = np.random.default_rng(seed)
    centre, radius = rng.uniform(200, 3000, 2), rng.uniform(20, 400)
    turns = rng.uniform(0, 2 * np.pi, rng.integers(4, 15))
    clicks = centre + radius * np.column_stack([np.cos(turns), np.sin(turns)])
    clicks += rng.normal(0, 1.0, clicks.shape)
    found = circle_through(clicks)
    other = least_squares(
        lambda p: np.hypot(*(clicks - p[:2]).T) - p[2], (*centre, radius), xtol=1e-14, ftol=1e-14
    )
    assert (found.x, found.y, found.radius) == pytest.approx(tuple(other.x), rel=1e-5)


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("seed", range(6))
def test_a_similarity_of_matched_points(seed: int, mirrored: bool) -> None:
    rng = np.random.default_rng(seed)
    pixels = rng.uniform(0, 3000, (6, 2))
    scale, turn = rng.uniform(0.05, 0.5), rng.uniform(-np.pi, np.pi)
    rotation = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    flip = np.diag([-1.0 if mirrored else 1.0, 1.0])
    places = scale * pixels @ (rotation @ flip).T + rng.uniform(-200, 200, 2)
    places += rng.normal(0, 1.0, places.shape)
    found = similarity(pixels, places, mirrored=mirrored)
    a, b = pixels @ flip - (pixels @ flip).mean(axis=0), places - places.mean(axis=0)
    other, total = orthogonal_procrustes(a, b)
    assert np.linalg.det(other) == pytest.approx(1.0)
    assert found.mm_per_px == pytest.approx(total / (a**2).sum(), rel=1e-9)
    assert found.matrix[:, :2] / found.mm_per_px == pytest.approx(other.T @ flip, abs=1e-9)
    assert found.is_mirrored == mirrored
    assert found.mm_per_px == pytest.approx(scale, rel=0.01)


def test_an_affine_fit_is_numpys_least_squares() -> None:
    rng = np.random.default_rng(3)
    pixels, places = rng.uniform(0, 1000, (7, 2)), rng.uniform(-50, 50, (7, 2))
    found = affine(pixels, places)
    left = least_squares(
        lambda p: (pixels @ p[:4].reshape(2, 2).T + p[4:] - places).ravel(), np.zeros(6)
    )
    assert found.rms_mm == pytest.approx(np.sqrt(2 * left.cost / 7), rel=1e-6)


def test_magnification_of_a_ball_by_its_distances() -> None:
    """Focus to detector 1150 mm, ball 150 mm before it: magnification 1150 / 1000 = 1.15."""
    spacing, ball = 0.1, 25.0
    radius_px = 0.5 * ball * 1150 / (1150 - 150) / spacing
    turns = np.linspace(0, 2 * np.pi, 9)[:-1]
    clicks = [(900 + radius_px * np.cos(t), 700 + radius_px * np.sin(t)) for t in turns]
    assert scale_from_ball(clicks, ball, spacing).magnification == pytest.approx(1.15)
