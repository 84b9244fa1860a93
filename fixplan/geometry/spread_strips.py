"""A published spread of a structure that passes beside a landmark: a strip medial to it.

The strip lies at the depth at which the structure is drawn, over the levels that its data name.
Published millimetres are an adult's and are not scaled.
"""

from collections.abc import Iterator
from functools import lru_cache
from typing import TYPE_CHECKING

import msgspec

from fixplan.geometry.paths import PinPath
from fixplan.geometry.section_structures import RoundStructure, structures_at
from fixplan.geometry.spread_bands import published_band
from fixplan.limb.authored import Spread

if TYPE_CHECKING:
    from fixplan.limb.anatomy import Landmark, Limb

PLACES = 3
"""Places along the way from skin to bone that are looked at, besides where the depth is met."""


class Strip(msgspec.Struct, frozen=True):
    """A strip in the plane of a level: x and y from and to, mm in the segment's frame."""

    name: str
    kind: str
    track: str
    x_mm: tuple[float, float]
    y_mm: tuple[float, float]


class StripHit(msgspec.Struct, frozen=True):
    """A pin in a strip: how far medial to its landmark the pin's axis passes, mm."""

    spread: Spread
    name: str
    medial_mm: float


@lru_cache(maxsize=256)
def strips_at(limb: "Limb", group: str, level_mm: float) -> tuple[Strip, ...]:
    """The strips that reach to a level."""
    drawn = {one.track: one for one in structures_at(limb, group, level_mm).round}
    return tuple(
        _strip(limb, group, spread, drawn[spread.track])
        for spread in _told(limb, group)
        if spread.track in drawn and _reaches(limb, group, spread, level_mm)
    )


def strip_hits(limb: "Limb", path: PinPath) -> Iterator[StripHit]:
    """The strips that a pin's way from skin to bone runs through."""
    for spread in _told(limb, path.group):
        mark = _landmark(limb, path.group, spread)
        for at_mm in _places(limb, path, spread):
            x, y, level_mm = path.point(at_mm).tolist()
            if not _reaches(limb, path.group, spread, level_mm):
                continue
            here = [s for s in strips_at(limb, path.group, level_mm) if s.track == spread.track]
            if any(_within(s, x, y, path.radius_mm) for s in here):
                yield StripHit(spread, here[0].name, mark.x_mm - x)
                break


def _told(limb: "Limb", group: str) -> Iterator[Spread]:
    return (one for one in limb.groups[group].authored.spreads if one.strip is not None)


def _landmark(limb: "Limb", group: str, spread: Spread) -> "Landmark":
    """The landmark that a strip is told from, on the side of its segment."""
    assert spread.strip is not None
    side = limb.references[limb.groups[group].name].suffix.removeprefix("-")
    name = spread.strip.landmark
    return limb.landmark(f"{name}_{side}" if side else name)


def _reaches(limb: "Limb", group: str, spread: Spread, level_mm: float) -> bool:
    assert spread.strip is not None
    low, high = spread.strip.levels_mm
    return low <= level_mm - _landmark(limb, group, spread).level_mm <= high


def _strip(limb: "Limb", group: str, spread: Spread, drawn: RoundStructure) -> Strip:
    assert spread.strip is not None
    mark = _landmark(limb, group, spread)
    least, most = published_band(spread)
    half_mm = drawn.radius_mm + spread.strip.deep_mm
    y = drawn.at[1]
    across = (mark.x_mm - most, mark.x_mm - least)
    return Strip(drawn.name, drawn.kind, drawn.track, across, (y - half_mm, y + half_mm))


def _places(limb: "Limb", path: PinPath, spread: Spread) -> list[float]:
    """Distances along the way in: its ends, its middle, and where it meets the strip's depth."""
    low, high = sorted((path.near_mm, path.skin_mm))
    places = [low + (high - low) * step / (PLACES - 1) for step in range(PLACES)]
    forward = float(path.outward[1])
    for at_mm in tuple(places):
        found = structures_at(limb, path.group, path.level_at(at_mm)).round
        drawn = next((one for one in found if one.track == spread.track), None)
        if drawn is not None and abs(forward) > 1e-6:
            meets_mm = (drawn.at[1] - float(path.aim_mm[1])) / forward
            places.append(min(max(meets_mm, low), high))
    return places


def _within(strip: Strip, x: float, y: float, radius_mm: float) -> bool:
    (x0, x1), (y0, y1) = strip.x_mm, strip.y_mm
    return x0 - radius_mm <= x <= x1 + radius_mm and y0 - radius_mm <= y <= y1 + radius_mm
