"""How the segments lie to each other, and where they fall in the two views (D1, D2).

The posed limb's frame is that of the fixed segment, extended; the views' v is its level. The front
view is unfolded: every segment square-on at true length, stacked; the foot from above, forward
down. The side view turns the segments that are not fixed. Which segment hangs on which, and which
joints bend, is data (`fixplan.limb.kinds`).
"""

import functools
import math

import numpy as np

from fixplan.errors import LibraryError
from fixplan.limb.anatomy import Limb, View
from fixplan.limb.kinds import Joint, SegmentRow, limb_kind
from fixplan.limb.rings import Array, gap_to, inside

FOOT_APART_MM = 4.0
"""Between the leg's end and the foot seen from above in the front view; layout, ours."""


class _Placed:
    """A segment's place in the posed limb: turned, then moved; `front_u` and `front_v` unfolded.

    `turn` also mirrors a segment whose own x points the other way; `across` is then -1.
    """

    __slots__ = ("across", "front_move", "move", "turn")

    def __init__(self, turn: Array, move: Array, front_move: Array, across: float = 1.0) -> None:
        self.turn, self.move, self.front_move = turn, move, front_move
        self.across = np.array((across, 1.0))

    def out(self, points: Array) -> Array:
        moved: Array = points @ self.turn.T + self.move
        return moved

    def back(self, points: Array) -> Array:
        own: Array = (points - self.move) @ self.turn
        return own

    def seen_from(self, fixed: "_Placed") -> "_Placed":
        """This place in the frame of another one."""
        return _Placed(
            fixed.turn.T @ self.turn,
            fixed.turn.T @ (self.move - fixed.move),
            fixed.across * (self.front_move - fixed.front_move),
            float(self.across[0] * fixed.across[0]),
        )


def _bend(angle_deg: float) -> Array:
    """Turn about x that takes what is distal backwards: knee flexion of the leg."""
    cos, sin = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    return np.array(((1.0, 0.0, 0.0), (0.0, cos, -sin), (0.0, sin, cos)))


class Pose:
    """A limb with one segment fixed and its joints bent. Made by `pose_of`; compares by identity.

    `bends_deg` holds the angle of each joint that bends, proximal first.
    """

    def __init__(self, limb: Limb, fixed_segment: str, bends_deg: tuple[float, ...]) -> None:
        """Lays the segments out from the first and then takes the fixed one as the frame."""
        if fixed_segment not in limb.segments:
            known = ", ".join(limb.segments)
            raise LibraryError(f"No segment {fixed_segment!r} to hold fixed: use one of {known}.")
        self.limb, self.fixed_segment = limb, fixed_segment
        bending = limb_kind(limb.kind).bending
        self.bends_deg = (*bends_deg, *(0.0,) * len(bending))[: len(bending)]
        angles = zip(bending, self.bends_deg, strict=True)
        self._turns_deg = {joint.below: joint.turn_deg(angle) for joint, angle in angles}
        from_first = _from_first(limb, self._turns_deg)
        fixed = from_first[fixed_segment]
        self._placed = {name: one.seen_from(fixed) for name, one in from_first.items()}

    def _of(self, segment: str) -> _Placed:
        found = self._placed.get(segment)
        if found is None:
            known = ", ".join(self._placed)
            raise LibraryError(f"This limb has no segment {segment!r}: use one of {known}.")
        return found

    def to_limb(self, segment: str, points: Array) -> Array:
        """Points (n, 3) of a segment's frame in the posed limb's frame."""
        return self._of(segment).out(np.asarray(points, dtype=float))

    def from_limb(self, segment: str, points: Array) -> Array:
        """Points (n, 3) of the posed limb's frame in a segment's frame."""
        return self._of(segment).back(np.asarray(points, dtype=float))

    def to_view(self, segment: str, view: View, points: Array) -> Array:
        """Where points (n, 3) of a segment's frame fall in a view, as (u, v) in mm."""
        solid = np.asarray(points, dtype=float)
        if view == "side":
            return self.to_limb(segment, solid)[:, 1:]
        return self.uv_of(segment, view, solid[:, [0, self._front_axis(segment)]])

    def _front_axis(self, segment: str) -> int:
        return 1 if self.limb.segments[segment].front_shows == "forward" else 2

    def uv_of(self, segment: str, view: View, drawn: Array) -> Array:
        """Where points (n, 2) drawn on a segment in a view fall in that view, as (u, v)."""
        flat = np.asarray(drawn, dtype=float)
        placed = self._of(segment)
        if view == "front":
            front: Array = flat * placed.across + placed.front_move
            return front
        uv: Array = flat @ placed.turn[1:, 1:].T + placed.move[1:]
        return uv

    def drawn_of(self, segment: str, view: View, uv: Array) -> Array:
        """The inverse of `uv_of`: view coordinates as drawn on the segment."""
        flat = np.asarray(uv, dtype=float)
        placed = self._of(segment)
        if view == "front":
            front: Array = (flat - placed.front_move) * placed.across
            return front
        drawn: Array = (flat - placed.move[1:]) @ placed.turn[1:, 1:]
        return drawn

    def joint_axis(self, joint: Joint, view: View) -> Array:
        """Where a joint's axis falls in a view, (u, v)."""
        place: Array = self.to_view(joint.above, view, _hinge(self.limb, joint.above)[None])[0]
        return place

    def turn_deg(self, joint: Joint) -> float:
        """How far a joint turns what is below it about x, degrees, + backward."""
        return self._turns_deg.get(joint.below, 0.0)

    def segment_at(self, view: View, uv: Array) -> str:
        """The segment at a point (u, v) of a view: in whose skin it lies, else the nearest.

        Of the two nearest one with a bone there goes first: skin and bones of a midfoot belong to
        segments that overlap.
        """
        point = np.asarray(uv, dtype=float).reshape(1, 2)
        gaps = {}
        for segment in self._placed:
            own = self.drawn_of(segment, view, point)[0]
            ring = self.limb.skin_outline(segment, view)
            gap = gap_to(ring, own)
            gaps[segment] = -gap if inside(ring, own) else gap
        nearest, *next_ones = sorted(gaps, key=lambda segment: gaps[segment])[:2]
        if gaps[nearest] > 0 or self._has_bone_at(nearest, view, point):
            return nearest
        return next((one for one in next_ones if self._has_bone_at(one, view, point)), nearest)

    def _has_bone_at(self, segment: str, view: View, point: Array) -> bool:
        """Whether a bone of a segment is drawn at a point of a view."""
        own = self.drawn_of(segment, view, point)[0]
        bones = self.limb.segments[segment].bones
        return any(inside(self.limb.outline(bone, view), own) for bone in bones)


def _hinge(limb: Limb, segment: str) -> Array:
    """The axis at a segment's lower end, in its frame; the end of the segment if none is given."""
    reference = limb.references[segment]
    hinge = reference.authored.hinge
    across, along = limb.growth.across[reference.primary], limb.growth.along[segment]
    y, level = hinge.centre_yz_mm if hinge else (0.0, reference.span_mm)
    return np.array((0.0, across * y, along * level))


def _origin(limb: Limb, row: SegmentRow) -> Array:
    """Where a segment starts in the straight frame of the one that it hangs on.

    Given in the data: what lies beyond the joint grows with the segment itself. Not given: the end
    of the other one, and the cartilage between.
    """
    above = limb.references[row.hangs_on]
    across, along = limb.growth.across[above.primary], limb.growth.along
    hinge = above.authored.hinge
    if row.origin_mm is None:
        gap = across * (hinge.gap_mm if hinge else 0.0)
        return np.array((0.0, 0.0, limb.segments[row.hangs_on].to_mm + gap))
    x, y, level = row.origin_mm
    joint = hinge.centre_yz_mm[1] if hinge else above.span_mm
    beyond = along[row.name] * (level - joint)
    return np.array((across * x, across * y, along[row.hangs_on] * joint + beyond))


def _front_origin(limb: Limb, row: SegmentRow, origin: Array) -> Array:
    """Where a segment starts in the unfolded front view of the one that it hangs on, (u, v).

    A foot seen from above stands a little below what is over it.
    """
    above, below = (limb.segments[name].front_shows for name in (row.hangs_on, row.name))
    if above == below:
        return np.array((origin[0], origin[1 if below == "forward" else 2]))
    if below == "level":
        return np.array((origin[0], origin[1]))
    heel = float(limb.skin_outline(row.name, "front")[:, 1].min())
    end = float(limb.skin_outline(row.hangs_on, "front")[:, 1].max())
    return np.array((origin[0], end + FOOT_APART_MM - heel))


def _hung(limb: Limb, row: SegmentRow, above: _Placed, turn_deg: float) -> _Placed:
    """A segment's place, from that of the one it hangs on and the bend of the joint between."""
    hinge, origin = _hinge(limb, row.hangs_on), _origin(limb, row)
    bend = _bend(turn_deg)
    turn, move = bend @ _bend(row.set_deg), hinge + bend @ (origin - hinge)
    across = -1.0 if row.mirrored else 1.0
    return _Placed(
        above.turn @ turn @ np.diag((across, 1.0, 1.0)),
        above.out(move[None])[0],
        above.front_move + above.across * _front_origin(limb, row, origin),
        float(above.across[0]) * across,
    )


def _from_first(limb: Limb, turns_deg: dict[str, float]) -> dict[str, _Placed]:
    """Every segment's place in the first one's frame; `turns_deg` by the segment below a joint."""
    placed: dict[str, _Placed] = {}
    for row in limb_kind(limb.kind).segments:
        if row.hangs_on:
            turn = turns_deg.get(row.name, 0.0)
            placed[row.name] = _hung(limb, row, placed[row.hangs_on], turn)
        else:
            placed[row.name] = _Placed(np.eye(3), np.zeros(3), np.zeros(2))
    return placed


@functools.lru_cache(maxsize=32)
def pose_of(limb: Limb, fixed_segment: str, *bends_deg: float) -> Pose:
    """The limb with a segment fixed upright and its joints bent, proximal first, in degrees.

    A leg takes the flexion of the knee; an arm that of the elbow and the extension of the wrist.
    Angles left out are 0.

    Raises:
        LibraryError: if the limb has no such segment.
    """
    return Pose(limb, fixed_segment, bends_deg)
