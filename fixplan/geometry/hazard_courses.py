"""How each nerve, vessel or tendon runs between two authored levels of the reference limb (D9).

A structure that both levels know goes the short way round, or the turn its data state, with its
bearing, its gap to the primary bone's surface and its radius linear in level. One that only one
level knows holds to the middle between them. Everything is about the primary bone's target, before
the limb's size.
"""

import math

import msgspec
import numpy as np
from numpy.typing import NDArray

from fixplan.errors import GeometryError
from fixplan.limb.authored import Hazard
from fixplan.limb.blend import BlendedRing, LevelBlend

Array = NDArray[np.float64]

GRADES = ("minor", "variant", "tether", "critical")
"""From the least to the worst; of two the worse holds between their levels."""
TURN = 2 * math.pi


class Course(msgspec.Struct, frozen=True):
    """One round structure between two authored levels.

    Pairs are at the first and at the second level: bearings in radians, the second unwrapped from
    the first; gaps from the bone's surface and radii in mm. It is there from share `from_share` of
    the way to `to_share`.
    """

    names: tuple[str, str]
    track: str
    kind: str
    grade: str
    bearing: tuple[float, float]
    gap_mm: tuple[float, float]
    radius_mm: tuple[float, float]
    from_share: float = 0.0
    to_share: float = 1.0

    def name_at(self, share: float) -> str:
        """The name at the nearer authored level."""
        return self.names[0 if share < 0.5 else 1]


class Place(msgspec.Struct, frozen=True):
    """Where a round hazard lies at its authored level, about the target."""

    hazard: Hazard
    bearing: float
    gap_mm: float
    radius_mm: float


def courses(blend: LevelBlend) -> tuple[Course, ...]:
    """All round hazards between two authored levels.

    Raises:
        GeometryError: a hazard's centre lies inside the bone.
    """
    first, second = (_places(blend, which) for which in (0, 1))
    found: list[Course] = []
    for track in dict.fromkeys(place.hazard.track for place in (*first, *second)):
        above = [place for place in first if place.hazard.track == track]
        below = [place for place in second if place.hazard.track == track]
        for one in list(above):
            if below:
                other = min(below, key=lambda p: abs(_turn(one, p)))
                found.append(_joined(one, other))
                above.remove(one)
                below.remove(other)
        found += [_held(place, 0.0, 0.5) for place in above]
        found += [_held(place, 0.5, 1.0) for place in below]
    return tuple(found)


def distances(ring: BlendedRing, shares: Array, bearings: Array, off_mm: Array) -> Array:
    """How far from the target a point on each bearing lies that is `off_mm` from the outline.

    `shares` is (levels,), the other two (levels, points). The farthest crossing of the ray with the
    outline grown by a disc of that radius; a point farther out is farther off, because the target
    sees the whole outline.
    """
    x, y = (axis * (ring.start + shares[:, None] * ring.step) for axis in ring.rays.T)
    step_x, step_y = np.roll(x, -1, axis=1) - x, np.roll(y, -1, axis=1) - y
    length = np.hypot(step_x, step_y)
    along_x, along_y = (axis[:, None] for axis in (step_x / length, step_y / length))
    depth = x[:, None] * along_y - y[:, None] * along_x
    behind = x[:, None] * along_x + y[:, None] * along_y
    ray_x, ray_y = np.cos(bearings)[..., None], np.sin(bearings)[..., None]
    off = off_mm[..., None]
    lean = ray_x * along_y - ray_y * along_x
    by_edge = (depth + off) / np.maximum(lean, 1e-12)
    foot = by_edge * (ray_x * along_x + ray_y * along_y) - behind
    on_edge = (lean > 1e-12) & (foot >= 0) & (foot <= length[:, None])
    aside = ray_x * y[:, None] - ray_y * x[:, None]
    left = off * off - aside * aside
    by_corner = ray_x * x[:, None] + ray_y * y[:, None] + np.sqrt(np.maximum(left, 0.0))
    farthest = np.maximum(
        np.where(on_edge, by_edge, -math.inf), np.where(left >= 0, by_corner, -math.inf)
    )
    return np.asarray(farthest.max(axis=-1))


def reaches(ring: BlendedRing, shares: Array, bearings: Array) -> Array:
    """How far a blended outline reaches from the target; shapes as in `distances`."""
    index = np.searchsorted(ring.bearings, bearings % TURN, side="right") - 1
    following = (index + 1) % len(ring.bearings)
    share = shares.reshape(-1, *(1,) * (bearings.ndim - 1))
    first = ring.rays[index] * (ring.start[index] + share * ring.step[index])[..., None]
    second = (
        ring.rays[following] * (ring.start[following] + share * ring.step[following])[..., None]
    )
    edge = second - first
    across = np.cos(bearings) * edge[..., 1] - np.sin(bearings) * edge[..., 0]
    return np.asarray((first[..., 0] * edge[..., 1] - first[..., 1] * edge[..., 0]) / across)


def _places(blend: LevelBlend, which: int) -> list[Place]:
    level = blend.first if which == 0 else blend.second
    round_ones = [hazard for hazard in level.hazards if hazard.at and hazard.radius_mm]
    if not round_ones:
        return []
    arms = np.array([hazard.at for hazard in round_ones]) - blend.primary.target[which]
    ring = blend.primary.ring
    bearings = np.arctan2(arms[:, 1], arms[:, 0]) % TURN
    inside = np.hypot(arms[:, 0], arms[:, 1]) <= reaches(ring, np.array((float(which),)), bearings)
    if inside.any():
        name = round_ones[int(inside.argmax())].name
        raise GeometryError(
            f'Hazard "{name}" at level {level.id} lies inside the bone: '
            "move it in the anatomy file."
        )
    off = _off_outline(ring.rays * ring.at(float(which))[:, None], arms)
    return [
        Place(hazard, bearing, gap - (hazard.radius_mm or 0.0), hazard.radius_mm or 0.0)
        for hazard, bearing, gap in zip(round_ones, bearings.tolist(), off.tolist(), strict=True)
    ]


def _off_outline(outline: Array, points: Array) -> Array:
    """Distance of points (n, 2) from the nearest edge of a closed outline, mm."""
    step = np.roll(outline, -1, axis=0) - outline
    arm = points[:, None] - outline
    share = np.clip((arm * step).sum(-1) / (step * step).sum(-1), 0.0, 1.0)
    off = arm - share[..., None] * step
    return np.asarray(np.sqrt((off * off).sum(-1)).min(axis=1))


def _turn(one: Place, other: Place) -> float:
    """From one bearing to the other, radians: the stated way round, else the short one."""
    ahead = (other.bearing - one.bearing) % TURN
    if one.hazard.turn == "counter-clockwise":
        return ahead
    if one.hazard.turn == "clockwise":
        return ahead - TURN
    return ahead if ahead <= math.pi else ahead - TURN


def _joined(one: Place, other: Place) -> Course:
    return Course(
        names=(one.hazard.name, other.hazard.name),
        track=one.hazard.track,
        kind=one.hazard.kind,
        grade=max(one.hazard.grade, other.hazard.grade, key=GRADES.index),
        bearing=(one.bearing, one.bearing + _turn(one, other)),
        gap_mm=(one.gap_mm, other.gap_mm),
        radius_mm=(one.radius_mm, other.radius_mm),
    )


def _held(place: Place, from_share: float, to_share: float) -> Course:
    hazard = place.hazard
    return Course(
        names=(hazard.name, hazard.name),
        track=hazard.track,
        kind=hazard.kind,
        grade=hazard.grade,
        bearing=(place.bearing, place.bearing),
        gap_mm=(place.gap_mm, place.gap_mm),
        radius_mm=(place.radius_mm, place.radius_mm),
        from_share=from_share,
        to_share=to_share,
    )
