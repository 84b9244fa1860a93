"""Where a pin runs through the published spread of a nerve or vessel, beside its mean place.

A pin has two arms: from the skin to the bone, and from the bone to its tip (of a through-pin: to
the other skin). An arm lies in a spread when its levels, its bearings about the primary bone
of its sections, or its reach do.
"""

import math
from functools import lru_cache
from typing import TYPE_CHECKING

import msgspec

from fixplan.errors import LibraryError
from fixplan.geometry.hazard_gaps import Part
from fixplan.geometry.hazard_tracks import authored_levels_mm, gap_at, gap_tracks
from fixplan.geometry.paths import PinPath
from fixplan.limb.authored import Spread

if TYPE_CHECKING:
    from fixplan.limb.anatomy import Limb

SPREAD_SDS = 2.0
"""A published mean counts with this many standard deviations on either side."""
EITHER_SIDE_DEG = 45.0
"""A spread that names no side of the bone counts this far round from the drawn structure."""
SLACK_MM = 5.0
"""An arm that begins this far outside the structure as drawn is no longer in its way."""
_LEVELS = ("level", "share")

Levels = tuple[float, float]


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
    """One arm: levels with the pin's thickness (mm), bearings (deg), from and to what distance."""

    part: Part
    levels_mm: tuple[float, float]
    bearings_deg: tuple[float, ...]
    reach_mm: float
    from_mm: float
    bone_mm: float
    radius_mm: float


class Place(msgspec.Struct, frozen=True):
    """Where a structure is drawn near a level, about the primary bone's target."""

    name: str
    kind: str
    grade: str
    level_mm: float
    bearing_deg: float
    away_mm: float
    radius_mm: float


def spread_hits(limb: "Limb", path: PinPath, far_within_mm: float) -> tuple[SpreadHit, ...]:
    """Every published spread that a pin lies in; the far arm counts `far_within_mm` past its tip.

    Raises:
        LibraryError: a spread is told from a landmark of another segment.
    """
    if not path.hits_bone:
        return ()
    ends = [path.level_at(at) for at in (path.skin_mm, path.near_mm, path.far_mm, path.tip_end_mm)]
    low, high = min(ends) - path.radius_mm, max(ends) + path.radius_mm
    reached = reached_spreads(limb, path.group, low, high)
    arms = _arms(limb, path, far_within_mm) if reached else ()
    found = (_hit(limb, path.group, spread, arm) for spread in reached for arm in arms)
    return tuple(hit for hit in found if hit is not None)


def reached_spreads(limb: "Limb", group: str, low: float, high: float) -> list[Spread]:
    """The spreads of a group that reach into a range of levels, mm.

    Raises:
        LibraryError: a spread is told from a landmark of another segment.
    """
    return [one for one, levels in _spread_levels(limb, group) if _meets(levels, low, high)]


@lru_cache(maxsize=64)
def _spread_levels(limb: "Limb", group: str) -> tuple[tuple[Spread, Levels | None], ...]:
    """The spreads of a group, each with the levels over which it reaches; None: all of them.

    One that is told from a point has no place on the schematic limb, so it is left to other rules.
    """
    spreads = limb.groups[group].authored.spreads
    return tuple(
        (one, levels_of_spread(limb, group, one) if one.measure in _LEVELS else None)
        for one in spreads
        if not one.measured_from
    )


def _meets(levels: Levels | None, low: float, high: float) -> bool:
    return levels is None or (high > levels[0] and low < levels[1])


def published_band(spread: Spread) -> tuple[float, float]:
    """The widest band that mean, SD and range give; about 0 where there is only an SD."""
    mean = spread.mean
    wide = SPREAD_SDS * (spread.sd or 0.0)
    ends = [one for one in (spread.least, spread.most, mean) if one is not None]
    if spread.sd is not None:
        ends += [(mean or 0.0) - wide, (mean or 0.0) + wide]
    return min(ends), max(ends)


def levels_of_spread(limb: "Limb", group: str, spread: Spread) -> tuple[float, float]:
    """The levels (mm, low first) over which a spread of levels or shares reaches.

    Raises:
        LibraryError: it is told from a landmark of another segment.
    """
    landmark = limb.landmark(spread.landmark)
    reference = limb.groups[group]
    if landmark.segment != reference.name:
        raise LibraryError(
            f"anatomy of the {reference.name}: the spread of {spread.track} is told from "
            f"{spread.landmark}, which lies in the {landmark.segment}: use a landmark of its own."
        )
    unit = 1.0
    if spread.measure == "share":
        unit = limb.bones[reference.primary].length_mm or limb.segments[reference.name].to_mm
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
    x, y = _about(limb, path)
    thick = path.radius_mm * path.line.cos_tilt
    levels = sorted(path.level_at(one) for one in ends_mm)
    out_x, out_y, _ = path.outward.tolist()
    points = [(x + one * out_x, y + one * out_y) for one in (*ends_mm, sum(ends_mm) / 2)]
    away = [math.hypot(*point) for point in points]
    return _Arm(
        part=part,
        levels_mm=(levels[0] - thick, levels[1] + thick),
        bearings_deg=tuple(math.degrees(math.atan2(v, u)) % 360 for u, v in points),
        reach_mm=away[1] + further_mm,
        from_mm=min(away),
        bone_mm=away[0],
        radius_mm=path.radius_mm,
    )


def _about(limb: "Limb", path: PinPath) -> tuple[float, float]:
    """The pin's aim point seen from the target of the primary bone of its sections, mm."""
    primary = limb.groups[path.group].primary
    target = path.target_mm
    if path.pin.bone != primary:
        section = limb.section(primary, path.pin.level_mm)
        target = target if section is None else section.target
    return float(path.aim_mm[0] - target[0]), float(path.aim_mm[1] - target[1])


def _hit(limb: "Limb", group: str, spread: Spread, arm: _Arm) -> SpreadHit | None:
    inside_mm: float | None = None
    if spread.measure in _LEVELS:
        low_mm, high_mm = levels_of_spread(limb, group, spread)
        inside_mm = min(arm.levels_mm[1] - low_mm, high_mm - arm.levels_mm[0])
        if inside_mm <= 0:
            return None
    place = place_of(limb, group, spread.track, sum(arm.levels_mm) / 2)
    if place is None or not _in_way(spread, arm, place):
        return None
    band = published_band(spread)
    return SpreadHit(spread, place.name, place.grade, arm.part, band[0], band[1], inside_mm)


def _in_way(spread: Spread, arm: _Arm, place: Place) -> bool:
    """Whether the arm points at the structure's sides and reaches that far out."""
    away_mm = place.away_mm
    if spread.measure == "distance":
        away_mm = max(arm.bone_mm + published_band(spread)[0] + place.radius_mm, 1e-9)
    beyond_mm = away_mm + place.radius_mm + arm.radius_mm
    if arm.reach_mm < away_mm - place.radius_mm or arm.from_mm > beyond_mm + SLACK_MM:
        return False
    side = sides_of(spread, arm.radius_mm, place, away_mm)
    return any(_holds(side, bearing) for bearing in arm.bearings_deg)


def sides_of(
    spread: Spread, pin_radius_mm: float, place: Place, away_mm: float
) -> tuple[float, float]:
    """The sides of the bone (from, to in degrees) on which the spread counts."""
    if spread.bearings_deg is not None:
        return spread.bearings_deg
    width = math.degrees(math.asin(min(1.0, (pin_radius_mm + place.radius_mm) / away_mm)))
    if spread.measure == "bearing":
        width += published_band(spread)[1]
    elif spread.measure != "distance":
        width = EITHER_SIDE_DEG
    return place.bearing_deg - width, place.bearing_deg + width


def _holds(side: tuple[float, float], bearing_deg: float) -> bool:
    return (bearing_deg - side[0]) % 360 <= (side[1] - side[0]) % 360


def place_of(limb: "Limb", group: str, track: str, level_mm: float) -> Place | None:
    """The structure where it is drawn nearest to a level; None when it is not drawn at all."""
    count = len(authored_levels_mm(limb, group)) - 1
    here = gap_at(limb, group, level_mm)
    places = _places(limb, group, here).get(track)
    if places is None:
        others = (_places(limb, group, one).get(track, ()) for one in range(count))
        places = tuple(place for one in others for place in one)
    return min(places, key=lambda one: abs(one.level_mm - level_mm), default=None)


@lru_cache(maxsize=128)
def _places(limb: "Limb", group: str, gap: int) -> dict[str, tuple[Place, ...]]:
    """The places of each track with a spread in the middles of its stretches in one gap."""
    drawn, targets = gap_tracks(limb, group, gap)
    wanted = {one.track for one, _ in _spread_levels(limb, group)}
    middles = (drawn.start + drawn.end) / 2
    middles[:, :2] -= targets
    rows = zip(drawn.which.tolist(), middles.tolist(), drawn.radius.tolist(), strict=True)
    found: dict[str, list[Place]] = {}
    for which, (x, y, level_mm), radius_mm in rows:
        one = drawn.structures[which]
        if one.track in wanted:
            bearing = math.degrees(math.atan2(y, x))
            place = Place(
                one.name, one.kind, one.grade, level_mm, bearing, math.hypot(x, y), radius_mm
            )
            found.setdefault(one.track, []).append(place)
    return {track: tuple(places) for track, places in found.items()}
