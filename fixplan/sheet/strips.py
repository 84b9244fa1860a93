"""Thin bodies on the page: a rod of some width from one point to another, whole or in part."""

from math import hypot

from fixplan.sheet.shapes import Point


def unit_vector(a: Point, b: Point) -> Point:
    """Direction from a to b; straight right where the two are one point."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = hypot(dx, dy)
    return (dx / length, dy / length) if length > 1e-9 else (1.0, 0.0)


def rod(a: Point, b: Point, width_mm: float) -> tuple[Point, ...]:
    """The four corners of a rod of that width on paper."""
    ux, uy = unit_vector(a, b)
    nx, ny = -0.5 * width_mm * uy, 0.5 * width_mm * ux
    return (
        (a[0] + nx, a[1] + ny),
        (b[0] + nx, b[1] + ny),
        (b[0] - nx, b[1] - ny),
        (a[0] - nx, a[1] - ny),
    )


def distance(a: Point, b: Point) -> float:
    """Distance between two page points, mm."""
    return hypot(b[0] - a[0], b[1] - a[1])


def along(a: Point, b: Point, mm: float) -> Point:
    """The point some mm from a towards b."""
    ux, uy = unit_vector(a, b)
    return (a[0] + mm * ux, a[1] + mm * uy)


def block(centre: Point, towards: Point, length_mm: float, width_mm: float) -> tuple[Point, ...]:
    """A block round a point with cut corners, its length along a direction vector."""
    ux, uy = towards
    half, side, cut = 0.5 * length_mm, 0.5 * width_mm, 0.22 * min(length_mm, width_mm)
    corners = (
        (half - cut, side),
        (half, side - cut),
        (half, cut - side),
        (half - cut, -side),
        (cut - half, -side),
        (-half, cut - side),
        (-half, side - cut),
        (cut - half, side),
    )
    return tuple((centre[0] + a * ux - b * uy, centre[1] + a * uy + b * ux) for a, b in corners)
