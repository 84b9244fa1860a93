"""Where margins that depend on a bearing fall below zero, to 1e-9, for many pieces at once.

A margin is smooth within a piece. Each piece is cut into four cells; a cell whose ends differ in
sign holds a bracketed root, and a cell whose ends are alike but near zero is searched for a turn
that crosses zero in between.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Indices = NDArray[np.intp]
MarginAt = Callable[[Array], Array]
Margin = Callable[[Indices], MarginAt]
"""For the numbers of some pieces: their margins in mm at one bearing (radians) for each."""

_SAMPLES = np.linspace(0.0, 1.0, 5)
_NUDGE = 1e-11
_EXACT = 1e-11
_EXACT_MM = 1e-11
_MOST_STEPS = 60
_GOLDEN = (5**0.5 - 1) / 2
_GOLDEN_STEPS = 14
_SLOPE_STEP = 1e-6


class Cells:
    """Cells of pieces: number of the piece, both ends (radians) and the margin there (mm)."""

    __slots__ = ("high", "low", "piece", "value_high", "value_low")

    def __init__(
        self, piece: Indices, low: Array, high: Array, value_low: Array, value_high: Array
    ) -> None:
        self.piece, self.low, self.high = piece, low, high
        self.value_low, self.value_high = value_low, value_high

    def chosen(self, at: NDArray[np.bool_] | Indices) -> "Cells":
        """Some of the cells."""
        return Cells(
            self.piece[at], self.low[at], self.high[at], self.value_low[at], self.value_high[at]
        )


def negative_stretches(
    margin: Margin, low: Array, high: Array, bend: Array
) -> tuple[Array, Array, Indices]:
    """Stretches of bearings on which the margin is negative, and the piece that each lies in.

    `low` and `high` are the ends of the pieces in radians; `bend` is a bound of the margin's second
    derivative in mm per radian squared, which tells the cells that need a closer look.
    """
    cells = _cut(margin, low, high)
    cells = _turned(margin, cells, bend)
    below_low, below_high = cells.value_low < 0, cells.value_high < 0
    touched = below_low | below_high
    cells, below_low, below_high = cells.chosen(touched), below_low[touched], below_high[touched]
    crosses = below_low != below_high
    starts, ends = cells.low.copy(), cells.high.copy()
    root = _roots(margin, cells.chosen(crosses))
    falls = below_high[crosses]
    starts[crosses] = np.where(falls, root, cells.low[crosses])
    ends[crosses] = np.where(falls, cells.high[crosses], root)
    return starts, ends, cells.piece


def _cut(margin: Margin, low: Array, high: Array) -> Cells:
    at = low[:, None] + (high - low)[:, None] * _SAMPLES
    at[:, 0] += _NUDGE
    at[:, -1] -= _NUDGE
    piece = np.arange(len(low))
    value = margin(piece[:, None])(at)
    number = np.repeat(piece, len(_SAMPLES) - 1)
    return Cells(
        number,
        at[:, :-1].ravel(),
        at[:, 1:].ravel(),
        value[:, :-1].ravel(),
        value[:, 1:].ravel(),
    )


def _turned(margin: Margin, cells: Cells, bend: Array) -> Cells:
    """The cells, with those cut in two in which the margin turns round beyond zero."""
    sign = np.where(cells.value_low < 0, -1.0, 1.0)
    least = np.minimum(np.abs(cells.value_low), np.abs(cells.value_high))
    alike = (cells.value_low < 0) == (cells.value_high < 0)
    may_turn = bend[cells.piece] * (cells.high - cells.low) ** 2 / 8
    near = np.flatnonzero(alike & (least < may_turn))
    near = near[_turns_round(margin, cells.chosen(near), sign[near])]
    if not len(near):
        return cells
    at, value = _lowest(margin, cells.chosen(near), sign[near])
    beyond = value * sign[near] < 0
    cut, at, value = near[beyond], at[beyond], value[beyond]
    low, value_low = np.append(cells.low, at), np.append(cells.value_low, value)
    high, value_high = (
        np.append(cells.high, cells.high[cut]),
        np.append(cells.value_high, cells.value_high[cut]),
    )
    high[cut], value_high[cut] = at, value
    return Cells(np.append(cells.piece, cells.piece[cut]), low, high, value_low, value_high)


def _turns_round(margin: Margin, cells: Cells, sign: Array) -> NDArray[np.bool_]:
    """Cells whose margin comes nearer to zero inward from both ends."""
    if not len(sign):
        return np.zeros(0, dtype=bool)
    step = np.minimum(_SLOPE_STEP, (cells.high - cells.low) / 4)
    inward = margin(np.tile(cells.piece, 2))(np.append(cells.low + step, cells.high - step))
    values = np.append(cells.value_low, cells.value_high)
    nearer = (inward - values) * np.tile(sign, 2) < 0
    return np.asarray(nearer[: len(sign)] & nearer[len(sign) :])


def _lowest(margin: Margin, cells: Cells, sign: Array) -> tuple[Array, Array]:
    """Where in each cell sign x margin is least, by golden section; the margin there."""
    low, high, margin_at = cells.low, cells.high, margin(cells.piece)
    left, right = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    at_left, at_right = sign * margin_at(left), sign * margin_at(right)
    for _ in range(_GOLDEN_STEPS):
        falls = at_right < at_left
        low, high = np.where(falls, left, low), np.where(falls, high, right)
        fresh = np.where(falls, low + _GOLDEN * (high - low), high - _GOLDEN * (high - low))
        value = sign * margin_at(fresh)
        left, right = np.where(falls, right, fresh), np.where(falls, fresh, left)
        at_left, at_right = np.where(falls, at_right, value), np.where(falls, value, at_left)
    at = np.where(at_left < at_right, left, right)
    return at, margin_at(at)


def _roots(margin: Margin, cells: Cells) -> Array:
    """Bracketed roots by false position, halving the weight of an end that stays (Illinois).

    All cells go on until the last one is there; one that is there merely gets still nearer.
    """
    margin_at, low, high = margin(cells.piece), cells.low, cells.high
    value_low, value_high = cells.value_low, cells.value_high
    falls = value_high < 0
    at, was_low = low, np.zeros(len(low), dtype=bool)
    for step in range(_MOST_STEPS):
        share = value_low / (value_low - value_high) if step % 6 != 5 else 0.5
        at = low + (high - low) * share
        value = margin_at(at)
        in_low = (value < 0) != falls
        if step:
            again = in_low == was_low
            value_low = np.where(again & ~in_low, value_low / 2, value_low)
            value_high = np.where(again & in_low, value_high / 2, value_high)
        low, high = np.where(in_low, at, low), np.where(in_low, high, at)
        value_low = np.where(in_low, value, value_low)
        value_high = np.where(in_low, value_high, value)
        was_low = in_low
        if not ((np.abs(value) > _EXACT_MM) & (high - low > _EXACT)).any():
            break
    return at
