"""Structures that are not drawn at a level, but begin or end a few millimetres from it.

A pin comes near to them in space although the plane of the level does not cut them.
"""

from functools import lru_cache
from typing import TYPE_CHECKING

import msgspec
import numpy as np

from fixplan.geometry.hazard_tracks import stretches_between
from fixplan.geometry.paths import PinPath
from fixplan.geometry.section_structures import RoundStructure

if TYPE_CHECKING:
    from fixplan.limb.anatomy import Limb

_SAME_MM = 1e-6


class Beginning(msgspec.Struct, frozen=True):
    """A structure at its end nearest to a level, and how far on from the level that is, mm.

    `along_mm` over 0: it begins at a higher level; under 0: it ends at a lower one.
    """

    structure: RoundStructure
    along_mm: float


@lru_cache(maxsize=256)
def beginning_near(
    limb: "Limb", group: str, level_mm: float, within_mm: float
) -> tuple[Beginning, ...]:
    """Critical structures that do not cross a level and have an end within `within_mm` of it."""
    near = stretches_between(limb, group, level_mm - within_mm, level_mm + within_mm)
    low, high = near.start[:, 2], near.end[:, 2]
    rows = near.which.tolist()
    crossing = {
        near.structures[row].track
        for row, meets in zip(rows, ((low <= level_mm) & (level_mm <= high)).tolist(), strict=True)
        if meets
    }
    above = low > level_mm
    away = np.where(above, low - level_mm, high - level_mm)
    points = np.where(above[:, None], near.start, near.end)
    radius = np.where(above, near.radius, near.radius_end)
    found: dict[str, Beginning] = {}
    for index in np.argsort(np.abs(away), kind="stable").tolist():
        one, along_mm = near.structures[rows[index]], float(away[index])
        if one.grade != "critical" or one.track in crossing or abs(along_mm) > within_mm + _SAME_MM:
            continue
        x, y, _ = points[index].tolist()
        drawn = RoundStructure(
            one.name, one.track, one.kind, one.grade, (x, y), float(radius[index])
        )
        found.setdefault(one.track, Beginning(drawn, along_mm))
    return tuple(found.values())


def near_axis(found: tuple[Beginning, ...], path: PinPath, within_mm: float) -> tuple[str, ...]:
    """The tracks of those that lie within `within_mm` of a pin, seen along the limb."""
    aim, way = path.aim_mm[:2], path.outward[:2]
    told = []
    for one in found:
        arm = np.asarray(one.structure.at) - aim
        at_mm = max(float(arm @ way), path.tip_end_mm)
        off_mm = float(np.hypot(*(arm - at_mm * way))) - one.structure.radius_mm - path.radius_mm
        if off_mm < within_mm:
            told.append(one.structure.track)
    return tuple(told)


def begins_words(one: Beginning, places: tuple[str, str]) -> str:
    """Where it begins or ends, as seen from the level: "begins 4 mm distal".

    `places` are a segment's words for its two ways, towards its start and onward.
    """
    verb, place = ("begins", places[1]) if one.along_mm > 0 else ("ends", places[0])
    return f"{verb} {max(abs(one.along_mm), 1.0):.0f} mm {place}"
