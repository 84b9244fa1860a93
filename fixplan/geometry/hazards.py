"""What a pin could meet at its level, at the limb's size: tracks as discs, and outlines.

Other bones, joint cavities and hazards that were authored as an outline are obstacles; nerves,
vessels and tendons that were authored as discs are tracks, looked up at the pin's level and off it.
"""

import math
from collections.abc import Collection
from functools import lru_cache
from typing import TYPE_CHECKING

import msgspec
import numpy as np
from numpy.typing import NDArray

from fixplan.geometry.clear_directions import Obstacle
from fixplan.geometry.clear_discs import Discs
from fixplan.geometry.clear_surface import polar
from fixplan.geometry.hazard_tracks import (
    Gap,
    Stretches,
    authored_levels_mm,
    gap_at,
    greatest_radius_mm,
    stretches_about,
)
from fixplan.limb.authored import Hazard

if TYPE_CHECKING:
    from fixplan.limb.anatomy import Limb

Array = NDArray[np.float64]
Indices = NDArray[np.intp]

OFF_LEVEL_STEP_MM = 2.0
"""Step by which a track is looked up above and below a pin's level."""
ASIDE_PER_LEVEL = 1.0
"""A track that runs further aside than this for each mm of level is looked up in finer steps."""
MOST_FINER = 8.0
_SAME_LEVEL_MM = 1e-6


class PinPlane(msgspec.Struct, frozen=True, eq=False):
    """The plane of an untilted pin: its group of sections, level, target, radius and gaps in mm."""

    group: str
    level_mm: float
    target: Array
    radius_mm: float
    gap_mm: float
    far_gap_mm: float | None = None


def discs_at(
    limb: "Limb",
    pin: PinPlane,
    grades: tuple[str, ...] = ("critical",),
) -> Discs:
    """Tracks as discs about a pin's target, at its level and every 2 mm or less above and below.

    A track is looked up as far off the level as it could still come too near an untilted pin, so
    that nerves that run obliquely count. Only structures of the given grades.
    """
    most = pin.radius_mm + pin.gap_mm + greatest_radius_mm(limb, pin.group)
    near = stretches_about(limb, pin.group, (pin.level_mm - most, pin.level_mm + most), grades)
    step_mm = _step_mm(near, pin.level_mm, most)
    steps = math.floor(most / step_mm)
    off: Array = np.arange(-steps, steps + 1, dtype=np.float64) * step_mm
    levels: Array = np.asarray(pin.level_mm + off, dtype=np.float64)
    index, column = np.nonzero((near.start[:, 2:] <= levels) & (levels <= near.end[:, 2:]))
    points, radius = _looked_up(near, index, levels[column])
    away = off[column]
    counts = np.abs(away) < pin.radius_mm + radius + pin.gap_mm
    index, radius, away = index[counts], radius[counts], away[counts]
    distance, bearing = polar(points[counts, :2] - pin.target)
    far_gap_mm = pin.gap_mm if pin.far_gap_mm is None else pin.far_gap_mm
    names, owner = near.by_name
    rooms = radius + pin.gap_mm, radius + far_gap_mm
    return Discs(names, owner[index], (distance, bearing, away), rooms)


def _step_mm(near: Stretches, level_mm: float, most_mm: float) -> float:
    """How far apart in level tracks are looked up: less where one runs almost in the plane."""
    within = (near.start[:, 2] <= level_mm + most_mm) & (near.end[:, 2] >= level_mm - most_mm)
    run = (near.end - near.start)[within]
    steepest = (run[:, :2] ** 2).sum(axis=1) / run[:, 2] ** 2
    aside = math.sqrt(float(steepest.max(initial=0.0)))
    return OFF_LEVEL_STEP_MM / min(max(aside / ASIDE_PER_LEVEL, 1.0), MOST_FINER)


def obstacles_at(
    limb: "Limb", bone: str, pin: PinPlane, grades: Collection[str] = ("critical",)
) -> tuple[Obstacle, ...]:
    """The other bones of a segment, and hazards with an outline, at a pin's level.

    A joint cavity counts at its authored level only; any other outline holds, unchanged, to the
    middle between its level and the next.
    """
    found = [
        Obstacle(other, section.outline)
        for other in limb.segments[limb.groups[pin.group].name].bones
        if other != bone
        and (section := limb.section(other, pin.level_mm)) is not None
        and section.known
    ]
    return tuple(found) + _outlined(limb, pin, grades)


def _outlined(limb: "Limb", pin: PinPlane, grades: Collection[str]) -> tuple[Obstacle, ...]:
    return tuple(
        Obstacle(
            hazard.name,
            outline,
            *((0.0, 0.0) if hazard.kind == "joint" else (pin.gap_mm, pin.far_gap_mm)),
        )
        for hazard, outline in outlined_hazards(limb, pin, grades, joint_within_mm=_SAME_LEVEL_MM)
    )


def outlined_hazards(
    limb: "Limb",
    pin: PinPlane,
    grades: Collection[str],
    joint_within_mm: float | None = None,
) -> tuple[tuple[Hazard, Array], ...]:
    """Hazards authored as an outline that hold at a pin's level, with that outline at this size.

    A joint cavity holds at its authored level, `joint_within_mm` either way (None: as far as the
    pin is thick).
    """
    levels = authored_levels_mm(limb, pin.group)
    if not levels[0] - _SAME_LEVEL_MM <= pin.level_mm <= levels[-1] + _SAME_LEVEL_MM:
        return ()
    gap = gap_at(limb, pin.group, pin.level_mm)
    nearest = gap + (levels[gap + 1] - pin.level_mm < pin.level_mm - levels[gap])
    within_mm = pin.radius_mm if joint_within_mm is None else joint_within_mm
    at_level = abs(levels[nearest] - pin.level_mm) <= within_mm
    held = [
        (hazard, about)
        for hazard, about in _with_outline(limb, pin.group, nearest)
        if hazard.grade in grades and (at_level or hazard.kind != "joint")
    ]
    if not held:
        return ()
    middle = _middle(limb, pin, nearest)
    return tuple((hazard, middle + about) for hazard, about in held)


@lru_cache(maxsize=256)
def _with_outline(limb: "Limb", group: str, level: int) -> tuple[tuple[Hazard, Array], ...]:
    """The hazards of an authored level that have an outline, with it at the limb's size.

    The outline is about the primary bone's target.
    """
    hazards = limb.groups[group].authored.levels[level].hazards
    return tuple(
        (hazard, _about_target(limb, group, level, hazard)) for hazard in hazards if hazard.outline
    )


def _gap_to(limb: "Limb", group: str, level: int) -> tuple[Gap, float]:
    """A gap between authored levels that one of them ends, and the share at which it does."""
    return (Gap(limb, group, level - 1), 1.0) if level else (Gap(limb, group, 0), 0.0)


def _about_target(limb: "Limb", group: str, level: int, hazard: Hazard) -> Array:
    gap, share = _gap_to(limb, group, level)
    arm = np.array(hazard.outline) - gap.blend.primary.target[int(share)]
    bearing = np.arctan2(arm[:, 1], arm[:, 0])
    distance = np.hypot(arm[:, 0], arm[:, 1])
    grown = gap.grown(np.array((share,)), bearing[None], distance[None])[0]
    return np.asarray(np.column_stack((np.cos(bearing), np.sin(bearing))) * grown[:, None])


def _middle(limb: "Limb", pin: PinPlane, level: int) -> Array:
    """The primary bone's target at the pin's level, or else at the authored one."""
    section = limb.section(limb.groups[pin.group].primary, pin.level_mm)
    if section is not None:
        return section.target
    gap, share = _gap_to(limb, pin.group, level)
    return np.asarray(gap.targets(np.array((share,)))[0])


def _looked_up(near: Stretches, index: Indices, levels: Array) -> tuple[Array, Array]:
    low, high = near.start[index, 2], near.end[index, 2]
    share = (levels - low) / (high - low)
    points = near.start[index] + share[:, None] * (near.end[index] - near.start[index])
    radius = near.radius[index] + share * (near.radius_end[index] - near.radius[index])
    return points, radius
