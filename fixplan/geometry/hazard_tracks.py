"""The nerves, vessels and tendons of a limb at its size, as tracks in space.

Between two authored levels each structure is a polyline with points at most 4 mm apart in level, in
its segment's frame, carried with the tissue between bone and skin (D9, D10). Radii do not grow or
shrink with the limb. Outside the first and last authored level there are no tracks. A `group` is a
segment's own sections, by its name, or a further group of them.
"""

import bisect
import math
from collections.abc import Callable, Collection
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING

import msgspec
import numpy as np
from numpy.typing import NDArray

from fixplan.geometry.hazard_courses import Course, courses, distances, reaches
from fixplan.limb.authored_files import scaling
from fixplan.limb.reference import reference_groups

if TYPE_CHECKING:
    from fixplan.limb.anatomy import Limb

Array = NDArray[np.float64]
Indices = NDArray[np.intp]

FARTHEST_APART_MM = 4.0
"""Points of a track are at most this far apart in level."""


class Structure(msgspec.Struct, frozen=True):
    """What one stretch of track is: its name there, its track, kind and grade."""

    name: str
    track: str
    kind: str
    grade: str


class Stretches:
    """Straight stretches of tracks in one segment's frame, all as arrays of one length.

    `start` and `end` are (n, 3) points (x, y, level) with levels growing, `radius` and `radius_end`
    the structure's radius there, mm; `which` is the number of each stretch's structure among
    `structures`.
    """

    def __init__(
        self,
        ends: tuple[Array, Array],
        radii: tuple[Array, Array],
        which: Indices,
        structures: tuple[Structure, ...],
    ) -> None:
        self.start, self.end = ends
        self.radius, self.radius_end = radii
        self.which, self.structures = which, structures

    @cached_property
    def balls(self) -> tuple[Array, Array]:
        """The middle of each stretch, and the radius of a ball about it that holds it all."""
        half = self.end - self.start
        ball = np.sqrt((half * half).sum(axis=1)) / 2 + np.maximum(self.radius, self.radius_end)
        return (self.start + self.end) / 2, ball

    @cached_property
    def by_name(self) -> tuple[tuple[str, ...], Indices]:
        """The names of the structures, each once, and the number of each stretch's among them."""
        numbers = {name: k for k, name in enumerate(dict.fromkeys(s.name for s in self.structures))}
        number = np.array([numbers[one.name] for one in self.structures], dtype=np.intp)
        return tuple(numbers), number[self.which]

    def __len__(self) -> int:
        """How many stretches there are."""
        return len(self.which)

    def chosen(self, at: Indices | NDArray[np.bool_]) -> "Stretches":
        """Some of the stretches."""
        ends = self.start[at], self.end[at]
        return Stretches(
            ends, (self.radius[at], self.radius_end[at]), self.which[at], self.structures
        )

    def graded(self, grades: Collection[str]) -> "Stretches":
        """The stretches of structures of the given grades."""
        wanted = np.array([one.grade in grades for one in self.structures], dtype=bool)
        return self.chosen(wanted[self.which])


def stretches_between(limb: "Limb", group: str, low_mm: float, high_mm: float) -> Stretches:
    """All stretches of tracks of a group that reach into a range of levels."""
    joined = _gaps_joined(limb, group, _gaps_between(limb, group, low_mm, high_mm))
    meets = (joined.end[:, 2] >= low_mm) & (joined.start[:, 2] <= high_mm)
    return joined.chosen(meets)


def stretches_about(
    limb: "Limb", group: str, levels_mm: tuple[float, float], grades: tuple[str, ...]
) -> Stretches:
    """Stretches of the given grades in the gaps between authored levels that a range meets.

    They may reach far beyond the range; what is remembered serves every pin there.
    """
    return _graded(limb, group, _gaps_between(limb, group, *levels_mm), grades)


def gap_at(limb: "Limb", group: str, level_mm: float) -> int:
    """Number of the gap between authored levels that a level lies in, or is nearest to."""
    levels = authored_levels_mm(limb, group)
    return min(max(bisect.bisect_right(levels, level_mm) - 1, 0), len(levels) - 2)


def gap_tracks(limb: "Limb", group: str, index: int) -> tuple[Stretches, Array]:
    """The stretches of one gap, and in their middles the target of the primary bone (n, 2)."""
    drawn, gap = _gap_stretches(limb, group, index), Gap(limb, group, index)
    levels = (drawn.start[:, 2] + drawn.end[:, 2]) / 2
    shares = (levels / gap.along_mm - gap.z[0]) / (gap.z[1] - gap.z[0])
    return drawn, gap.targets(shares)


def _gaps_between(limb: "Limb", group: str, low_mm: float, high_mm: float) -> range:
    """Numbers of the gaps between authored levels that reach into a range of levels."""
    levels = authored_levels_mm(limb, group)
    meets = [
        index
        for index in range(len(levels) - 1)
        if levels[index + 1] >= low_mm and levels[index] <= high_mm
    ]
    return range(meets[0], meets[-1] + 1) if meets else range(0)


@lru_cache(maxsize=128)
def _gaps_joined(limb: "Limb", group: str, gaps: range) -> Stretches:
    return _joined([_gap_stretches(limb, group, index) for index in gaps])


@lru_cache(maxsize=128)
def _graded(limb: "Limb", group: str, gaps: range, grades: tuple[str, ...]) -> Stretches:
    return _gaps_joined(limb, group, gaps).graded(grades)


@lru_cache(maxsize=64)
def authored_levels_mm(limb: "Limb", group: str) -> tuple[float, ...]:
    """The group's authored levels at this size, mm."""
    reference = limb.groups[group]
    along_mm = reference.span_mm * limb.growth.along[reference.name]
    return tuple(level.z * along_mm for level in reference.authored.levels)


@lru_cache(maxsize=64)
def greatest_radius_mm(limb: "Limb", group: str) -> float:
    """Radius of the thickest round hazard of a group, mm."""
    levels = limb.groups[group].authored.levels
    return max((h.radius_mm or 0.0 for level in levels for h in level.hazards), default=0.0)


class Gap:
    """Between two neighbouring authored levels of a group at the limb's size."""

    def __init__(self, limb: "Limb", group: str, index: int) -> None:
        """Take the gap after the authored level of that number."""
        self.reference = limb.groups[group]
        levels = self.reference.authored.levels
        self.z = (levels[index].z, levels[index + 1].z)
        self.blend = self.reference.blend_at((self.z[0] + self.z[1]) / 2)
        self.primary = self.reference.primary
        self.k_bone = limb.growth.across[self.primary]
        self.k_place = limb.growth.across[self.reference.main]
        self.k_skin = limb.growth.skin[self.reference.name]
        self.along_mm = self.reference.span_mm * limb.growth.along[self.reference.name]

    def shares(self) -> Array:
        """Evenly spaced shares with the middle among them, at most 4 mm apart in level."""
        length = (self.z[1] - self.z[0]) * self.along_mm
        return np.linspace(0.0, 1.0, 2 * math.ceil(length / 2 / FARTHEST_APART_MM) + 1)

    def levels_mm(self, shares: Array) -> Array:
        """Levels of shares of the way, mm."""
        return np.asarray((self.z[0] + shares * (self.z[1] - self.z[0])) * self.along_mm)

    def targets(self, shares: Array) -> Array:
        """The primary bone's target in the segment's frame at this size, (levels, 2)."""
        bone = self.blend.primary
        own = bone.target[0] + shares[:, None] * (bone.target[1] - bone.target[0])
        reach = bone.ring.start + shares[:, None] * bone.ring.step
        rings = own[:, None] + bone.ring.rays * reach[..., None]
        middles = (rings.min(axis=1) + rings.max(axis=1)) / 2
        z = self.z[0] + shares * (self.z[1] - self.z[0])
        return np.asarray(self.k_place * (own + self.reference.shifts_at(z, middles)))

    def grown(self, shares: Array, bearings: Array, distance: Array) -> Array:
        """Where points at a reference distance from the target go at this size (D10), mm."""
        bone = reaches(self.blend.primary.ring, shares, bearings)
        skin = reaches(self.blend.skin, shares, bearings)
        bone_now, skin_now = self.k_bone * bone, self.k_skin * skin
        if self.k_skin < self.k_bone:
            skin_now = np.maximum(skin_now, bone_now + scaling().least_skin_depth_mm)
        beyond = bone_now + (distance - bone) * (skin_now - bone_now) / (skin - bone)
        return np.where(distance < bone, self.k_bone * distance, beyond)


@lru_cache(maxsize=128)
def _courses(kind: str, group: str, index: int) -> tuple[Course, ...]:
    reference = reference_groups(kind)[group]
    levels = reference.authored.levels
    return courses(reference.blend_at((levels[index].z + levels[index + 1].z) / 2))


@lru_cache(maxsize=128)
def _gap_stretches(limb: "Limb", group: str, index: int) -> Stretches:
    gap = Gap(limb, group, index)
    known = _courses(limb.kind, group, index)
    if not known:
        return _joined([])
    shares = gap.shares()
    bearing, off, radius = (
        _linear(known, shares, pairs)
        for pairs in (
            lambda c: c.bearing,
            lambda c: (c.gap_mm[0] + c.radius_mm[0], c.gap_mm[1] + c.radius_mm[1]),
            lambda c: c.radius_mm,
        )
    )
    distance = gap.grown(shares, bearing, distances(gap.blend.primary.ring, shares, bearing, off))
    points = np.empty((*distance.shape, 3))
    points[..., :2] = distance[..., None] * np.stack((np.cos(bearing), np.sin(bearing)), axis=-1)
    points[..., :2] += gap.targets(shares)[:, None]
    points[..., 2] = gap.levels_mm(shares)[:, None]
    return _cut(known, shares, points, radius)


def _linear(
    known: tuple[Course, ...], shares: Array, pairs: Callable[[Course], tuple[float, float]]
) -> Array:
    ends = np.array([pairs(course) for course in known])
    return np.asarray(ends[:, 0] + shares[:, None] * (ends[:, 1] - ends[:, 0]))


def _cut(known: tuple[Course, ...], shares: Array, points: Array, radius: Array) -> Stretches:
    """Polylines (levels, structures, 3) as single stretches, where the structure is there."""
    there = np.array([(c.from_share, c.to_share) for c in known])
    inside = (shares[:-1, None] >= there[:, 0] - 1e-9) & (shares[1:, None] <= there[:, 1] + 1e-9)
    row, course = np.nonzero(inside)
    structures = tuple(Structure(name, c.track, c.kind, c.grade) for c in known for name in c.names)
    which = 2 * course + ((shares[row] + shares[row + 1]) / 2 > 0.5)
    ends = points[row, course], points[row + 1, course]
    return Stretches(ends, (radius[row, course], radius[row + 1, course]), which, structures)


def _joined(parts: list[Stretches]) -> Stretches:
    nothing = np.zeros((0, 3))
    empty = Stretches(
        (nothing, nothing), (np.zeros(0), np.zeros(0)), np.zeros(0, dtype=np.intp), ()
    )
    parts = [empty, *parts]
    first = np.cumsum([0, *(len(part.structures) for part in parts)])
    start, end, radius, radius_end = (
        np.concatenate([getattr(part, name) for part in parts])
        for name in ("start", "end", "radius", "radius_end")
    )
    which = np.concatenate([part.which + n for part, n in zip(parts, first, strict=False)])
    structures = tuple(one for part in parts for one in part.structures)
    return Stretches((start, end), (radius, radius_end), which, structures)
