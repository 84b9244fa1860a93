"""How the segments lie to each other, and where they fall in the two views (D1, D2).

The posed limb's frame is that of the fixed segment, extended; the views' v is its level. The front
view is unfolded: every segment square-on at true length, stacked; the foot from above, forward
down. The side view turns the segments that are not fixed. The foot stands at neutral.
"""

import functools
import math

import numpy as np

from fixplan.errors import LibraryError
from fixplan.limb.anatomy import Limb, View
from fixplan.limb.rings import Array, gap_to, inside

FOOT_APART_MM = 4.0
"""Between the leg's end and the foot seen from above in the front view; layout, ours."""


class _Placed:
    """A segment's place in the posed limb: turned by `turn` about x, then moved."""

    __slots__ = ("front_move", "front_v", "move", "turn")

    def __init__(self, turn: Array, move: Array, front_v: float) -> None:
        self.turn, self.move, self.front_v = turn, move, front_v
        self.front_move = np.array((0.0, front_v))

    def out(self, points: Array) -> Array:
        moved: Array = points @ self.turn.T + self.move
        return moved

    def back(self, points: Array) -> Array:
        own: Array = (points - self.move) @ self.turn
        return own


def _bend(angle_deg: float) -> Array:
    """Turn about x that takes what is distal backwards: knee flexion of the leg."""
    cos, sin = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    return np.array(((1.0, 0.0, 0.0), (0.0, cos, -sin), (0.0, sin, cos)))


class Pose:
    """A limb with one segment fixed and its knee bent. Made by `pose_of`; compares by identity."""

    def __init__(self, limb: Limb, fixed_segment: str, knee_flexion_deg: float) -> None:
        """Lays the segments out from the thigh and then takes the fixed one as the frame."""
        if fixed_segment not in limb.segments:
            known = ", ".join(limb.segments)
            raise LibraryError(f"No segment {fixed_segment!r} to hold fixed: use one of {known}.")
        self.limb, self.fixed_segment = limb, fixed_segment
        self.knee_flexion_deg = knee_flexion_deg
        from_thigh = _from_thigh(limb, knee_flexion_deg)
        fixed = from_thigh[fixed_segment]
        self._placed = {
            name: _Placed(
                fixed.turn.T @ one.turn,
                fixed.turn.T @ (one.move - fixed.move),
                one.front_v - fixed.front_v,
            )
            for name, one in from_thigh.items()
        }

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
            front: Array = flat + placed.front_move
            return front
        uv: Array = flat @ placed.turn[1:, 1:].T + placed.move[1:]
        return uv

    def drawn_of(self, segment: str, view: View, uv: Array) -> Array:
        """The inverse of `uv_of`: view coordinates as drawn on the segment."""
        flat = np.asarray(uv, dtype=float)
        placed = self._of(segment)
        if view == "front":
            front: Array = flat - placed.front_move
            return front
        drawn: Array = (flat - placed.move[1:]) @ placed.turn[1:, 1:]
        return drawn

    def knee_axis(self, view: View) -> Array:
        """Where the knee's axis falls in a view, (u, v)."""
        place: Array = self.to_view("thigh", view, _knee_axis(self.limb)[None])[0]
        return place

    def segment_at(self, view: View, uv: Array) -> str:
        """The segment at a point (u, v) of a view: in whose skin it lies, else the nearest."""
        point = np.asarray(uv, dtype=float).reshape(1, 2)

        def distance(segment: str) -> float:
            own = self.drawn_of(segment, view, point)[0]
            ring = self.limb.skin_outline(segment, view)
            gap = gap_to(ring, own)
            return -gap if inside(ring, own) else gap

        return min(self._placed, key=distance)


def _knee_axis(limb: Limb) -> Array:
    """The knee's axis in the thigh's frame."""
    knee = limb.references["thigh"].authored.hinge
    across, along = limb.growth.across["femur"], limb.growth.along["thigh"]
    y, level = knee.centre_yz_mm if knee else (0.0, limb.references["thigh"].span_mm)
    return np.array((0.0, across * y, along * level))


def _foot_origin(limb: Limb) -> Array:
    """The hindfoot's origin in the leg's frame: what hangs below the ankle grows with the foot."""
    leg, foot = limb.references["leg"].authored, limb.references["hindfoot"].authored
    ankle = leg.hinge.centre_yz_mm[1] if leg.hinge else leg.span_mm
    x, y, level = foot.origin_in_leg_mm
    across, along = limb.growth.across["tibia"], limb.growth.along
    below = along["hindfoot"] * (level - ankle)
    return np.array((across * x, across * y, along["leg"] * ankle + below))


def _from_thigh(limb: Limb, knee_flexion_deg: float) -> dict[str, _Placed]:
    """Every segment's place in the thigh's frame."""
    knee = limb.references["thigh"].authored.hinge
    gap = limb.growth.across["femur"] * (knee.gap_mm if knee else 0.0)
    leg_v = limb.segments["thigh"].to_mm + gap
    axis, bend = _knee_axis(limb), _bend(knee_flexion_deg)
    leg_move = axis + bend @ (np.array((0.0, 0.0, leg_v)) - axis)
    heel_y = float(limb.skin_outline("hindfoot", "front")[:, 1].min())
    leg_end = float(limb.skin_outline("leg", "front")[:, 1].max())
    return {
        "thigh": _Placed(np.eye(3), np.zeros(3), 0.0),
        "leg": _Placed(bend, leg_move, leg_v),
        "hindfoot": _Placed(
            bend, leg_move + bend @ _foot_origin(limb), leg_v + leg_end + FOOT_APART_MM - heel_y
        ),
    }


@functools.lru_cache(maxsize=32)
def pose_of(limb: Limb, fixed_segment: str, knee_flexion_deg: float) -> Pose:
    """The limb with a segment fixed upright and the knee bent by an angle in degrees.

    Raises:
        LibraryError: if the limb has no such segment.
    """
    return Pose(limb, fixed_segment, knee_flexion_deg)
