"""Gaps between a pin at any tilt and the tracks of nerves, vessels and tendons, in space.

The pin is a cylinder that ends flat at its tip and runs on outward; a through-pin runs on both
ways. What lies outward of the aim point is on the near side, the rest on the far side; a
through-pin has two near sides.
"""

from collections.abc import Callable
from typing import TYPE_CHECKING, Literal

import msgspec
import numpy as np
from numpy.typing import NDArray

from fixplan.geometry.hazard_tracks import Stretches, greatest_radius_mm, stretches_about
from fixplan.geometry.paths import PinPath

if TYPE_CHECKING:
    from fixplan.limb.anatomy import Limb

Array = NDArray[np.float64]
Indices = NDArray[np.intp]
Part = Literal["near", "far"]
Gaps = tuple[Array, Array]

_ENDLESS_MM = 1e6
_PARALLEL = 1e-12
_GRID = np.linspace(-1.0, 1.0, 17)
_PASSES = 3


class HazardGap(msgspec.Struct, frozen=True):
    """How near a pin's surface comes to one structure on one side of the bone.

    `gap_mm` is from surface to surface, negative where they overlap; `at_mm` is the distance along
    the pin from its aim point, negative on the far side, and `level_mm` the level there.
    """

    name: str
    track: str
    kind: str
    grade: str
    part: Part
    gap_mm: float
    at_mm: float
    level_mm: float


class Body:
    """A pin as seen by tracks: aim and outward direction (3,), radius and end of its tip, mm.

    `tip_at_mm` is the tip's place along the pin, negative; minus infinity for a through-pin.
    """

    __slots__ = ("aim_mm", "outward", "radius_mm", "tip_at_mm")

    def __init__(self, aim_mm: Array, outward: Array, radius_mm: float, tip_at_mm: float) -> None:
        self.aim_mm, self.outward = aim_mm, outward
        self.radius_mm, self.tip_at_mm = radius_mm, max(tip_at_mm, -_ENDLESS_MM)


def hazard_gaps(
    limb: "Limb",
    path: PinPath,
    within_mm: float,
    grades: tuple[str, ...] = ("critical",),
) -> tuple[HazardGap, ...]:
    """Structures that a pin comes nearer to than `within_mm`, the nearest first.

    One answer for each structure and side of the bone. Where the pin leaves the authored levels
    nothing is known, and nothing is answered: `path.known` and its group's known levels tell.
    """
    through = path.pin.kind == "through"
    body = Body(
        path.aim_mm, path.outward, path.radius_mm, -_ENDLESS_MM if through else path.tip_end_mm
    )
    reach = within_mm + path.radius_mm + greatest_radius_mm(limb, path.group)
    inner, outer = path.tip_end_mm, max(path.skin_mm, path.tip_end_mm)
    ends = path.level_at(inner), path.level_at(outer)
    near = stretches_about(limb, path.group, (min(ends) - reach, max(ends) + reach), grades)
    found = gaps_to(body, near, within_mm)
    if through:
        found = tuple(msgspec.structs.replace(one, part="near") for one in found)
    return found


def gaps_to(body: Body, tracks: Stretches, within_mm: float) -> tuple[HazardGap, ...]:
    """Gaps of a pin to stretches of tracks, for each structure and side, the nearest first."""
    if not len(tracks):
        return ()
    possible = _possibly_within(body, tracks, within_mm).nonzero()[0]
    if not len(possible):
        return ()
    tracks = tracks.chosen(possible)
    gaps, at = _Seen(body, tracks).gaps()
    found = [
        *_nearest(body, tracks, "near", (gaps[0], at[0]), within_mm),
        *_nearest(body, tracks, "far", (gaps[1], at[1]), within_mm),
    ]
    return tuple(sorted(found, key=lambda one: one.gap_mm))


def _possibly_within(body: Body, tracks: Stretches, within_mm: float) -> NDArray[np.bool_]:
    """Stretches that can come within a gap, told by a ball about each one's middle."""
    middle, ball = tracks.balls
    from_aim = middle - body.aim_mm
    at = from_aim @ body.outward
    off2 = (from_aim * from_aim).sum(axis=1) - at * at
    aside = np.maximum(np.sqrt(np.maximum(off2, 0.0)) - body.radius_mm, 0.0)
    past = np.maximum(body.tip_at_mm - at, 0.0)
    return np.asarray(aside * aside + past * past < (ball + within_mm) ** 2)


class _Seen:
    """Stretches as seen along the pin, each in terms of its share u from 0 to 1.

    Place along the pin: at + u at_step. Distance from its axis: the root of
    least^2 + step2 (u - foot)^2. The structure's radius: radius + u radius_step.
    """

    __slots__ = ("at", "at_step", "body", "foot", "least2", "radius", "radius_step", "step2")

    def __init__(self, body: Body, tracks: Stretches) -> None:
        self.body = body
        start, step = tracks.start - body.aim_mm, tracks.end - tracks.start
        self.at, self.at_step = start @ body.outward, step @ body.outward
        off = start - self.at[:, None] * body.outward
        off_step = step - self.at_step[:, None] * body.outward
        self.step2: Array = np.maximum((off_step * off_step).sum(axis=1), _PARALLEL)
        self.foot: Array = -(off * off_step).sum(axis=1) / self.step2
        nearest = off + self.foot[:, None] * off_step
        self.least2: Array = (nearest * nearest).sum(axis=1)
        self.radius, self.radius_step = tracks.radius, tracks.radius_end - tracks.radius

    def gaps(self) -> Gaps:
        """Least gaps (2, n) on the near and on the far side, and where along the pin."""
        tip = self.body.tip_at_mm
        low, high = self._shares(
            np.array(((0.0,), (tip,), (-2 * _ENDLESS_MM,))),
            np.array(((_ENDLESS_MM,), (0.0,), (tip,))),
        )
        gap, share = self._beside(low[:2], high[:2])
        there = (low[2] <= high[2]).nonzero()[0]
        if len(there):
            past_share, past = self._least_past(there, low[2, there], high[2, there])
            nearer = past < gap[1, there]
            gap[1, there] = np.where(nearer, past, gap[1, there])
            share[1, there] = np.where(nearer, past_share, share[1, there])
        return gap, self.at + share * self.at_step

    def _shares(self, low_mm: Array, high_mm: Array) -> tuple[Array, Array]:
        """Shares of each stretch that lie between places along the pin; low > high: none."""
        level = np.abs(self.at_step) < _PARALLEL
        step = np.where(level, 1.0, self.at_step)
        first, last = (low_mm - self.at) / step, (high_mm - self.at) / step
        low = np.where(level, 0.0, np.maximum(np.minimum(first, last), 0.0))
        high = np.where(level, 1.0, np.minimum(np.maximum(first, last), 1.0))
        outside = level & ((self.at < low_mm) | (self.at > high_mm))
        return np.where(outside, 1.0, low), np.where(outside, 0.0, high)

    def _beside(self, low: Array, high: Array) -> tuple[Array, Array]:
        """Least gap beside the pin over some shares, and at which.

        A root of a square less a linear radius: its least place is in closed form.
        """
        slack = self.step2 - self.radius_step**2
        lead = np.where(
            slack > 0,
            self.radius_step * np.sqrt(self.least2 / np.maximum(self.step2 * slack, _PARALLEL**2)),
            np.copysign(np.inf, self.radius_step),
        )
        share = np.clip(self.foot + lead, low, np.maximum(low, high))
        axis_mm = np.sqrt(self.least2 + self.step2 * (share - self.foot) ** 2)
        gap = axis_mm - self.body.radius_mm - self.radius - share * self.radius_step
        return np.where(low <= high, gap, np.inf), share

    def _least_past(self, there: Indices, low: Array, high: Array) -> tuple[Array, Array]:
        """At which share a stretch past the tip is nearest to its flat end, and that gap.

        The distance to a cylinder is convex along a straight stretch: a grid of shares, made finer
        about its best one twice, is right to 0.002 mm.
        """
        past_mm, rows = self._past(there), np.arange(len(there))
        share, width = (low + high) / 2, (high - low) / 2
        for _ in range(_PASSES):
            shares = np.clip(share[:, None] + width[:, None] * _GRID, low[:, None], high[:, None])
            values = past_mm(shares)
            best = values.argmin(axis=1)
            share, width = shares[rows, best], width * (2 / (len(_GRID) - 1))
        return share, values[rows, best]

    def _past(self, there: Indices) -> Callable[[Array], Array]:
        """The gap past the tip of some stretches, by share."""
        columns = (
            self.least2,
            self.step2,
            self.foot,
            self.body.tip_at_mm - self.at,
            self.at_step,
            self.radius,
            self.radius_step,
        )
        own = self.body.radius_mm
        least2, step2, foot, past, past_step, radius, radius_step = (
            column[there, None] for column in columns
        )

        def past_mm(share: Array) -> Array:
            aside = np.maximum(np.sqrt(least2 + step2 * (share - foot) ** 2) - own, 0.0)
            ahead = np.maximum(past - share * past_step, 0.0)
            return np.asarray(np.hypot(aside, ahead) - radius - share * radius_step)

        return past_mm


def _nearest(
    body: Body, tracks: Stretches, part: Part, gaps: Gaps, within_mm: float
) -> list[HazardGap]:
    """The nearest stretch of each track on one side, if it is within the gap."""
    best: dict[str, HazardGap] = {}
    gap, at = gaps
    for i in np.flatnonzero(gap < within_mm).tolist():
        structure = tracks.structures[int(tracks.which[i])]
        kept = best.get(structure.track)
        if kept is None or gap[i] < kept.gap_mm:
            at_mm = float(at[i])
            best[structure.track] = HazardGap(
                name=structure.name,
                track=structure.track,
                kind=structure.kind,
                grade=structure.grade,
                part=part,
                gap_mm=float(gap[i]),
                at_mm=at_mm,
                level_mm=float(body.aim_mm[2] + at_mm * body.outward[2]),
            )
    return list(best.values())
