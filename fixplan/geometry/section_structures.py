"""What lies in one axial plane of a limb: nerves, vessels, tendons and joint spaces by name."""

from functools import lru_cache
from typing import TYPE_CHECKING

import msgspec
import numpy as np
from numpy.typing import NDArray

from fixplan.geometry.hazard_tracks import authored_levels_mm, stretches_between
from fixplan.geometry.hazards import PinPlane, obstacles_at

if TYPE_CHECKING:
    from fixplan.limb.anatomy import Limb

Array = NDArray[np.float64]
Point = tuple[float, float]

GRADES = ("critical", "minor", "tether", "variant")


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


class Structures(msgspec.Struct, frozen=True):
    """Everything besides bone and skin that is known at one level of a segment."""

    round: tuple[RoundStructure, ...]
    outlined: tuple[OutlinedStructure, ...]


def level_is_known(limb: "Limb", segment: str, level_mm: float) -> bool:
    """Whether a level lies between the first and last authored section of a segment."""
    levels = authored_levels_mm(limb, segment)
    return levels[0] <= level_mm <= levels[-1]


@lru_cache(maxsize=256)
def structures_at(limb: "Limb", segment: str, level_mm: float) -> Structures:
    """Nerves, vessels, tendons and joint spaces at a level; nothing outside the authored levels."""
    if not level_is_known(limb, segment, level_mm):
        return Structures((), ())
    return Structures(_round(limb, segment, level_mm), _outlined(limb, segment, level_mm))


def _round(limb: "Limb", segment: str, level_mm: float) -> tuple[RoundStructure, ...]:
    near = stretches_between(limb, segment, level_mm, level_mm)
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


def _outlined(limb: "Limb", segment: str, level_mm: float) -> tuple[OutlinedStructure, ...]:
    primary = limb.segments[segment].primary
    section = limb.section(primary, level_mm)
    if section is None:
        return ()
    plane = PinPlane(segment, level_mm, section.target, 0.0, 0.0)
    return tuple(
        OutlinedStructure(one.name, _points(np.asarray(one.outline)))
        for one in obstacles_at(limb, primary, plane, GRADES)
        if one.name not in limb.bones
    )


def _points(ring: Array) -> tuple[Point, ...]:
    return tuple((x, y) for x, y in ring.tolist())
