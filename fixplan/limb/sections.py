"""Sections and skin rings at a patient's size (D9, D10).

The primary bone scales by its width factor about the segment's axis, the skin by its own factor
about the bone's target; what lies between is carried along each bearing.
"""

from functools import lru_cache
from math import atan2, cos, hypot, sin, tau

import msgspec
import numpy as np

from fixplan.limb.authored_files import scaling
from fixplan.limb.blend import BlendedRing, BoneBlend, LevelBlend
from fixplan.limb.growth import Growth
from fixplan.limb.reference import ReferenceSegment
from fixplan.limb.rings import Array, rounded_box

GUESS_POWER = 2.4
"""Roundness of a guessed section: between an ellipse (2) and a box; ours."""


class Section(msgspec.Struct, frozen=True, eq=False):
    """One bone cut across at a level; arrays are in the segment's frame and must not be changed.

    `known` False: outside the authored levels, the shape is guessed from the two outlines and
    there is no cortex and no canal.
    """

    bone: str
    segment: str
    group: str
    level_mm: float
    outline: Array
    target: Array
    cortex_mm: float | None
    canal: Array | None
    canal_kind: str
    known: bool
    status: str
    confidence: str


class Cut:
    """The plane of one known level: the primary bone's ring, its target and scale."""

    __slots__ = (
        "blend",
        "k_bone",
        "k_place",
        "k_skin",
        "radial",
        "ring",
        "segment",
        "share",
        "target",
    )

    def __init__(self, segment: ReferenceSegment, growth: Growth, z: float) -> None:
        """Blends the primary bone at z and moves it into the segment's frame."""
        low, high = segment.known_z
        z = min(max(z, low), high)
        self.segment = segment
        self.blend: LevelBlend = segment.blend_at(z)
        self.share = self.blend.share(z)
        self.k_bone = growth.across[segment.primary]
        self.k_place = growth.across[segment.main]
        self.k_skin = growth.skin[segment.name]
        bone = self.blend.primary
        self.radial = bone.ring.at(self.share)
        own = bone.target_at(self.share)
        reach = bone.ring.rays * self.radial[:, None]
        self.target: Array = self.k_place * (own + segment.shift_at(z, own + reach))
        self.ring: Array = self.target + self.k_bone * reach

    def bone_radii(self, bearings: Array) -> Array:
        """How far the scaled primary bone reaches from its target on each bearing (radians)."""
        return self.blend.primary.ring.toward(bearings, self.k_bone * self.radial)

    def skin_radii(self) -> Array:
        """How far the scaled skin reaches from the target on its own bearings.

        Skin that shrinks more than the bone keeps a least depth over it.
        """
        skin = self.blend.skin
        reach: Array = self.k_skin * skin.at(self.share)
        if self.k_skin < self.k_bone:
            least = self.bone_radii(skin.bearings) + scaling().least_skin_depth_mm
            reach = np.maximum(reach, least)
        return reach

    def skin_ring(self) -> Array:
        """The scaled skin in the segment's frame."""
        ring: Array = self.target + self.blend.skin.rays * self.skin_radii()[:, None]
        return ring

    def carried(self, arm: Array) -> Array:
        """Where a point of the reference, given from the target, goes at this size (D10)."""
        ahead, aside = arm.tolist()
        bearing = atan2(aside, ahead) % tau
        bone = self.blend.primary.ring.reach_toward(bearing, self.share)
        skin = self.blend.skin.reach_toward(bearing, self.share)
        bone_now = self.k_bone * bone
        skin_now = max(self.k_skin * skin, bone_now + scaling().least_skin_depth_mm)
        grown = bone_now + (hypot(ahead, aside) - bone) * (skin_now - bone_now) / (skin - bone)
        place: Array = self.target + grown * np.array((cos(bearing), sin(bearing)))
        return place


@lru_cache(maxsize=64)
def cut_at(segment: ReferenceSegment, growth: Growth, z: float) -> Cut:
    """The plane of a known level; bones and skin of one level share it."""
    return Cut(segment, growth, z)


def _canal(blend: BoneBlend, share: float, factor: float, target: Array) -> Array | None:
    if blend.canal is None:
        return None
    ring: Array = target + factor * blend.canal.rays * blend.canal.at(share)[:, None]
    return ring


def _placed(cut: Cut, bone: str, factor: float) -> tuple[Array, Array]:
    """Target and ring of any bone of the cut, at this size."""
    if bone == cut.segment.primary:
        return cut.target, cut.ring
    target = cut.carried(_arm(cut, bone))
    ring: BlendedRing = cut.blend.bones[bone].ring
    return target, target + factor * ring.rays * ring.at(cut.share)[:, None]


def _arm(cut: Cut, bone: str) -> Array:
    """From the primary bone's target to that of a bone of the cut, on the reference limb."""
    blend = cut.blend.bones[bone]
    arm: Array = blend.target_at(cut.share) - cut.blend.primary.target_at(cut.share)
    return arm


def known_section(
    segment: ReferenceSegment, growth: Growth, bone: str, level_mm: float
) -> Section | None:
    """A bone at a level between authored ones; None if the level or the bone is not authored."""
    z = level_mm / (segment.span_mm * growth.along[segment.name])
    if not segment.knows(z) or bone not in segment.blend_at(z).bones:
        return None
    cut = cut_at(segment, growth, z)
    blend, factor = cut.blend.bones[bone], growth.across[bone]
    target, ring = _placed(cut, bone, factor)
    nearer = cut.blend.first if cut.share < 0.5 else cut.blend.second
    cortex = blend.cortex[0] + cut.share * (blend.cortex[1] - blend.cortex[0])
    return Section(
        bone=bone,
        segment=segment.name,
        group=segment.group,
        level_mm=level_mm,
        outline=ring,
        target=target,
        cortex_mm=growth.cortex.get(bone, factor) * cortex,
        canal=_canal(blend, cut.share, growth.canal.get(bone, factor), target),
        canal_kind=blend.canal_kind[0 if cut.share < 0.5 else 1],
        known=True,
        status=nearer.status,
        confidence=nearer.confidence,
    )


def _drawn_span(
    segment: ReferenceSegment, bone: str, level_mm: float
) -> tuple[Array, Array] | None:
    """Corners of the box that a bone's two drawn outlines leave at a reference level."""
    side = segment.extent(bone, "side").at(level_mm)
    if segment.authored.front_shows == "forward":
        across = segment.ring(bone, "front")[:, 0]
        front: tuple[float, float] | None = (float(across.min()), float(across.max()))
    else:
        front = segment.extent(bone, "front").at(level_mm)
    if front is None or side is None:
        return None
    return np.array((front[0], side[0])), np.array((front[1], side[1]))


def guessed_section(
    segment: ReferenceSegment, growth: Growth, bone: str, level_mm: float
) -> Section | None:
    """A bone outside the authored levels, guessed from its outlines.

    None if it is not there, or where the data say that outlines do not tell its shape.
    """
    corners = _drawn_span(segment, bone, level_mm / growth.along[segment.name])
    if corners is None or not segment.authored.guess_beyond:
        return None
    factor = growth.across[bone]
    low, high = factor * corners[0], factor * corners[1]
    return Section(
        bone=bone,
        segment=segment.name,
        group=segment.group,
        level_mm=level_mm,
        outline=rounded_box(low, high, GUESS_POWER),
        target=(low + high) / 2,
        cortex_mm=None,
        canal=None,
        canal_kind="not authored",
        known=False,
        status="guessed",
        confidence="low",
    )


def carried_axis(
    segment: ReferenceSegment, growth: Growth, bone: str, view: str, levels_mm: Array
) -> Array:
    """How far a second bone's outline is moved in a view, at each level, to follow its sections.

    A second bone's centre is carried with the soft tissue (D10), the bone of a further group stays
    where its segment's places are; the outline is merely scaled.
    """
    axis = 0 if view == "front" else 1
    if bone == segment.main or bone not in segment.cut_bones:
        return np.zeros(len(levels_mm))
    moves, known = [], []
    for level in segment.authored.levels:
        cut = Cut(segment, growth, level.z)
        if bone not in cut.blend.bones or bone not in {one.bone for one in level.bones}:
            continue
        known.append(level.z)
        arm = _arm(cut, bone)
        place = cut.target if bone == segment.primary else cut.carried(arm)
        merely_scaled = growth.across[bone] * (arm + cut.target / cut.k_place)
        moves.append(float((place - merely_scaled)[axis]))
    along = segment.span_mm * growth.along[segment.name]
    return np.interp(levels_mm, [z * along for z in known], moves)


def carried_above(segment: ReferenceSegment, growth: Growth, bone: str) -> Array:
    """How far a bone's outline is moved (x, y) in a view from above, to lie about its sections.

    The bone of a further group grows about the mean of its targets, which stay where its segment's
    places are; other bones grow about the origin.
    """
    if bone == segment.main or bone != segment.primary:
        return np.zeros(2)
    cuts = [Cut(segment, growth, level.z) for level in segment.authored.levels]
    targets = np.array([cut.target for cut in cuts])
    moved: Array = targets.mean(axis=0) * (1 - cuts[0].k_bone / cuts[0].k_place)
    return moved
