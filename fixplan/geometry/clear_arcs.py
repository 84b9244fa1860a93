"""Blocked stretches of bearings and the clear arcs that they leave, modulo 360 degrees."""

import math
from collections.abc import Sequence
from typing import Literal

import msgspec
import numpy as np
from numpy.typing import NDArray

from fixplan.geometry.clear_surface import TURN

Array = NDArray[np.float64]
Indices = NDArray[np.intp]
Part = Literal["near", "far", "entry"]
Stretch = tuple[float, float]

NARROW_DEG = 2.0
"""An arc narrower than this is not drawn, and that is said."""
_TOUCHING = 1e-9
_APART = 100.0


class Blocked(msgspec.Struct, frozen=True):
    """Bearings that one named thing blocks, from `from_deg` in [0, 360) on to `to_deg`.

    `part` tells which part of the pin would meet it: `near` (the outer part), `far` (the side of
    the tip) or `entry` (muscle or tendon between skin and bone). A whole turn is 0 to 360.
    """

    name: str
    part: Part
    from_deg: float
    to_deg: float


class Arc(msgspec.Struct, frozen=True):
    """Bearings from `from_deg` in [0, 360) on to `to_deg`, on which nothing was found.

    `from_limit` and `to_limit` are what ends the arc, None for a whole turn.
    """

    from_deg: float
    to_deg: float
    from_limit: Blocked | None = None
    to_limit: Blocked | None = None

    @property
    def width_deg(self) -> float:
        """Width of the arc in degrees."""
        return self.to_deg - self.from_deg

    @property
    def middle_deg(self) -> float:
        """Bearing of the middle of the arc, in [0, 360)."""
        return (self.from_deg + self.to_deg) / 2 % 360.0

    @property
    def narrow(self) -> bool:
        """Whether the arc is too narrow to be drawn."""
        return self.width_deg < NARROW_DEG

    def holds(self, bearing_deg: float) -> bool:
        """Whether a bearing lies in the arc, its ends included."""
        return (bearing_deg - self.from_deg) % 360.0 <= self.width_deg


class Windows:
    """Bearings that named things block, gathered before the stretches of each are united."""

    __slots__ = ("_high", "_low", "_number", "_owners")

    def __init__(self) -> None:
        self._owners: list[tuple[str, Part]] = []
        self._low: list[Array] = []
        self._high: list[Array] = []
        self._number: list[Indices] = []

    def add(
        self, names: Sequence[str], part: Part, low: Array, high: Array, owner: Indices
    ) -> None:
        """Stretches (radians, high >= low), each with the number of its owner among `names`."""
        self._low.append(low)
        self._high.append(high)
        self._number.append(owner + len(self._owners))
        self._owners += [(name, part) for name in names]

    def blocked(self) -> tuple[Blocked, ...]:
        """What each owner blocks, united, in the order in which owners were added."""
        if not any(map(len, self._low)):
            return ()
        low, high = np.concatenate(self._low), np.concatenate(self._high)
        number = np.concatenate(self._number)
        return tuple(
            Blocked(*self._owners[which], *_degrees(*stretch))
            for which, stretches in merged(low, high, number)
            for stretch in stretches
        )


def merged(low: Array, high: Array, group: Indices) -> list[tuple[int, list[Stretch]]]:
    """Unite the stretches (radians, high >= low) of each group modulo a turn.

    Stretches come back sorted, starting in [0, 2 pi); one that crosses 0 ends beyond 2 pi.
    """
    start = low % TURN
    end = start + np.minimum(high - low, TURN)
    over = np.flatnonzero(end > TURN)
    apart = group * _APART
    start = np.concatenate((start + apart, apart[over]))
    end = np.concatenate((np.minimum(end, TURN) + apart, end[over] - TURN + apart[over]))
    order = start.argsort()
    start, furthest = start[order], np.maximum.accumulate(end[order])
    first = np.flatnonzero(start[1:] > furthest[:-1] + _TOUCHING) + 1
    starts = start[np.concatenate(((0,), first))].tolist()
    ends = furthest[np.concatenate((first - 1, (-1,)))].tolist()
    found: dict[int, list[Stretch]] = {}
    for begin, stop in zip(starts, ends, strict=True):
        number = int(begin // _APART)
        base = number * _APART
        found.setdefault(number, []).append((begin - base, stop - base))
    return [(number, _joined_at_zero(stretches)) for number, stretches in found.items()]


def _joined_at_zero(stretches: list[Stretch]) -> list[Stretch]:
    first, last = stretches[0], stretches[-1]
    if len(stretches) > 1 and first[0] <= _TOUCHING and last[1] >= TURN - _TOUCHING:
        return [*stretches[1:-1], (last[0], first[1] + TURN)]
    return stretches


def blocked_of(
    low: Array, high: Array, owner: Indices, names: tuple[str, ...], part: Part
) -> tuple[Blocked, ...]:
    """United stretches as records; stretches of one name are one owner's."""
    numbers = {name: number for number, name in enumerate(dict.fromkeys(names))}
    windows = Windows()
    windows.add(list(numbers), part, low, high, np.array([numbers[name] for name in names])[owner])
    return windows.blocked()


def _degrees(low: float, high: float) -> Stretch:
    if high - low >= TURN - _TOUCHING:
        return 0.0, 360.0
    return math.degrees(low), math.degrees(high)


def clear_arcs(blocked: tuple[Blocked, ...]) -> tuple[Arc, ...]:
    """The arcs that the blocked bearings leave, in order of bearing, each with what ends it."""
    if not blocked:
        return (Arc(0.0, 360.0),)
    pieces = sorted(
        ((at, to, owner) for owner in blocked for at, to in _within_turn(owner)),
        key=lambda p: p[:2],
    )
    end, _, limit = max(((to, at, owner) for at, to, owner in pieces), key=lambda p: p[:2])
    reached = end - 360.0
    arcs: list[Arc] = []
    for at, to, owner in pieces:
        if at > reached + _TOUCHING:
            arcs.append(_arc(reached, at, limit, owner))
        if to > reached:
            reached, limit = to, owner
    return tuple(sorted(arcs, key=lambda arc: arc.from_deg))


def _within_turn(owner: Blocked) -> list[Stretch]:
    if owner.to_deg <= 360.0:
        return [(owner.from_deg, owner.to_deg)]
    return [(owner.from_deg, 360.0), (0.0, owner.to_deg - 360.0)]


def _arc(at: float, to: float, from_limit: Blocked, to_limit: Blocked) -> Arc:
    start = at % 360.0
    return Arc(start, start + (to - at), from_limit, to_limit)
