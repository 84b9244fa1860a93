"""Lengths that rules ask for: the hole in the bone, pins apart, a pin from a fracture."""

from fixplan.case.records import Fracture, Pin
from fixplan.case.scalars import Band
from fixplan.geometry.corridors import hole_levels
from fixplan.geometry.lines import closest_points
from fixplan.geometry.paths import PinPath
from fixplan.limb.anatomy import Limb


def hole_ratio(limb: Limb, pin: Pin) -> float | None:
    """Pin diameter over the bone's width across the pin's axis at its level (D16).

    None where the bone is not there at that level, and in a plate: what a hole costs was measured
    in tubes.
    """
    if limb.bones[pin.bone].is_plate or limb.section(pin.bone, pin.level_mm) is None:
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


def pin_spacing_mm(first: PinPath, second: PinPath) -> float | None:
    """Least distance between two pins' axes inside the bone, mm; None in different segments."""
    if first.segment != second.segment:
        return None
    ends = [path.point(at) for path in (first, second) for at in _in_bone(path)]
    return closest_points(ends[0], ends[1], ends[2], ends[3])[0]


def _hole_or_aim(path: PinPath) -> Band:
    hole = hole_levels(path)
    level = float(path.aim_mm[2])
    return hole if hole is not None else (level - path.radius_mm, level + path.radius_mm)


def _in_bone(path: PinPath) -> tuple[float, float]:
    return path.bone_stretch_mm or (0.0, 0.0)
