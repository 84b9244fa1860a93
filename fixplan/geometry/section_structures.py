"""What lies in one axial plane of a limb: nerves, vessels, tendons and joint spaces by name."""

import math
from functools import lru_cache
from typing import TYPE_CHECKING

import msgspec
import numpy as np
from numpy.typing import NDArray

from fixplan.geometry.hazard_tracks import authored_levels_mm, stretches_between
from fixplan.geometry.hazards import PinPlane, obstacles_at, outlined_hazards
from fixplan.geometry.spread_bands import (
    EITHER_SIDE_DEG,
    levels_of_spread,
    place_of,
    published_band,
)
from fixplan.limb.authored import GRADES, Spread
from fixplan.limb.rings import radii

if TYPE_CHECKING:
    from fixplan.limb.anatomy import Limb, Section

Array = NDArray[np.float64]
Point = tuple[float, float]


class RoundStructure(msgspec.Struct, frozen=True):
    """A structure cut across: where its mean place is in the segment's frame, and its radius."""

    name: str
    track: str
    kind: str
    grade: str
    at: Point
    radius_mm: float


class OutlinedStructure(msgspec.Struct, frozen=True):
    """A structure or joint space with an outline in the segment's frame, mm."""

    name: str
    outline: tuple[Point, ...]


class SpreadBand(msgspec.Struct, frozen=True):
    """Where a structure was found by others: bearings (deg) and distances (mm) from the target."""

    name: str
    kind: str
    from_deg: float
    to_deg: float
    inner_mm: float
    outer_mm: float


class Structures(msgspec.Struct, frozen=True):
    """Everything besides bone and skin that is known at one level of a segment or group."""

    target: Point
    round: tuple[RoundStructure, ...]
    outlined: tuple[OutlinedStructure, ...]
    spreads: tuple[SpreadBand, ...]


def level_is_known(limb: "Limb", group: str, level_mm: float) -> bool:
    """Whether a level lies between the first and last authored section of a segment or group."""
    levels = authored_levels_mm(limb, group)
    return levels[0] <= level_mm <= levels[-1]


@lru_cache(maxsize=256)
def structures_at(limb: "Limb", group: str, level_mm: float) -> Structures:
    """Nerves, vessels, tendons and joint spaces at a level; nothing outside the authored levels."""
    section = limb.section(limb.groups[group].primary, level_mm)
    if section is None or not level_is_known(limb, group, level_mm):
        return Structures((0.0, 0.0), (), (), ())
    found = _round(limb, group, level_mm)
    target = (float(section.target[0]), float(section.target[1]))
    outlined = _outlined(limb, section)
    return Structures(target, found, outlined, _spreads(limb, section, found))


def _round(limb: "Limb", group: str, level_mm: float) -> tuple[RoundStructure, ...]:
    near = stretches_between(limb, group, level_mm, level_mm)
    low, high = near.start[:, 2], near.end[:, 2]
    share = (level_mm - low) / (high - low)
    points = near.start + share[:, None] * (near.end - near.start)
    radius = near.radius + share * (near.radius_end - near.radius)
    found: dict[str, RoundStructure] = {}
    rows = zip(near.which.tolist(), points.tolist(), radius.tolist(), strict=True)
    for index, (x, y, _), size in rows:
        one = near.structures[index]
        structure = RoundStructure(one.name, one.track, one.kind, one.grade, (x, y), size)
        found.setdefault(one.track, structure)
    return tuple(found.values())


def _outlined(limb: "Limb", section: "Section") -> tuple[OutlinedStructure, ...]:
    plane = PinPlane(section.group, section.level_mm, section.target, 0.0, 0.0)
    return tuple(
        OutlinedStructure(one.name, _points(np.asarray(one.outline)))
        for one in obstacles_at(limb, section.bone, plane, GRADES)
        if one.name not in limb.bones
    )


def _spreads(
    limb: "Limb", section: "Section", found: tuple[RoundStructure, ...]
) -> tuple[SpreadBand, ...]:
    """The published spreads that reach to the level: about a structure that is drawn there.

    One that is drawn at other levels alone has its spread where it is drawn nearest.
    """
    drawn = {one.track: one for one in found}
    listed = limb.groups[section.group].authored.spreads
    bands = (
        _band(section, drawn[spread.track], spread)
        if spread.track in drawn
        else _outlined_band(limb, section, spread) or _band_elsewhere(limb, section, spread)
        for spread in listed
        if not spread.measured_from and _reaches(limb, section.group, spread, section.level_mm)
    )
    return tuple(band for band in bands if band is not None)


def _outlined_band(limb: "Limb", section: "Section", spread: Spread) -> SpreadBand | None:
    """The spread of a structure that is drawn with an outline at the level."""
    plane = PinPlane(section.group, section.level_mm, section.target, 0.0, 0.0)
    for hazard, outline in outlined_hazards(limb, plane, GRADES):
        if hazard.track == spread.track and spread.bearings_deg is not None:
            away = np.hypot(*(np.asarray(outline) - section.target).T)
            inner, outer = float(away.min()), float(away.max())
            return SpreadBand(hazard.name, hazard.kind, *spread.bearings_deg, inner, outer)
    return None


def _band_elsewhere(limb: "Limb", section: "Section", spread: Spread) -> SpreadBand | None:
    """The spread of levels of a structure that is drawn at other levels alone."""
    place = place_of(limb, section.group, spread.track, section.level_mm)
    if place is None or spread.measure not in ("level", "share"):
        return None
    turn = math.radians(place.bearing_deg)
    x, y = (float(one) for one in section.target)
    at = (x + place.away_mm * math.cos(turn), y + place.away_mm * math.sin(turn))
    one = RoundStructure(place.name, spread.track, place.kind, place.grade, at, place.radius_mm)
    return _band(section, one, spread)


def _reaches(limb: "Limb", group: str, spread: Spread, level_mm: float) -> bool:
    """Whether a spread of levels or shares covers a level; any other holds at all levels."""
    if spread.measure not in ("level", "share"):
        return True
    low_mm, high_mm = levels_of_spread(limb, group, spread)
    return low_mm <= level_mm <= high_mm


def _band(section: "Section", one: RoundStructure, spread: Spread) -> SpreadBand:
    arm = np.asarray(one.at) - section.target
    distance, bearing = float(np.hypot(*arm)), math.degrees(math.atan2(arm[1], arm[0]))
    width = math.degrees(math.asin(min(1.0, one.radius_mm / max(distance, one.radius_mm))))
    inner, outer = distance - one.radius_mm, distance + one.radius_mm
    low, high = published_band(spread)
    if spread.measure == "bearing":
        width += high
    elif spread.measure == "distance":
        bone = float(radii(section.outline, section.target, np.radians([bearing]))[0])
        inner, outer = bone + low, bone + high + 2 * one.radius_mm
    else:
        width = EITHER_SIDE_DEG
    sides = spread.bearings_deg or (bearing - width, bearing + width)
    return SpreadBand(one.name, one.kind, *sides, max(inner, 0.0), outer)


def _points(ring: Array) -> tuple[Point, ...]:
    return tuple(zip(ring[:, 0].tolist(), ring[:, 1].tolist(), strict=True))
