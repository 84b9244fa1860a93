"""Scales: from two points, a ball, landmarks, a face; what each says and refuses."""

from math import cos, radians, sin

import numpy as np
import pytest

from fixplan.errors import FilmError
from fixplan.film.scaling import (
    fit_to_face,
    fit_to_landmarks,
    matrix_of,
    scale_from_ball,
    scale_from_points,
    scale_from_spacing,
    scale_words,
    with_scale,
)
from tests.unit.film.conftest import film


def ring(radius: float, count: int = 8) -> list[tuple[float, float]]:
    turns = [radians(360 * n / count) for n in range(count)]
    return [(500 + radius * cos(t), 400 + radius * sin(t)) for t in turns]


def test_two_points() -> None:
    found = scale_from_points((0, 0), (300, 400), 100.0)
    assert found.mm_per_px == pytest.approx(0.2)
    assert found.error_percent == pytest.approx(100 * 2**0.5 / 500)


@pytest.mark.parametrize("mm", [0.0, -5.0])
def test_two_points_need_a_distance(mm: float) -> None:
    with pytest.raises(FilmError, match="above 0"):
        scale_from_points((0, 0), (300, 400), mm)


def test_two_points_need_to_be_apart() -> None:
    with pytest.raises(FilmError, match="lie together"):
        scale_from_points((3, 4), (3, 4), 50.0)


def test_a_ball_with_the_detectors_spacing_tells_magnification() -> None:
    """Size on the detector over true size: 200 px of 0.15 mm are 30 mm, the ball is 25: 1.2."""
    found = scale_from_ball(ring(100.0), 25.0, 0.15)
    assert found.mm_per_px == pytest.approx(0.125)
    assert found.magnification == pytest.approx(1.2)
    assert "magnified 1.20 times" in scale_words(found)


@pytest.mark.parametrize(
    ("clicks", "words"),
    [
        ([(0, 0), (1, 1)], "at least three"),
        ([(0, 0), (10, 10), (20, 20), (35, 35)], "on one line"),
        (ring(3.0), "6 pixels wide"),
    ],
)
def test_clicks_that_tell_no_ball(clicks, words) -> None:
    with pytest.raises(FilmError, match=words):
        scale_from_ball(clicks, 25.0, None)


def test_a_new_scale_keeps_the_pictures_middle() -> None:
    under = film("front", "right")
    middle = np.array([under.width_px / 2, under.height_px / 2, 1.0])
    found = with_scale(under, scale_from_points((0, 0), (100, 0), 40.0))
    assert found @ middle == pytest.approx(matrix_of(under) @ middle)
    assert np.sqrt(np.linalg.det(found[:, :2])) == pytest.approx(0.4)


def test_two_landmarks_place_the_picture() -> None:
    matrix, scale = fit_to_landmarks(
        [(100, 100), (100, 600)], [(10.0, 0.0), (10.0, 100.0)], mirrored=False
    )
    assert matrix @ (100, 350, 1) == pytest.approx((10.0, 50.0))
    assert scale.mm_per_px == pytest.approx(0.2)


def test_landmarks_on_one_spot_are_refused() -> None:
    with pytest.raises(FilmError, match="lie together"):
        fit_to_landmarks([(5, 5), (5, 5)], [(0, 0), (0, 100)], mirrored=False)


def test_a_photograph_needs_three_points_off_a_line() -> None:
    with pytest.raises(FilmError, match="on one line"):
        fit_to_face([(0, 0), (10, 10), (20, 20)], [(0, 0), (1, 1), (2, 2)])
    matrix, scale = fit_to_face([(0, 0), (100, 0), (0, 100)], [(5, 5), (25, 5), (5, 35)])
    assert matrix @ (50, 50, 1) == pytest.approx((15.0, 20.0))
    assert scale.error_percent is None


def test_unequal_spacing_gives_no_single_scale_and_none_is_said_plainly() -> None:
    assert scale_from_spacing((0.1, 0.2), "in the patient") is None
    assert "not assessed" in scale_words(None)
