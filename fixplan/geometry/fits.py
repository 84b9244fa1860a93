"""Fits of a picture to the limb: a scale from two points or a ball, and matched points.

Points are (n, 2) arrays; a placing is the 2 x 3 matrix that takes (x, y, 1) of the picture to
millimetres. Everything here is plane geometry; a similarity is the closed form of Umeyama (1991),
a circle is fitted by its algebraic form and then by Gauss-Newton steps on the distances.
"""

from math import hypot

import msgspec
import numpy as np
import numpy.typing as npt

from fixplan.errors import GeometryError

Array = npt.NDArray[np.float64]
TOO_NEAR = 1e-9
STEPS = 30


class Fitted(msgspec.Struct, frozen=True, eq=False):
    """A placing with what it leaves: root mean square and largest distance, mm; None when exact."""

    matrix: Array
    rms_mm: float | None
    largest_mm: float | None

    @property
    def mm_per_px(self) -> float:
        """Millimetres for each pixel, as the root of how areas grow."""
        return float(np.sqrt(abs(np.linalg.det(self.matrix[:, :2]))))

    @property
    def is_mirrored(self) -> bool:
        """Whether the picture is turned over."""
        return bool(np.linalg.det(self.matrix[:, :2]) < 0)


class Circle(msgspec.Struct, frozen=True):
    """A circle through clicked points, in pixels; `rms_px` is what they leave (None for 3)."""

    x: float
    y: float
    radius: float
    rms_px: float | None


def scale_of_stretch(first: tuple[float, float], second: tuple[float, float], mm: float) -> float:
    """Millimetres for each pixel from two points a known distance apart.

    Raises:
        GeometryError: the points lie together, or the distance is not above 0.
    """
    length = hypot(second[0] - first[0], second[1] - first[1])
    if length <= TOO_NEAR:
        raise GeometryError("The two points lie together; click two points well apart.")
    if not mm > 0:
        raise GeometryError(f"A distance of {mm:g} mm gives no scale; type one above 0 mm.")
    return mm / length


def circle_through(points: Array) -> Circle:
    """The circle with the least squared distances from three or more points.

    Raises:
        GeometryError: fewer than three points, or points on a line.
    """
    points = np.asarray(points, dtype=float)
    if len(points) < 3:
        raise GeometryError(f"{len(points)} points tell no circle; click at least three.")
    middle = points.mean(axis=0)
    spread = float(np.abs(points - middle).max()) or 1.0
    around = (points - middle) / spread
    if np.linalg.svd(around - around.mean(axis=0), compute_uv=False)[-1] < 1e-6:
        raise GeometryError("The points lie on one line; click them all round the ball's edge.")
    x, y, radius = _nearest_circle(around)
    left = np.hypot(around[:, 0] - x, around[:, 1] - y) - radius
    rms = None if len(points) == 3 else float(np.sqrt(np.mean(left**2)) * spread)
    return Circle(
        float(middle[0] + spread * x), float(middle[1] + spread * y), float(spread * radius), rms
    )


def _nearest_circle(points: Array) -> tuple[float, float, float]:
    """Centre and radius by the algebraic fit, then Gauss-Newton on the distances."""
    columns = np.column_stack([2 * points, np.ones(len(points))])
    x, y, rest = np.linalg.lstsq(columns, (points**2).sum(axis=1), rcond=None)[0]
    found: Array = np.array([x, y, np.sqrt(max(rest + x * x + y * y, 0.0))])
    for _ in range(STEPS):
        away = points - found[:2]
        far = np.maximum(np.hypot(away[:, 0], away[:, 1]), TOO_NEAR)
        slopes = np.column_stack([-away / far[:, None], -np.ones(len(points))])
        step = np.linalg.lstsq(slopes, found[2] - far, rcond=None)[0]
        found = found + step
        if float(np.abs(step).max()) < 1e-13:
            break
    return float(found[0]), float(found[1]), float(found[2])


def similarity(pixels: Array, places_mm: Array, *, mirrored: bool = False) -> Fitted:
    """The turn, scale and shift that bring points nearest to their places (Umeyama 1991).

    Args:
        pixels: (n, 2) points of the picture, n at least 2.
        places_mm: (n, 2) places of the same points.
        mirrored: whether the picture is turned over as well.

    Raises:
        GeometryError: too few points, or points that lie together.
    """
    source, target = _pairs(pixels, places_mm, 2)
    if mirrored:
        source = source * (-1.0, 1.0)
    a, b = source - source.mean(axis=0), target - target.mean(axis=0)
    spread = float((a**2).sum())
    if spread <= TOO_NEAR or float((b**2).sum()) <= TOO_NEAR:
        raise GeometryError("The matched points lie together; match points well apart.")
    along = float((a * b).sum()) / spread
    across = float((a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]).sum()) / spread
    turn = np.array([[along, -across], [across, along]])
    if hypot(along, across) <= TOO_NEAR:
        raise GeometryError("The matched points do not fit each other; match them again.")
    shift = target.mean(axis=0) - turn @ source.mean(axis=0)
    if mirrored:
        turn = turn * (-1.0, 1.0)
    return _fitted(np.column_stack([turn, shift]), np.asarray(pixels, float), target, exact=2)


def affine(pixels: Array, places_mm: Array) -> Fitted:
    """The affine placing that brings three or more points nearest to their places.

    Raises:
        GeometryError: too few points, or points on one line.
    """
    source, target = _pairs(pixels, places_mm, 3)
    around = source - source.mean(axis=0)
    sizes = np.linalg.svd(around, compute_uv=False)
    if sizes[-1] < 1e-3 * max(sizes[0], TOO_NEAR):
        raise GeometryError("The matched points lie on one line; match three round the wound.")
    columns = np.column_stack([source, np.ones(len(source))])
    matrix = np.asarray(np.linalg.lstsq(columns, target, rcond=None)[0].T, dtype=float)
    return _fitted(matrix, source, target, exact=3)


def _pairs(pixels: Array, places_mm: Array, least: int) -> tuple[Array, Array]:
    source, target = np.asarray(pixels, dtype=float), np.asarray(places_mm, dtype=float)
    if len(source) != len(target) or len(source) < least:
        raise GeometryError(f"{len(source)} points are matched; match at least {least}.")
    return source, target


def _fitted(matrix: Array, source: Array, target: Array, *, exact: int) -> Fitted:
    if len(source) <= exact:
        return Fitted(matrix, None, None)
    left = source @ matrix[:, :2].T + matrix[:, 2] - target
    far = np.hypot(left[:, 0], left[:, 1])
    return Fitted(matrix, float(np.sqrt((far**2).mean())), float(far.max()))


def turned(matrix: Array, by_deg: float, about_px: tuple[float, float]) -> Array:
    """A placing turned clockwise on paper about a point of the picture, which stays in place."""
    c, s = np.cos(np.radians(by_deg)), np.sin(np.radians(by_deg))
    return _about(np.array([[c, -s], [s, c]]), matrix, about_px)


def scaled(matrix: Array, by: float, about_px: tuple[float, float]) -> Array:
    """A placing made larger about a point of the picture, which stays in place."""
    return _about(by * np.eye(2), matrix, about_px)


def turned_over(matrix: Array, about_px: tuple[float, float]) -> Array:
    """A placing mirrored left to right about a point of the picture, which stays in place."""
    return _about(np.diag([-1.0, 1.0]), matrix, about_px)


def _about(change: Array, matrix: Array, about_px: tuple[float, float]) -> Array:
    fixed = matrix[:, :2] @ np.array(about_px) + matrix[:, 2]
    made: Array = np.empty((2, 3))
    made[:, :2] = change @ matrix[:, :2]
    made[:, 2] = fixed - made[:, :2] @ np.array(about_px)
    return made
