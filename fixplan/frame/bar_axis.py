"""Where a straight bar runs when two anchors hold it one clamp offset beside them (D15).

Pure vector geometry in millimetres; source: none, definition only.
"""

from typing import NamedTuple

from fixplan.errors import EditError
from fixplan.frame.vectors import Vector, across, along, cross, dot, minus, size, times, unit

ROUNDS = 100
SETTLED_MM = 1e-9
PARALLEL = 0.05


class Hold(NamedTuple):
    """An anchor: a point on a pin or another bar, that part's direction, the way out of the limb.

    On a pin `direction` and `outward` are the same.
    """

    point: Vector
    direction: Vector
    outward: Vector
    on_bar: bool


def bar_axis(first: Hold, second: Hold, lay: int, offset_mm: float) -> tuple[Vector, Vector]:
    """Two points of the bar's axis, each one offset (mm) from its anchor and square to the bar.

    On a pin the bar lies on the side outward x bar direction for lay +1, on the other for -1; on a
    bar it lies outside (+1) or inside (-1) of it. Raises EditError where no such bar exists.
    """
    start, end = first.point, second.point
    for _ in range(ROUNDS):
        span = minus(end, start)
        if size(span) < offset_mm:
            raise EditError("its two anchors lie too close together; move one of them.")
        run = unit(span)
        new_start = along(first.point, _beside(first, run, lay), offset_mm)
        new_end = along(second.point, _beside(second, run, lay), offset_mm)
        moved = max(size(minus(new_start, start)), size(minus(new_end, end)))
        start, end = new_start, new_end
        if moved < SETTLED_MM:
            return start, end
    raise EditError("no straight bar passes both anchors; move one of them.")


def _beside(hold: Hold, run: Vector, lay: int) -> Vector:
    if hold.on_bar:
        return times(_over(hold, run), lay)
    side = cross(hold.direction, run)
    if size(side) < PARALLEL:
        raise EditError("it would run along the pin that holds it; choose another anchor.")
    return times(unit(side), lay)


def _over(hold: Hold, run: Vector) -> Vector:
    """Out of the limb and square to the bar; where two bars cross steeply, square to both."""
    both = cross(hold.direction, run)
    steepness = dot(both, both)
    stacked = times(both, dot(hold.outward, both) / steepness) if steepness > 0 else (0.0, 0.0, 0.0)
    out = across(hold.outward, run)
    mixed = tuple(steepness * s + (1 - steepness) * o for s, o in zip(stacked, out, strict=True))
    way = (mixed[0], mixed[1], mixed[2])
    if size(way) < PARALLEL:
        way = both if steepness > PARALLEL else across((1.0, 0.0, 0.0), run)
    return unit(way)
