"""Turning a pin until a bar that is laid passes it at a clamp's offset, as in theatre (D15)."""

from collections.abc import Callable
from math import cos, radians, sin

import numpy as np
from msgspec.structs import replace

from fixplan.case.limbs import limb_of_case, pose_of_case
from fixplan.case.records import Case, Pin
from fixplan.errors import EditError
from fixplan.frame.joining import BarPath, bar_paths
from fixplan.frame.pin_lines import pin_line
from fixplan.frame.stock import clamp_for, clamp_part
from fixplan.frame.vectors import Vector, cross, dot, line_meeting, minus, unit, vector
from fixplan.geometry.paths import pin_path

MOST_TURN_DEG = 30
MOST_SHIFT_MM = 15
TURNS_DEG = tuple(sorted(range(-MOST_TURN_DEG, MOST_TURN_DEG + 1), key=abs))
SHIFTS_MM = tuple(sorted(range(-MOST_SHIFT_MM, MOST_SHIFT_MM + 1), key=abs))


def line_up_pin(case: Case, bar_id: str, pin_id: str) -> Pin:
    """The pin turned about its aim at its level until the bar passes it at the clamp's offset.

    Where turning up to 30 degrees does not do, the pin is shifted sideways, up to 15 mm; the search
    span is a convenience, not a limit on the case. Raises EditError where neither does.
    """
    pin = next((one for one in case.pins if one.id == pin_id), None)
    path = bar_paths(case).get(bar_id)
    if pin is None or path is None:
        raise EditError(f"Pin {pin_id} and bar {bar_id} are not both there; choose others.")
    if any(getattr(anchor, "pin", "") == pin_id for anchor in path.bar.anchors):
        raise EditError(
            f"Bar {path.bar.number} hangs on pin {pin.number} itself; move the pin and it follows."
        )
    return lined_up(case, path, pin)


def lined_up(case: Case, path: BarPath, pin: Pin) -> Pin:
    """As `line_up_pin`, for a bar that is laid. Raises EditError where no turn or shift does."""
    missing = _missing(case, path, pin)
    turn = _root(lambda by: missing(pin.bearing_deg + by, pin.offset_mm), TURNS_DEG)
    shift = _root(lambda by: missing(pin.bearing_deg, pin.offset_mm + by), SHIFTS_MM)
    changes = [{"bearing_deg": (pin.bearing_deg + turn) % 360}] if turn is not None else []
    changes += [{"offset_mm": pin.offset_mm + shift}] if shift is not None else []
    for change in changes:
        moved: Pin = replace(pin, **change)
        if _passes_outside(case, path, moved):
            return moved
    raise EditError(
        f"Pin {pin.number} cannot be lined up with bar {path.bar.number} by a turn of "
        f"{MOST_TURN_DEG} degrees or a shift of {MOST_SHIFT_MM} mm; move the bar or use a link bar."
    )


def _passes_outside(case: Case, path: BarPath, pin: Pin) -> bool:
    """Whether the bar passes the pin outside the skin, at an end that it has."""
    line = pin_line(case, pin)
    _, at_mm = line_meeting(path.origin_mm, path.direction, line.aim, line.outward)
    return line.out_mm(at_mm) > 0


def _missing(case: Case, path: BarPath, pin: Pin) -> Callable[[float, float], float]:
    """By how much (mm) the bar misses the offset at a bearing and offset of the pin, with sign."""
    pose, start = pose_of_case(case), pin_path(limb_of_case(case), pin)
    target = start.aim_mm - pin.offset_mm * _sideways(pin.bearing_deg)
    clamp = clamp_part(clamp_for("pin", pin.diameter_mm, path.bar.diameter_mm), "pin")
    wanted = clamp.offset_mm * path.bar.lay

    def missing(bearing_deg: float, offset_mm: float) -> float:
        aim = target + offset_mm * _sideways(bearing_deg)
        ends = pose.to_limb(
            start.segment, np.array([aim, aim + _outward(bearing_deg, pin.tilt_deg)])
        )
        aim_mm = vector(ends[0])
        way = minus(vector(ends[1]), aim_mm)
        if pin.kind == "through":
            way = _facing(way, path, aim_mm)
        return dot(minus(path.origin_mm, aim_mm), unit(cross(way, path.direction))) - wanted

    return missing


def _facing(way: Vector, path: BarPath, aim: Vector) -> Vector:
    """The pin's direction towards the end at which the bar passes it."""
    towards = dot(minus(path.origin_mm, aim), way) - dot(path.direction, way) * dot(
        minus(path.origin_mm, aim), path.direction
    )
    return way if towards >= 0 else (-way[0], -way[1], -way[2])


def _sideways(bearing_deg: float) -> "np.ndarray[tuple[int], np.dtype[np.float64]]":
    turn = radians(bearing_deg)
    return np.array((-sin(turn), cos(turn), 0.0))


def _outward(bearing_deg: float, tilt_deg: float) -> "np.ndarray[tuple[int], np.dtype[np.float64]]":
    turn, tilt = radians(bearing_deg), radians(tilt_deg)
    return np.array((cos(tilt) * cos(turn), cos(tilt) * sin(turn), -sin(tilt)))


def _root(missing: Callable[[float], float], steps: tuple[int, ...]) -> float | None:
    """Smallest change at which nothing is missing: a change of sign between steps, then halving."""
    values = {step: missing(step) for step in steps}
    for low in steps:
        high = low + 1
        if high in values and values[low] * values[high] <= 0:
            return _halved(missing, low, high)
    return None


def _halved(missing: Callable[[float], float], low: float, high: float) -> float:
    at_low = missing(low)
    for _ in range(50):
        middle = (low + high) / 2
        at_middle = missing(middle)
        if at_low * at_middle <= 0:
            high = middle
        else:
            low, at_low = middle, at_middle
    return (low + high) / 2
