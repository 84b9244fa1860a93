"""Sections of the reference limb at any level between the authored ones (D9).

Outlines are blended by radial distance about the target, linear in z, at the union of both levels'
vertex bearings. Everything here is in section coordinates, before the move by c(z).
"""

from math import cos, sin

import numpy as np

from fixplan.limb.authored import AuthoredLevel, BoneSection, Canal
from fixplan.limb.rings import Array, bearings_about, directions, full_turn, radii


class BlendedRing:
    """One outline between two authored levels; `at(share)`: 0 the first level, 1 the second."""

    __slots__ = ("bearings", "rays", "start", "step")

    def __init__(self, first: Array, about: Array, second: Array, about_second: Array) -> None:
        """Takes both outlines and the point of each that radial distances are measured from."""
        own = np.append(bearings_about(first, about), bearings_about(second, about_second))
        bearings = np.sort(own)
        self.bearings = bearings[np.append(np.diff(bearings) > 1e-6, True)]
        self.rays = directions(self.bearings)
        self.start = radii(first, about, self.bearings)
        self.step = radii(second, about_second, self.bearings) - self.start

    def at(self, share: float) -> Array:
        """Radial distances at `bearings`, a share of the way from the first level to the second."""
        blended: Array = self.start + share * self.step
        return blended

    def toward(self, bearings: Array, reach: Array) -> Array:
        """How far the outline with these radial distances reaches on other bearings (radians)."""
        index = np.searchsorted(self.bearings, bearings, side="right") - 1
        following = (index + 1) % len(self.bearings)
        first = self.rays[index] * reach[index, None]
        edge = self.rays[following] * reach[following, None] - first
        across = np.cos(bearings) * edge[:, 1] - np.sin(bearings) * edge[:, 0]
        far: Array = (first[:, 0] * edge[:, 1] - first[:, 1] * edge[:, 0]) / across
        return far

    def reach_toward(self, bearing: float, share: float) -> float:
        """As `toward` for one bearing (radians, 0 to 2 pi), in plain numbers."""
        index = int(self.bearings.searchsorted(bearing, side="right")) - 1
        (x, y), (end_x, end_y) = (
            self._vertex(number % len(self.bearings), share) for number in (index, index + 1)
        )
        step_x, step_y = end_x - x, end_y - y
        return (x * step_y - y * step_x) / (cos(bearing) * step_y - sin(bearing) * step_x)

    def _vertex(self, number: int, share: float) -> tuple[float, float]:
        reach = self.start.item(number) + share * self.step.item(number)
        return reach * self.rays.item(number, 0), reach * self.rays.item(number, 1)


def canal_ring(canal: Canal, count: int = 36) -> Array | None:
    """The canal's outline in section coordinates; None where none was authored."""
    if canal.outline:
        return np.array(canal.outline)
    if canal.half_ml_mm <= 0:
        return None
    ring: Array = canal.centre + full_turn(count) * (canal.half_ml_mm, canal.half_ap_mm)
    return ring


class BoneBlend:
    """One bone between two authored levels."""

    __slots__ = ("canal", "canal_kind", "cortex", "ring", "target")

    def __init__(self, first: BoneSection, second: BoneSection) -> None:
        """Takes the same bone at both levels."""
        self.target = np.array((first.target, second.target))
        self.cortex = (first.cortex_mm, second.cortex_mm)
        about, about_second = self.target
        self.ring = BlendedRing(
            np.array(first.outline), about, np.array(second.outline), about_second
        )
        canals = canal_ring(first.canal), canal_ring(second.canal)
        self.canal: BlendedRing | None = None
        if canals[0] is not None and canals[1] is not None:
            self.canal = BlendedRing(canals[0], about, canals[1], about_second)
        self.canal_kind = (first.canal.kind, second.canal.kind)

    def target_at(self, share: float) -> Array:
        """Target in section coordinates."""
        target: Array = self.target[0] + share * (self.target[1] - self.target[0])
        return target


class LevelBlend:
    """Everything between two authored levels of a segment."""

    __slots__ = ("bones", "first", "primary", "second", "skin")

    def __init__(self, first: AuthoredLevel, second: AuthoredLevel, primary: str) -> None:
        """Takes two neighbouring levels and the name of the segment's primary bone."""
        self.first, self.second = first, second
        below = {bone.bone: bone for bone in second.bones}
        self.bones = {
            bone.bone: BoneBlend(bone, below[bone.bone])
            for bone in first.bones
            if bone.bone in below
        }
        self.primary = self.bones[primary]
        about, about_second = self.primary.target
        self.skin = BlendedRing(np.array(first.skin), about, np.array(second.skin), about_second)

    def share(self, z: float) -> float:
        """How far a level lies from the first authored level to the second, 0 to 1."""
        return (z - self.first.z) / (self.second.z - self.first.z)
