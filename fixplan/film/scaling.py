"""Scales of a picture, each with its error and what it assumes, and the placings that follow.

A placing maps pixels to (w, z) mm on paper's directions (see case/film_records.py).
"""

from collections.abc import Sequence
from math import hypot, sqrt

import numpy as np
import numpy.typing as npt

from fixplan.case.film_records import Film, FilmScale, PixelPoint, Placing
from fixplan.errors import FilmError, GeometryError
from fixplan.film.dicom import SPACING_WORDS, SpacingKind
from fixplan.film.limits import film_limits
from fixplan.geometry.fits import (
    Fitted,
    affine,
    circle_through,
    scale_of_stretch,
    scaled,
    similarity,
)

Array = npt.NDArray[np.float64]
Places = Sequence[tuple[float, float]]


def matrix_of(film: Film) -> Array:
    """The placing of a picture as a 2 x 3 matrix."""
    return np.array(film.placing, dtype=float).reshape(2, 3)


def placing_of(matrix: Array) -> Placing:
    """A 2 x 3 matrix as it is stored."""
    a, b, c, d, e, f = (float(value) for value in matrix.ravel())
    return (a, b, c, d, e, f)


def scale_from_points(first: PixelPoint, second: PixelPoint, distance_mm: float) -> FilmScale:
    """The scale from two points a known distance apart in the limb's plane.

    Raises:
        FilmError: points that lie together, or a distance not above 0.
    """
    try:
        scale = scale_of_stretch(first, second, distance_mm)
    except GeometryError as problem:
        raise FilmError(str(problem)) from problem
    length = hypot(second[0] - first[0], second[1] - first[1])
    error = 100 * sqrt(2) * film_limits().click_error_px / length
    return FilmScale(
        how="two points",
        mm_per_px=scale,
        error_percent=min(error, 100.0),
        assumes=f"both points lie in the plane of the bone, {distance_mm:g} mm apart",
    )


def scale_from_ball(
    clicks: Sequence[PixelPoint], ball_mm: float, spacing_mm: float | None
) -> FilmScale:
    """The scale in the plane of a marker ball, from clicks on its edge.

    Magnification is the ball's size on the detector over its true size (similar triangles), told
    when the file's own spacing at the detector is known.

    Raises:
        FilmError: clicks that tell no circle, or a ball too small on the picture.
    """
    if not ball_mm > 0:
        raise FilmError(f"A ball of {ball_mm:g} mm gives no scale; type its diameter in mm.")
    try:
        circle = circle_through(np.array(clicks, dtype=float))
    except GeometryError as problem:
        raise FilmError(str(problem)) from problem
    across = 2 * circle.radius
    if across < film_limits().least_ball_px:
        raise FilmError(f"The ball is {across:.0f} pixels wide; zoom in and click it again.")
    off = max(circle.rms_px or 0.0, film_limits().click_error_px)
    return FilmScale(
        how="marker ball",
        mm_per_px=ball_mm / across,
        error_percent=min(100 * off / circle.radius, 100.0),
        magnification=None if spacing_mm is None else across * spacing_mm / ball_mm,
        assumes=f"the {ball_mm:g} mm ball lies as far from the detector as the bone",
    )


def scale_from_spacing(
    spacing_mm: tuple[float, float] | None, kind: SpacingKind
) -> FilmScale | None:
    """The scale that a file's own spacing gives; None where it has none, or unequal ones."""
    if spacing_mm is None:
        return None
    across, down = spacing_mm
    if abs(across - down) > film_limits().spacing_agrees_within * max(across, down):
        return None
    return FilmScale(
        how="spacing in the file", mm_per_px=(across + down) / 2, assumes=SPACING_WORDS[kind]
    )


def with_scale(film: Film, scale: FilmScale) -> Array:
    """The picture's placing at a new scale, its middle left where it is."""
    matrix = matrix_of(film)
    now = sqrt(abs(float(np.linalg.det(matrix[:, :2]))))
    return scaled(matrix, scale.mm_per_px / now, (film.width_px / 2, film.height_px / 2))


def fit_to_landmarks(
    pixels: Sequence[PixelPoint], places_mm: Places, *, mirrored: bool
) -> tuple[Array, FilmScale]:
    """The placing that brings matched landmarks together, and its scale.

    Raises:
        FilmError: fewer than two points, or points that lie together.
    """
    fitted = _tried(pixels, places_mm, mirrored=mirrored)
    spread = _spread(places_mm)
    off = fitted.rms_mm
    if off is None:
        off = sqrt(2) * film_limits().click_error_px * fitted.mm_per_px
    return fitted.matrix, FilmScale(
        how="matched landmarks",
        mm_per_px=fitted.mm_per_px,
        error_percent=min(100 * off / spread, 100.0),
        assumes="the landmarks of the schematic lie where this patient's do",
    )


def fit_to_face(pixels: Sequence[PixelPoint], places_mm: Places) -> tuple[Array, FilmScale]:
    """The placing of a photograph on a face of the limb, from three or more matched points.

    Raises:
        FilmError: fewer than three points, or points on one line.
    """
    try:
        fitted = affine(np.array(pixels, dtype=float), np.array(places_mm, dtype=float))
    except GeometryError as problem:
        raise FilmError(str(problem)) from problem
    return fitted.matrix, FilmScale(
        how="matched points",
        mm_per_px=fitted.mm_per_px,
        error_percent=None
        if fitted.rms_mm is None
        else min(100 * fitted.rms_mm / _spread(places_mm), 100.0),
        assumes="the photograph was taken square to this face, which is drawn flat",
    )


def _tried(pixels: Sequence[PixelPoint], places_mm: Places, *, mirrored: bool) -> Fitted:
    try:
        return similarity(
            np.array(pixels, dtype=float), np.array(places_mm, dtype=float), mirrored=mirrored
        )
    except GeometryError as problem:
        raise FilmError(str(problem)) from problem


def _spread(places_mm: Places) -> float:
    """The largest distance between matched places, mm."""
    points = np.array(places_mm, dtype=float)
    gaps = points[:, None] - points[None]
    return max(float(np.hypot(gaps[..., 0], gaps[..., 1]).max()), 1e-6)


def short_words(scale: FilmScale | None) -> str:
    """The same in a few words, for a picture that is printed."""
    if scale is None:
        return "no scale: millimetres not assessed"
    sure = "" if scale.error_percent is None else f" \u00b1 {scale.error_percent:.1f} %"
    return f"{scale.mm_per_px:.4g} mm a pixel{sure} by {scale.how}"


def is_mirrored(film: Film) -> bool:
    """Whether a picture is shown turned over, left for right."""
    a, b, _, d, e, _ = film.placing
    return a * e - b * d < 0


def scale_words(scale: FilmScale | None) -> str:
    """What is known of a picture's scale, in one sentence."""
    if scale is None:
        return "No scale: it can be traced, but millimetres from it are not assessed."
    sure = "" if scale.error_percent is None else f" ± {scale.error_percent:.1f} %"
    larger = "" if scale.magnification is None else f", magnified {scale.magnification:.2f} times"
    assumed = (
        f"; assumes that {scale.assumes}"
        if scale.how != "spacing in the file"
        else (f"; {scale.assumes}")
    )
    return f"{scale.mm_per_px:.4g} mm a pixel{sure} by {scale.how}{larger}{assumed}."
