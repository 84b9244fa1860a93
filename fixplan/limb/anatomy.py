"""One limb at a patient's size: its bones, sections, skin, outlines and landmarks.

Everything is in its segment's straight frame: x lateral +, y anterior +, level distal +, mm, the
same for right and left. A `Limb` comes from `fixplan.limb.scale.limb_of` and compares by identity.
"""

import functools
from typing import Literal

import msgspec
import numpy as np

from fixplan.errors import LibraryError
from fixplan.limb.authored import Aims, LevelWays
from fixplan.limb.edges import Edge, edges_of
from fixplan.limb.growth import Growth
from fixplan.limb.landmarks import Landmark, landmarks_of
from fixplan.limb.reference import (
    ReferenceSegment,
    View,
    group_of,
    reference_groups,
    reference_segments,
)
from fixplan.limb.rings import Array, extent_across
from fixplan.limb.sections import (
    Section,
    carried_above,
    carried_axis,
    guessed_section,
    known_section,
)
from fixplan.limb.skins import skin_outline, skin_ring

__all__ = ["Array", "Bone", "Landmark", "Limb", "Section", "Segment", "View"]


class Bone(msgspec.Struct, frozen=True):
    """A bone as a whole. `from_mm` to `to_mm`: its levels in its segment.

    A segment's primary bone starts at 0 at the earliest.
    `drawn_only`: it is drawn but has no authored sections, so that no pin can be checked in it.
    `is_plate`: a pin runs between two tables in it, as in the hip bone.
    `group`: the group of sections that it is cut in; its segment's own, named as that, or further.
    """

    name: str
    title: str
    segment: str
    length_mm: float | None
    from_mm: float
    to_mm: float
    primary_of_segment: bool
    drawn_only: bool
    group: str
    is_plate: bool = False


class Segment(msgspec.Struct, frozen=True):
    """A rigid part of the limb. `front_shows`: what the front view has as v, level or y forward.

    `known_from_mm` to `known_to_mm`: levels with authored sections. `sides`: its words for bearings
    0, 90, 180 and 270 degrees; `ways`: those for the two ways along its levels; `aims`:
    those for the way its pins run, None where pins are told by the side that they come from.
    """

    name: str
    title: str
    bones: tuple[str, ...]
    primary: str
    from_mm: float
    to_mm: float
    known_from_mm: float
    known_to_mm: float
    front_shows: Literal["level", "forward"]
    girth_place: str
    sides: tuple[str, str, str, str]
    ways: LevelWays
    aims: Aims | None


def _segment(reference: ReferenceSegment, along: float) -> Segment:
    span = along * reference.span_mm
    return Segment(
        name=reference.name,
        title=reference.authored.title,
        bones=tuple(reference.bones),
        primary=reference.primary,
        from_mm=0.0,
        to_mm=span,
        known_from_mm=reference.known_z[0] * span,
        known_to_mm=reference.known_z[1] * span,
        front_shows=reference.authored.front_shows,
        girth_place=reference.authored.girth.place,
        sides=reference.authored.sides,
        ways=reference.authored.ways,
        aims=reference.authored.aims,
    )


def _bone(reference: ReferenceSegment, name: str, along: float, group: str) -> Bone:
    authored = reference.bones[name]
    levels = [level for _, level in authored.side]
    primary = name == reference.primary
    first = max(min(levels), 0.0) if primary else min(levels)
    return Bone(
        name=name,
        title=authored.title,
        segment=reference.name,
        length_mm=None if authored.length_mm is None else authored.length_mm * along,
        from_mm=first * along,
        to_mm=max(levels) * along,
        primary_of_segment=primary,
        drawn_only=authored.drawn_only,
        is_plate=authored.shape == "plate",
        group=group,
    )


class Limb:
    """A schematic limb at one size.

    Attributes:
        kind: limb kind (`leg`, `arm`, …: those of `kinds.limb_kinds`).
        size_key: tells one size from another.
        reference: whether it is the reference adult, nothing being known of the patient.
        notes: what was assumed about the size, in words.
        segments: by name, proximal first.
        bones: by name.
        references: the reference segments by name; `groups`: all groups of sections by name, the
            segments' own among them under the segment's name.
    """

    def __init__(self, growth: Growth) -> None:
        """Takes the factors of the size; use `scale.limb_of` instead."""
        self.growth = growth
        self.kind, self.size_key = growth.kind, growth.size_key
        self.reference, self.notes = growth.reference, growth.notes
        self.references = reference_segments(growth.kind)
        self.groups = reference_groups(growth.kind)
        self.segments = {
            name: _segment(one, growth.along[name]) for name, one in self.references.items()
        }
        self.bones = {
            name: _bone(
                one, name, growth.along[one.name], group_of(growth.kind, one.name, name).group
            )
            for one in self.references.values()
            for name in one.bones
        }

    def _of_bone(self, bone: str) -> ReferenceSegment:
        found = self.bones.get(bone)
        if found is None:
            known = ", ".join(self.bones)
            raise LibraryError(f"This limb has no bone {bone!r}: use one of {known}.")
        return self.groups[found.group]

    def _of_group(self, group: str) -> ReferenceSegment:
        found = self.groups.get(group)
        if found is None:
            known = ", ".join(self.groups)
            raise LibraryError(f"This limb has no segment {group!r}: use one of {known}.")
        return found

    def group_of(self, bone: str) -> str:
        """The group of sections that a bone is cut in: its segment's name, or a further group's.

        Raises:
            LibraryError: if the limb has no such bone.
        """
        return self._of_bone(bone).group

    def section(self, bone: str, level_mm: float) -> Section | None:
        """The bone cut across at a level of its segment; None if the bone is not there.

        Raises:
            LibraryError: if the limb has no such bone.
        """
        return _section(self, bone, float(level_mm))

    def skin(self, group: str, level_mm: float) -> Array | None:
        """The skin's ring (n, 2) of a segment, or of a further group, at a level.

        None beyond the drawn skin.

        Raises:
            LibraryError: if the limb has no such segment or group.
        """
        return _skin(self, group, float(level_mm))

    def known_mm(self, group: str) -> tuple[float, float]:
        """The levels from the first to the last authored section of a segment or group, mm.

        Raises:
            LibraryError: if the limb has no such segment or group.
        """
        reference = self._of_group(group)
        span = self.growth.along[reference.name] * reference.span_mm
        return reference.known_z[0] * span, reference.known_z[1] * span

    def skin_known(self, group: str, level_mm: float) -> bool:
        """Whether the skin at a level lies between authored sections; else it is guessed.

        Raises:
            LibraryError: if the limb has no such segment or group.
        """
        first, last = self.known_mm(group)
        return first <= level_mm <= last

    def outline(self, bone: str, view: View) -> Array:
        """The bone's silhouette (n, 2) in the segment's frame.

        Front (x, level), side (y, level); front of a segment that `front_shows` forward: (x, y).

        Raises:
            LibraryError: if the limb has no such bone.
        """
        return _outline(self, bone, view)

    def skin_outline(self, segment: str, view: View) -> Array:
        """The skin's silhouette (n, 2) of a segment, in coordinates as `outline`.

        Raises:
            LibraryError: if the limb has no such segment.
        """
        return _skin_outline(self, segment, view)

    def width_mm(self, bone: str, level_mm: float, across_bearing_deg: float) -> float:
        """Extent of a bone's outline across a pin of that bearing at a level (D16).

        Raises:
            LibraryError: if the limb has no such bone or it is not at that level.
        """
        cut = self.section(bone, level_mm)
        if cut is None:
            where = f"level {level_mm:.0f} mm"
            raise LibraryError(f"The {bone} does not reach {where}: take another level.")
        return extent_across(cut.outline, across_bearing_deg)

    @functools.cached_property
    def landmarks(self) -> tuple[Landmark, ...]:
        """All landmarks, proximal first in each segment."""
        return landmarks_of(self.references, self.growth)

    @functools.cached_property
    def edges(self) -> dict[str, Edge]:
        """The edge along which pins of a bone are told, by bone."""
        return edges_of(self.references, self.growth)

    @functools.cached_property
    def _landmarks_by_id(self) -> dict[str, Landmark]:
        return {landmark.id: landmark for landmark in self.landmarks}

    def landmark(self, landmark_id: str) -> Landmark:
        """One landmark by its id.

        Raises:
            LibraryError: if there is none.
        """
        found = self._landmarks_by_id.get(landmark_id)
        if found is None:
            known = ", ".join(self._landmarks_by_id)
            raise LibraryError(f"This limb has no landmark {landmark_id!r}: use one of {known}.")
        return found

    def length_error_mm(self, bone: str) -> float | None:
        """Standard deviation of a guessed bone length, mm; None when it was typed.

        Raises:
            LibraryError: if the limb has no such bone.
        """
        return self.growth.length_errors_mm.get(self._of_bone(bone).primary)


def _read_only(*arrays: Array | None) -> None:
    for array in arrays:
        if array is not None:
            array.flags.writeable = False


@functools.lru_cache(maxsize=2048)
def _section(limb: Limb, bone: str, level_mm: float) -> Section | None:
    reference = limb._of_bone(bone)
    cut = known_section(reference, limb.growth, bone, level_mm)
    if cut is None:
        cut = guessed_section(reference, limb.growth, bone, level_mm)
    if cut is not None:
        _read_only(cut.outline, cut.target, cut.canal)
    return cut


@functools.lru_cache(maxsize=2048)
def _skin(limb: Limb, group: str, level_mm: float) -> Array | None:
    ring = skin_ring(limb._of_group(group), limb.growth, level_mm)
    _read_only(ring)
    return ring


@functools.lru_cache(maxsize=256)
def _outline(limb: Limb, bone: str, view: View) -> Array:
    reference = limb._of_bone(bone)
    ring = reference.ring(bone, view)
    along, across = limb.growth.along[reference.name], limb.growth.across[bone]
    if view == "front" and reference.authored.front_shows == "forward":
        grown: Array = across * ring + carried_above(reference, limb.growth, bone)
    else:
        grown = np.column_stack((across * ring[:, 0], along * ring[:, 1]))
        grown[:, 0] += carried_axis(reference, limb.growth, bone, view, grown[:, 1])
    _read_only(grown)
    return grown


@functools.lru_cache(maxsize=64)
def _skin_outline(limb: Limb, segment: str, view: View) -> Array:
    ring = skin_outline(limb._of_group(segment), limb.growth, view)
    _read_only(ring)
    return ring
