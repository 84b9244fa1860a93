"""The reference limb's segments as arrays, and where their sections lie in the segment's frame."""

import functools
from typing import Literal

import numpy as np

from fixplan.limb.authored import AuthoredSegment, LevelWays
from fixplan.limb.authored_files import authored_segments
from fixplan.limb.blend import LevelBlend
from fixplan.limb.judging import judge
from fixplan.limb.kinds import limb_kind, limb_kinds
from fixplan.limb.library import read_bytes
from fixplan.limb.rings import Array, Extent, middle

View = Literal["front", "side"]


class ReferenceSegment:
    """One segment of the reference limb by one group of its sections.

    Levels here are mm of the reference, z their fraction. `group` is the name of these sections:
    the segment's for its own, else that of the `primary` bone. `main` is the bone by whose width
    the places of a segment scale: its own primary one.
    """

    def __init__(self, authored: AuthoredSegment, suffix: str = "", main: str = "") -> None:
        """Takes the segment as authored, and what stands behind the names of its bones."""
        self.authored, self.suffix = authored, suffix
        self.name = authored.segment
        self.primary = authored.primary
        self.main = main or authored.primary
        self.group = self.primary if main else self.name
        self.span_mm = authored.span_mm
        self.bones = {bone.name: bone for bone in authored.bones}
        self.known_z = (authored.levels[0].z, authored.levels[-1].z)
        self._blends: dict[int, LevelBlend] = {}
        self._rings: dict[tuple[str, View], Array] = {}
        self._extents: dict[tuple[str, View], Extent] = {}

    def ring(self, bone: str, view: View) -> Array:
        """A bone's drawn outline in one view."""
        key = bone, view
        if key not in self._rings:
            authored = self.bones[bone]
            self._rings[key] = np.array(authored.front if view == "front" else authored.side)
        return self._rings[key]

    @functools.cached_property
    def cut_bones(self) -> frozenset[str]:
        """The bones that these sections hold."""
        return frozenset(cut.bone for level in self.authored.levels for cut in level.bones)

    @property
    def drawn_z(self) -> tuple[float, float]:
        """Where skin is drawn at the least: all along the segment, or a further group's bone."""
        if self.group == self.name:
            return 0.0, 1.0
        levels = self.ring(self.primary, "side")[:, 1] / self.span_mm
        return float(levels.min()), float(levels.max())

    def owns(self, bone: str) -> bool:
        """Whether a bone's name bears the segment's side."""
        return bool(self.suffix) and bone.endswith(self.suffix)

    def extent(self, bone: str, view: View) -> Extent:
        """A bone's drawn extent by level in one view."""
        key = bone, view
        if key not in self._extents:
            self._extents[key] = Extent(self.ring(bone, view))
        return self._extents[key]

    def knows(self, z: float) -> bool:
        """Whether a level lies at or between authored levels."""
        return self.known_z[0] - 1e-9 <= z <= self.known_z[1] + 1e-9

    def blend_at(self, z: float) -> LevelBlend:
        """The two authored levels that a level lies between; the nearest two outside of them."""
        levels = self.authored.levels
        index = 0
        while index < len(levels) - 2 and z > levels[index + 1].z:
            index += 1
        if index not in self._blends:
            self._blends[index] = LevelBlend(levels[index], levels[index + 1], self.primary)
        return self._blends[index]

    def shift_at(self, z: float, ring: Array) -> Array:
        """How far the section at z is moved into the segment's frame.

        By the data's fixed shift, else from the middle of the section's `ring` to the middle of the
        primary bone's front and side outlines.
        """
        if self.authored.sections_shift is not None:
            return np.array(self.authored.sections_shift)
        front = self.extent(self.primary, "front").at(z * self.span_mm)
        side = self.extent(self.primary, "side").at(z * self.span_mm)
        if front is None or side is None:
            return np.zeros(2)
        drawn = np.array((front[0] + front[1], side[0] + side[1])) / 2
        shift: Array = drawn - middle(ring)
        return shift

    def shifts_at(self, z: Array, middles: Array) -> Array:
        """As `shift_at` for many levels (n,), given the middles (n, 2) of their sections."""
        if self.authored.sections_shift is not None:
            return np.broadcast_to(np.array(self.authored.sections_shift), middles.shape)
        views: tuple[View, View] = ("front", "side")
        drawn = [self.extent(self.primary, one).middles(z * self.span_mm) for one in views]
        shift: Array = np.column_stack(drawn) - middles
        shift[np.isnan(shift).any(axis=1)] = 0.0
        return shift


@functools.cache
def reference_segments(kind: str) -> dict[str, ReferenceSegment]:
    """The segments of a limb kind, proximal first.

    Raises:
        LibraryError: if the kind is not known or its files do not hold what they should.
    """
    authored = authored_segments(kind)
    for row in limb_kind(kind).segments:
        judge(authored[row.name], read_bytes(f"anatomy/{row.file or row.name}.json"))
    return {
        row.name: ReferenceSegment(authored[row.name], row.suffix)
        for row in limb_kind(kind).segments
    }


@functools.cache
def level_ways(segment: str) -> LevelWays:
    """Words for the two ways along a segment's levels; the usual ones for none known.

    Raises:
        LibraryError: if the files of its limb do not hold what they should.
    """
    for kind in limb_kinds():
        if any(row.name == segment for row in limb_kind(kind).segments):
            return reference_segments(kind)[segment].authored.ways
    return LevelWays()


@functools.cache
def reference_groups(kind: str) -> dict[str, ReferenceSegment]:
    """Every group of sections of a limb kind by name: the segments, then their further groups.

    Raises:
        LibraryError: as `reference_segments`.
    """
    found = reference_segments(kind)
    further = [
        ReferenceSegment(own, segment.suffix, segment.primary)
        for segment in found.values()
        for own in segment.authored.each_group[1:]
    ]
    return found | {one.group: one for one in further}


@functools.cache
def group_of(kind: str, segment: str, bone: str) -> ReferenceSegment:
    """The group of a segment's sections that cuts a bone; the segment's own where none does."""
    own = reference_segments(kind)[segment]
    further = (reference_groups(kind)[group.primary] for group in own.authored.groups)
    return next((one for one in further if bone in one.cut_bones), own)


@functools.cache
def is_seen_from_above(segment: str) -> bool:
    """Whether a segment's front view shows y forward instead of the level; False for none known.

    Raises:
        LibraryError: if the files of its limb do not hold what they should.
    """
    for kind in limb_kinds():
        if any(row.name == segment for row in limb_kind(kind).segments):
            return reference_segments(kind)[segment].authored.front_shows == "forward"
    return False
