"""Candidates for later fixation by bone, laid on a limb from resources/corridors.toml.

Sizes are generic and ours, no source; every part can be changed once it is placed.
"""

from typing import Literal

import msgspec
import numpy as np

from fixplan.case.records import Candidate, CorridorPart, Incision, Nail, Plate
from fixplan.case.scalars import BoneSide, CandidateKind, Face, Point, View
from fixplan.errors import EditError
from fixplan.limb.anatomy import Limb
from fixplan.limb.library import load_toml


class Place(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A level: mm distal of a landmark (less than nothing: proximal)."""

    at: str
    mm: float

    def level_mm(self, limb: Limb) -> float:
        """The level on a limb."""
        return limb.landmark(self.at).level_mm + self.mm


class PlateRow(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename={"from_": "from"}):
    """A plate's footprint."""

    bone: str
    side: BoneSide
    from_: Place
    to: Place
    width_mm: float
    thickness_mm: float

    def part(self, limb: Limb) -> Plate:
        """The plate on a limb."""
        return Plate(
            bone=self.bone,
            side=self.side,
            from_mm=self.from_.level_mm(limb),
            to_mm=self.to.level_mm(limb),
            width_mm=self.width_mm,
            thickness_mm=self.thickness_mm,
        )


class NailRow(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename={"from_": "from"}):
    """A nail from its upper to its lower end.

    The entry zone and the locking zones on the side of entry count from the nail's end there, the
    other locking zone from its other end, all towards the middle of the bone, in mm.
    """

    bone: str
    entry: Literal["proximal", "distal"]
    from_: Place
    to: Place
    width_mm: float
    entry_zone: Point
    locking_proximal: Point
    locking_distal: Point

    def part(self, limb: Limb) -> Nail:
        """The nail on a limb."""
        top, bottom = self.from_.level_mm(limb), self.to.level_mm(limb)
        above = (top + self.locking_proximal[0], top + self.locking_proximal[1])
        below = (bottom - self.locking_distal[1], bottom - self.locking_distal[0])
        first, last = self.entry_zone
        from_above = self.entry == "proximal"
        return Nail(
            bone=self.bone,
            entry=self.entry,
            from_mm=top,
            to_mm=bottom,
            width_mm=self.width_mm,
            entry_zone=(top + first, top + last) if from_above else (bottom - last, bottom - first),
            locking_zones=(above, below),
        )


class IncisionRow(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """An incision over a bone; `line` holds (share of the way to the skin's edge, mm from `at`)."""

    bone: str
    view: View
    face: Face
    at: str
    line: tuple[Point, ...]
    half_width_mm: float

    def part(self, limb: Limb) -> Incision:
        """The incision on a limb's skin."""
        segment = limb.bones[self.bone].segment
        level_mm = limb.landmark(self.at).level_mm
        line = tuple(
            (self._across_mm(limb, segment, share, level_mm + mm), level_mm + mm)
            for share, mm in self.line
        )
        return Incision(
            segment=segment,
            view=self.view,
            face=self.face,
            line=line,
            half_width_mm=self.half_width_mm,
        )

    def _across_mm(self, limb: Limb, segment: str, share: float, level_mm: float) -> float:
        axis = 0 if self.view == "front" else 1
        middle = _middle_mm(limb, self.bone, axis, level_mm)
        edges = _skin_edges_mm(limb, segment, axis, level_mm)
        edge = edges[1] if share > 0 else edges[0]
        return middle + abs(share) * (edge - middle)


class Preset(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A candidate to choose from; `bone` is empty where it is for any."""

    id: str
    bone: str
    kind: CandidateKind
    label: str
    plates: tuple[PlateRow, ...] = ()
    nails: tuple[NailRow, ...] = ()
    incisions: tuple[IncisionRow, ...] = ()


class PresetFile(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What corridors.toml holds."""

    schema: int
    source: str
    evidence: tuple[str, ...]
    preset: tuple[Preset, ...]


def presets(bone: str | None = None) -> tuple[Preset, ...]:
    """All presets, or those for one bone and those for any."""
    listed = load_toml("corridors.toml", PresetFile).preset
    return tuple(one for one in listed if bone is None or one.bone in (bone, ""))


def presets_of(limb: Limb) -> tuple[Preset, ...]:
    """The presets for the bones of a limb, and those for any."""
    return tuple(one for one in presets() if not one.bone or one.bone in limb.bones)


def candidate_of_preset(
    limb: Limb, preset_id: str, candidate_id: str = "candidate-new"
) -> Candidate:
    """The preset laid on a limb; the edit that adds it gives it its id.

    Raises:
        EditError: there is no such preset.
    """
    for one in presets():
        if one.id == preset_id:
            parts: list[CorridorPart] = [row.part(limb) for row in one.plates]
            parts += [row.part(limb) for row in one.nails]
            parts += [row.part(limb) for row in one.incisions]
            return Candidate(
                id=candidate_id, kind=one.kind, label=one.label, preset=one.id, parts=tuple(parts)
            )
    known = ", ".join(one.id for one in presets())
    raise EditError(f"There is no preset {preset_id}; choose one of {known}.")


def _middle_mm(limb: Limb, bone: str, axis: int, level_mm: float) -> float:
    """Middle of a bone in a view at a level; beyond the bone that of its nearest end."""
    known = limb.bones[bone]
    inside_mm = min(max(level_mm, known.from_mm + 1.0), known.to_mm - 1.0)
    section = limb.section(bone, inside_mm)
    return 0.0 if section is None else float(section.target[axis])


def _skin_edges_mm(limb: Limb, segment: str, axis: int, level_mm: float) -> tuple[float, float]:
    """Extent of the skin in a view at a level; beyond the skin that of its nearest level."""
    span = limb.segments[segment]
    ring = limb.skin(segment, min(max(level_mm, span.from_mm), span.to_mm))
    if ring is None:
        raise EditError(f"No skin of the {span.title} is known there; draw the incision by hand.")
    across = np.asarray(ring)[:, axis]
    return float(across.min()), float(across.max())
