"""Lengths that rules ask for: holes, spacing, distances to fractures, joint lines and skin."""

import math
from typing import TYPE_CHECKING, Literal

import msgspec
import numpy as np
import shapely
from numpy.typing import NDArray

from fixplan.case.records import Band, Fracture
from fixplan.geometry.corridors import hole_levels
from fixplan.geometry.lines import closest_points
from fixplan.geometry.paths import PinPath

if TYPE_CHECKING:
    from fixplan.case.records import Pin
    from fixplan.limb.anatomy import Limb
    from fixplan.limb.pose import Pose

Array = NDArray[np.float64]
Half = Literal["anterior", "posterior", "lateral", "medial"]

_HALVES: dict[Half, tuple[int, int]] = {
    "anterior": (1, 1),
    "posterior": (1, -1),
    "lateral": (0, 1),
    "medial": (0, -1),
}
_BAR_STEP_MM = 10.0


class Meeting(msgspec.Struct, frozen=True, eq=False):
    """Shortest distance between two straight stretches, and the point on each (3,), mm."""

    distance_mm: float
    on_first_mm: Array
    on_second_mm: Array


def hole_ratio(limb: "Limb", pin: "Pin") -> float | None:
    """Pin diameter over the bone's width across the pin's axis at its level (D16).

    None where the bone is not there at that level.
    """
    if limb.section(pin.bone, pin.level_mm) is None:
        return None
    width_mm = float(limb.width_mm(pin.bone, pin.level_mm, pin.bearing_deg))
    return pin.diameter_mm / width_mm


def pin_to_fracture_mm(path: PinPath, fracture: Fracture) -> float:
    """Gap along the bone from the pin's surface to the fracture's edge, mm.

    Negative inside the fracture: how deep the pin's surface reaches past the nearer edge. A pin
    that misses its bone is measured at its aim. Both must be in the same bone.
    """
    low, high = _hole_or_aim(path)
    return max(fracture.from_mm - high, low - fracture.to_mm)


def pin_to_line_mm(path: PinPath, line_mm: float, *, distal: bool) -> float:
    """Gap along the bone from a joint line to the pin's nearest surface, mm.

    `distal` True: the pin's place is on the far side of the line from the body, as below a plateau;
    False: proximal to it, as above a plafond. Negative when the pin reaches across the line.
    """
    low, high = _hole_or_aim(path)
    return low - line_mm if distal else line_mm - high


def half_levels_mm(path: PinPath, half: Half) -> Band | None:
    """Levels of the pin's hole over that part of its way in bone that runs in one half of it.

    The halves meet at the bone's target at the pin's level. None when the pin has no bone there.
    """
    stretch = path.bone_stretch_mm
    part = _part_in_half(path, half, stretch) if stretch is not None else None
    if part is None:
        return None
    levels = [path.level_at(at) for at in part]
    radius = path.radius_mm / path.line.cos_tilt
    return min(levels) - radius, max(levels) + radius


def half_mm(path: PinPath, half: Half) -> float:
    """Length of the pin's axis in one half of its bone, mm."""
    stretch = path.bone_stretch_mm
    part = _part_in_half(path, half, stretch) if stretch is not None else None
    return 0.0 if part is None else part[0] - part[1]


def pin_spacing_mm(first: PinPath, second: PinPath) -> float | None:
    """Least distance between two pins' axes inside the bone, mm; None in different segments."""
    if first.segment != second.segment:
        return None
    ends = [path.point(at) for path in (first, second) for at in _in_bone(path)]
    return closest_points(ends[0], ends[1], ends[2], ends[3])[0]


def axes_meeting(start_a: Array, end_a: Array, start_b: Array, end_b: Array) -> Meeting:
    """Axis to axis of two straight pieces, such as pins and bars, in one frame."""
    return Meeting(*closest_points(start_a, end_a, start_b, end_b))


def bar_to_skin_mm(
    limb: "Limb", pose: "Pose", start_mm: Array, end_mm: Array, radius_mm: float
) -> float | None:
    """Least gap from a bar's surface to any segment's skin, measured level by level, mm.

    Ends are in the posed limb's frame. Negative when the bar runs inside the skin; None when no
    skin is known beside the bar.
    """
    steps = max(math.ceil(float(np.linalg.norm(end_mm - start_mm)) / _BAR_STEP_MM), 1)
    share = np.linspace(0.0, 1.0, steps + 1)[:, None]
    points = start_mm + share * (end_mm - start_mm)
    gaps = [
        gap
        for segment in limb.segments
        for point in pose.from_limb(segment, points)
        if (gap := _skin_gap_mm(limb, segment, point)) is not None
    ]
    return min(gaps) - radius_mm if gaps else None


def _skin_gap_mm(limb: "Limb", segment: str, point: Array) -> float | None:
    """Gap from a point to the skin's ring at its level; negative inside."""
    ring = limb.skin(segment, float(point[2]))
    if ring is None:
        return None
    skin, at = shapely.Polygon(ring), shapely.Point(float(point[0]), float(point[1]))
    gap = float(shapely.distance(skin.exterior, at))
    return -gap if skin.contains(at) else gap


def _hole_or_aim(path: PinPath) -> Band:
    hole = hole_levels(path)
    level = float(path.aim_mm[2])
    return hole if hole is not None else (level - path.radius_mm, level + path.radius_mm)


def _in_bone(path: PinPath) -> tuple[float, float]:
    return path.bone_stretch_mm or (0.0, 0.0)


def _part_in_half(
    path: PinPath, half: Half, stretch: tuple[float, float]
) -> tuple[float, float] | None:
    """The outer and inner end of the stretch that lies on one side of the bone's middle."""
    axis, sign = _HALVES[half]
    slope = sign * float(path.outward[axis])
    start = sign * float(path.aim_mm[axis] - path.target_mm[axis])
    outer, inner = stretch
    if abs(slope) < 1e-9:
        return stretch if start > 0 else None
    turn = -start / slope
    outer, inner = (outer, max(inner, turn)) if slope > 0 else (min(outer, turn), inner)
    return (outer, inner) if outer > inner else None
