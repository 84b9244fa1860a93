"""Gaps between a pin at any tilt and the tracks of nerves, vessels and tendons, in space.

The pin is a cylinder that ends flat at its tip and runs on outward; a through-pin runs on both
ways. What lies outward of the aim point is on the near side, the rest on the far side; a
through-pin has two near sides.
"""

from collections.abc import Callable, Sequence
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
Asked = tuple["Body", Stretches]

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
    return hazard_gaps_of_each(limb, (path,), within_mm, grades)[0]


def hazard_gaps_of_each(
    limb: "Limb", paths: Sequence[PinPath], within_mm: float, grades: tuple[str, ...]
) -> tuple[tuple[HazardGap, ...], ...]:
    """As `hazard_gaps` for several pins at once, which takes hardly longer than for one."""
    asked = [(_body(path), _tracks_near(limb, path, within_mm, grades)) for path in paths]
    return tuple(
        tuple(msgspec.structs.replace(one, part="near") for one in gaps)
        if path.pin.kind == "through"
        else gaps
        for path, gaps in zip(paths, gaps_of_each(asked, within_mm), strict=True)
    )


def _body(path: PinPath) -> Body:
    through = path.pin.kind == "through"
    tip_at_mm = -_ENDLESS_MM if through else path.tip_end_mm
    return Body(path.aim_mm, path.outward, path.radius_mm, tip_at_mm)


def _tracks_near(
    limb: "Limb", path: PinPath, within_mm: float, grades: tuple[str, ...]
) -> Stretches:
    reach = within_mm + path.radius_mm + greatest_radius_mm(limb, path.group)
    inner, outer = path.tip_end_mm, max(path.skin_mm, path.tip_end_mm)
    ends = path.level_at(inner), path.level_at(outer)
    return stretches_about(limb, path.group, (min(ends) - reach, max(ends) + reach), grades)


def gaps_to(body: Body, tracks: Stretches, within_mm: float) -> tuple[HazardGap, ...]:
    """Gaps of a pin to stretches of tracks, for each structure and side, the nearest first."""
    return gaps_of_each(((body, tracks),), within_mm)[0]


def gaps_of_each(asked: Sequence[Asked], within_mm: float) -> tuple[tuple[HazardGap, ...], ...]:
    """As `gaps_to` for several pins, each with the stretches that it may meet."""
    near = [
        (body, tracks.chosen(_possibly_within(body, tracks, within_mm).nonzero()[0]))
        for body, tracks in asked
    ]
    rows = np.cumsum([0, *(len(tracks) for _, tracks in near)]).tolist()
    if not rows[-1]:
        return ((),) * len(near)
    gaps, at = _Seen(near).gaps()
    found = []
    for (body, tracks), first, last in zip(near, rows, rows[1:], strict=False):
        own, there = gaps[:, first:last], at[:, first:last]
        sides = [
            *_nearest(body, tracks, "near", (own[0], there[0]), within_mm),
            *_nearest(body, tracks, "far", (own[1], there[1]), within_mm),
        ]
        found.append(tuple(sorted(sides, key=lambda one: one.gap_mm)))
    return tuple(found)


def _possibly_within(body: Body, tracks: Stretches, within_mm: float) -> NDArray[np.bool_]:
    """Stretches that can come within a gap, told by a ball about each one's middle."""
    middle, ball = tracks.balls
    from_aim = middle - body.aim_mm
    at = from_aim @ body.outward
    off2 = np.einsum("ij,ij->i", from_aim, from_aim) - at * at
    aside = np.maximum(np.sqrt(np.maximum(off2, 0.0)) - body.radius_mm, 0.0)
    past = np.maximum(body.tip_at_mm - at, 0.0)
    return np.asarray(aside * aside + past * past < (ball + within_mm) ** 2)


class _Seen:
    """Stretches as seen along their pins, one row each, in terms of their share u from 0 to 1.

    Place along the pin: at + u at_step. Distance from its axis: the root of
    least^2 + step2 (u - foot)^2. The structure's radius: radius + u radius_step. `own` is the
    pin's radius, `tip` the place of its tip.
    """

    __slots__ = (
        "at",
        "at_step",
        "foot",
        "least2",
        "own",
        "radius",
        "radius_step",
        "step2",
        "tip",
    )

    def __init__(self, asked: Sequence[Asked]) -> None:
        counts = [len(tracks) for _, tracks in asked]
        pins = np.array([(*b.aim_mm, *b.outward, b.radius_mm, b.tip_at_mm) for b, _ in asked])
        rows = np.repeat(pins, counts, axis=0)
        aim, outward, self.own, self.tip = rows[:, :3], rows[:, 3:6], rows[:, 6], rows[:, 7]
        start, end, self.radius, radius_end = (
            np.concatenate([getattr(tracks, name) for _, tracks in asked])
            for name in ("start", "end", "radius", "radius_end")
        )
        start, step = start - aim, end - start
        self.at, self.at_step = _dots(start, outward), _dots(step, outward)
        off = start - self.at[:, None] * outward
        off_step = step - self.at_step[:, None] * outward
        self.step2: Array = np.maximum(_dots(off_step, off_step), _PARALLEL)
        self.foot: Array = -_dots(off, off_step) / self.step2
        nearest = off + self.foot[:, None] * off_step
        self.least2: Array = _dots(nearest, nearest)
        self.radius_step = radius_end - self.radius

    def gaps(self) -> Gaps:
        """Least gaps (2, n) on the near and on the far side, and where along the pin."""
        nought, endless = np.zeros_like(self.tip), np.full_like(self.tip, 2 * _ENDLESS_MM)
        low, high = self._shares(
            np.array((nought, self.tip, -endless)), np.array((endless, nought, self.tip))
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
        gap = axis_mm - self.own - self.radius - share * self.radius_step
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
            self.tip - self.at,
            self.at_step,
            self.radius,
            self.radius_step,
            self.own,
        )
        least2, step2, foot, past, past_step, radius, radius_step, own = (
            column[there, None] for column in columns
        )

        def past_mm(share: Array) -> Array:
            aside = np.maximum(np.sqrt(least2 + step2 * (share - foot) ** 2) - own, 0.0)
            ahead = np.maximum(past - share * past_step, 0.0)
            return np.asarray(np.hypot(aside, ahead) - radius - share * radius_step)

        return past_mm


def _dots(one: Array, other: Array) -> Array:
    """The product of each vector (n, 3) with the other of its row."""
    return np.asarray(np.einsum("ij,ij->i", one, other))


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
