"""Where a pin runs through the published spread of a nerve or vessel, beside its mean place.

A pin has two arms: from the skin to the bone, and from the bone to its tip (of a through-pin: to
the other skin). An arm lies in a spread when its levels, its bearings about the segment's primary
bone, or its reach do.
"""

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

import msgspec
import numpy as np
from numpy.typing import NDArray

from fixplan.errors import LibraryError
from fixplan.geometry.hazard_gaps import Part
from fixplan.geometry.hazard_tracks import Stretches, authored_levels_mm, stretches_between
from fixplan.geometry.paths import PinPath
from fixplan.limb.authored import Spread

if TYPE_CHECKING:
    from fixplan.limb.anatomy import Limb

Array = NDArray[np.float64]

SPREAD_SDS = 2.0
"""A published mean counts with this many standard deviations on either side."""
EITHER_SIDE_DEG = 45.0
"""A spread that names no side of the bone counts this far round from the drawn structure."""
_LOOK_MM = 4.0


class SpreadHit(msgspec.Struct, frozen=True):
    """One spread that an arm of a pin lies in. `inside_mm`: how deep in a band of levels.

    `low` and `high` are the band as published: mm from the landmark, a share, degrees or mm.
    """

    spread: Spread
    name: str
    grade: str
    part: Part
    low: float
    high: float
    inside_mm: float | None = None


class _Arm(msgspec.Struct, frozen=True):
    """An arm: levels with the pin's thickness (mm), bearings (deg), reach from the target."""

    part: Part
    levels_mm: tuple[float, float]
    bearings_deg: tuple[float, ...]
    reach_mm: float
    bone_mm: float
    radius_mm: float


class _Place(msgspec.Struct, frozen=True):
    """Where a structure is drawn near a level, about the primary bone's target."""

    name: str
    grade: str
    bearing_deg: float
    away_mm: float
    radius_mm: float


def spread_hits(limb: "Limb", path: PinPath, far_within_mm: float) -> tuple[SpreadHit, ...]:
    """Every published spread that a pin lies in; the far arm counts `far_within_mm` past its tip.

    Raises:
        LibraryError: a spread is told from a landmark of another segment.
    """
    spreads = limb.references[path.segment].authored.spreads
    if not spreads or not path.hits_bone:
        return ()
    arms = _arms(limb, path, far_within_mm)
    found = (_hit(limb, path.segment, spread, arm) for spread in spreads for arm in arms)
    return tuple(hit for hit in found if hit is not None)


def published_band(spread: Spread) -> tuple[float, float]:
    """The widest band that mean, SD and range give; about 0 where there is only an SD."""
    mean = spread.mean
    wide = SPREAD_SDS * (spread.sd or 0.0)
    ends = [one for one in (spread.least, spread.most, mean) if one is not None]
    if spread.sd is not None:
        ends += [(mean or 0.0) - wide, (mean or 0.0) + wide]
    return min(ends), max(ends)


def levels_of_spread(limb: "Limb", segment: str, spread: Spread) -> tuple[float, float]:
    """The levels (mm, low first) over which a spread of levels or shares reaches.

    Raises:
        LibraryError: it is told from a landmark of another segment.
    """
    landmark = limb.landmark(spread.landmark)
    if landmark.segment != segment:
        raise LibraryError(
            f"anatomy of the {segment}: the spread of {spread.track} is told from "
            f"{spread.landmark}, which lies in the {landmark.segment}: use a landmark of its own."
        )
    unit = 1.0
    if spread.measure == "share":
        primary = limb.bones[limb.segments[segment].primary]
        unit = primary.length_mm or limb.segments[segment].to_mm
    sign = 1.0 if spread.below else -1.0
    ends = sorted(landmark.level_mm + sign * unit * one for one in published_band(spread))
    return ends[0], ends[1]


def _arms(limb: "Limb", path: PinPath, far_within_mm: float) -> tuple[_Arm, ...]:
    through = path.pin.kind == "through"
    inner = min(path.tip_end_mm, path.far_mm)
    near = _arm(limb, path, "near", (path.near_mm, max(path.skin_mm, path.near_mm)), math.inf)
    far_part: Part = "near" if through else "far"
    reach = math.inf if through else far_within_mm
    return near, _arm(limb, path, far_part, (path.far_mm, inner), reach)


def _arm(
    limb: "Limb", path: PinPath, part: Part, ends_mm: tuple[float, float], further_mm: float
) -> _Arm:
    section = limb.section(limb.segments[path.segment].primary, path.pin.level_mm)
    target = path.target_mm if section is None else section.target
    thick = path.radius_mm * path.line.cos_tilt
    levels = sorted(path.level_at(one) for one in ends_mm)
    points = [path.point(one)[:2] - target for one in (*ends_mm, sum(ends_mm) / 2)]
    away = [float(np.hypot(*point)) for point in points]
    return _Arm(
        part=part,
        levels_mm=(levels[0] - thick, levels[1] + thick),
        bearings_deg=tuple(math.degrees(math.atan2(y, x)) % 360 for x, y in points),
        reach_mm=away[1] + further_mm,
        bone_mm=away[0],
        radius_mm=path.radius_mm,
    )


def _hit(limb: "Limb", segment: str, spread: Spread, arm: _Arm) -> SpreadHit | None:
    inside_mm: float | None = None
    if spread.measure in ("level", "share"):
        low_mm, high_mm = levels_of_spread(limb, segment, spread)
        inside_mm = min(arm.levels_mm[1] - low_mm, high_mm - arm.levels_mm[0])
        if inside_mm <= 0:
            return None
    place = _place(limb, segment, spread.track, sum(arm.levels_mm) / 2)
    if place is None or not _in_way(spread, arm, place):
        return None
    band = published_band(spread)
    return SpreadHit(spread, place.name, place.grade, arm.part, band[0], band[1], inside_mm)


def _in_way(spread: Spread, arm: _Arm, place: _Place) -> bool:
    """Whether the arm points at the structure's sides and reaches that far out."""
    away_mm = place.away_mm
    if spread.measure == "distance":
        away_mm = max(arm.bone_mm + published_band(spread)[0] + place.radius_mm, 1e-9)
    if arm.reach_mm < away_mm - place.radius_mm:
        return False
    sides = [_sides(spread, arm, place, away_mm)]
    return any(_holds(side, bearing) for side in sides for bearing in arm.bearings_deg)


def _sides(spread: Spread, arm: _Arm, place: _Place, away_mm: float) -> tuple[float, float]:
    """The sides of the bone (from, to in degrees) on which the spread counts."""
    if spread.bearings_deg is not None:
        return spread.bearings_deg
    width = math.degrees(math.asin(min(1.0, (arm.radius_mm + place.radius_mm) / away_mm)))
    if spread.measure == "bearing":
        width += published_band(spread)[1]
    elif spread.measure != "distance":
        width = EITHER_SIDE_DEG
    return place.bearing_deg - width, place.bearing_deg + width


def _holds(side: tuple[float, float], bearing_deg: float) -> bool:
    return (bearing_deg - side[0]) % 360 <= (side[1] - side[0]) % 360


def _place(limb: "Limb", segment: str, track: str, level_mm: float) -> _Place | None:
    """The structure where it is drawn nearest to a level; None when it is not drawn at all."""
    near = stretches_between(limb, segment, level_mm - _LOOK_MM, level_mm + _LOOK_MM)
    index = next(_numbers(near, track), None)
    if index is None:
        levels = authored_levels_mm(limb, segment)
        near = stretches_between(limb, segment, levels[0], levels[-1])
        drawn = list(_numbers(near, track))
        if not drawn:
            return None
        index = min(drawn, key=lambda one: abs(float(near.start[one, 2]) - level_mm))
    return _placed(limb, segment, near, index)


def _numbers(near: Stretches, track: str) -> Iterator[int]:
    wanted = [i for i, one in enumerate(near.structures) if one.track == track]
    yield from np.flatnonzero(np.isin(near.which, wanted)).tolist()


def _placed(limb: "Limb", segment: str, near: Stretches, index: int) -> _Place:
    structure = near.structures[int(near.which[index])]
    middle = (near.start[index] + near.end[index]) / 2
    section = limb.section(limb.segments[segment].primary, float(middle[2]))
    arm = middle[:2] - (0.0 if section is None else section.target)
    return _Place(
        name=structure.name,
        grade=structure.grade,
        bearing_deg=math.degrees(math.atan2(arm[1], arm[0])),
        away_mm=float(np.hypot(*arm)),
        radius_mm=float(near.radius[index]),
    )
