"""Points that a hand can feel or an image shows, at a patient's size."""

from typing import Literal

import msgspec

from fixplan.limb.growth import Growth
from fixplan.limb.library import load_toml


class Landmark(msgspec.Struct, frozen=True):
    """A named point of a segment. `palpable`: a hand can feel it under drapes.

    `tells_level`: levels are told from it.
    """

    id: str
    name: str
    short: str
    segment: str
    x_mm: float
    y_mm: float
    level_mm: float
    palpable: bool
    tells_level: bool


class LandmarkRow(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A landmark of the reference limb: `at` is (x, y, level) in mm."""

    id: str
    name: str
    short: str
    at: tuple[float, float, float]
    felt: bool = False
    tells: bool = False


class LandmarkFile(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """resources/landmarks.toml: rows by bone."""

    schema: Literal[1]
    source: str
    status: Literal["schematic"]
    bones: dict[str, list[LandmarkRow]]


def landmarks_of(segments: dict[str, str], growth: Growth) -> tuple[Landmark, ...]:
    """All landmarks of the bones in `segments` (bone -> segment), proximal first in each.

    Raises:
        LibraryError: if the file does not hold what it should.
    """
    found = []
    for bone, rows in load_toml("landmarks.toml", LandmarkFile).bones.items():
        if bone not in segments:
            continue
        segment, across = segments[bone], growth.across[bone]
        along = growth.along[segment]
        for row in rows:
            x, y, level = row.at
            place = (across * x, across * y, along * level)
            found.append(
                Landmark(row.id, row.name, row.short, segment, *place, row.felt, row.tells)
            )
    order = list(dict.fromkeys(segments.values()))
    return tuple(sorted(found, key=lambda one: (order.index(one.segment), one.level_mm)))
