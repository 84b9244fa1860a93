"""Points that a hand can feel or an image shows, at a patient's size."""

from collections.abc import Mapping
from typing import Literal

import msgspec

from fixplan.limb.growth import Growth
from fixplan.limb.kinds import limb_kind
from fixplan.limb.library import load_toml
from fixplan.limb.reference import ReferenceSegment


class Landmark(msgspec.Struct, frozen=True):
    """A named point of a segment. `palpable`: a hand can feel it under drapes.

    `tells_level`: levels of the segment are told from it. `tells_own`: levels of its own bone are,
    and of no other: rays lie side by side in one segment. `tells_across`: how far in front of it or
    behind it a pin of its bone enters from the side is told too.
    """

    id: str
    name: str
    short: str
    segment: str
    bone: str
    x_mm: float
    y_mm: float
    level_mm: float
    palpable: bool
    tells_level: bool
    tells_own: bool
    tells_across: bool = False


class LandmarkRow(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A landmark of the reference limb: `at` is (x, y, level) in mm."""

    id: str
    name: str
    short: str
    at: tuple[float, float, float]
    felt: bool = False
    tells: bool = False
    own: bool = False
    across: bool = False


class EdgeRow(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """An edge of the reference limb's bone, from one of its landmarks on: points (x, y, level), mm.

    `to_share`: pins that aim at a level up to this share of the bone are told along it; `way` is
    the word before the landmark's name.
    """

    id: str
    name: str
    short: str
    start: str
    way: str
    to_share: float
    points: list[tuple[float, float, float]]


class LandmarkFile(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A file of landmarks, such as resources/landmarks.toml: rows by bone."""

    schema: Literal[1]
    source: str
    status: Literal["schematic"]
    bones: dict[str, list[LandmarkRow]]
    edges: dict[str, EdgeRow] = {}


def landmarks_of(
    references: Mapping[str, ReferenceSegment], growth: Growth
) -> tuple[Landmark, ...]:
    """All landmarks of a limb's bones, proximal first in each segment.

    Raises:
        LibraryError: if the file does not hold what it should.
    """
    rows = load_toml(limb_kind(growth.kind).landmarks, LandmarkFile).bones
    found = [
        _placed(row, segment.name, bone, growth, segment.suffix if segment.owns(bone) else "")
        for segment in references.values()
        for bone in segment.bones
        for row in rows.get(bone.removesuffix(segment.suffix), ())
    ]
    order = list(references)
    return tuple(sorted(found, key=lambda one: (order.index(one.segment), one.level_mm)))


def _sided(name: str, side: str) -> str:
    """A name with its side: "right hip", "top of the right iliac crest"."""
    start, of_the, rest = name.partition(" of the ")
    return f"{start}{of_the}{side} {rest}" if of_the else f"{side} {name}"


def _placed(row: LandmarkRow, segment: str, bone: str, growth: Growth, suffix: str) -> Landmark:
    """A landmark at this size; of bones that stand on both sides it also bears its side's name."""
    x, y, level = row.at
    across, along = growth.across[bone], growth.along[segment]
    side = suffix.removeprefix("-")
    return Landmark(
        id=f"{row.id}_{side}" if side else row.id,
        name=_sided(row.name, side) if side else row.name,
        short=f"{side} {row.short}" if side else row.short,
        segment=segment,
        bone=bone,
        x_mm=across * x,
        y_mm=across * y,
        level_mm=along * level,
        palpable=row.felt,
        tells_level=row.tells,
        tells_own=row.own,
        tells_across=row.across,
    )
