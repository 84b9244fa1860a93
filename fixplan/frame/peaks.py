"""Where a frame works hardest: stress of pins and bars, moments of clamps, share of the give.

Stress: |N|/A + sqrt(My2 + Mz2) d/(2 I) at both ends of every piece, MPa, for plain cylinders: the
core of a thread is thinner, but its diameter is not known.
"""

from typing import NamedTuple

import numpy as np

from fixplan.frame.elements import Array, Beam
from fixplan.frame.solve import Solved

NMM_PER_NM = 1000.0


class Peak(NamedTuple):
    """The highest value of one kind of part: its id, the place on it in words, the value."""

    part: str
    place: str
    value: float


class Peaks(NamedTuple):
    """Highest pin and bar stress in MPa and clamp moment in N*m; None where there is no such part.

    `pin_share` is the pin stress over the yield of its steel. `column` is the load in the solution.
    """

    pin: Peak | None
    bar: Peak | None
    clamp: Peak | None
    pin_share: float
    column: int


def highest(solved: Solved, columns: range, yield_mpa: float) -> tuple[Peaks, ...]:
    """The hardest working parts under each of some loads; `yield_mpa` is that of the pins."""
    pins = _highest_stress(solved, columns, "pin")
    bars = _highest_stress(solved, columns, "bar")
    clamps = _highest_moment(solved, columns)
    shares = [pin.value / yield_mpa if pin else 0.0 for pin in pins]
    rows = zip(pins, bars, clamps, shares, columns, strict=True)
    return tuple(Peaks(*row) for row in rows)


def _highest_stress(solved: Solved, columns: range, role: str) -> list[Peak | None]:
    beams = solved.frame.model.beams
    those = [n for n, beam in enumerate(beams) if beam.role == role]
    if not those:
        return [None] * len(columns)
    stress = solved.beam_stress_mpa[those][:, :, columns.start : columns.stop]
    flat = stress.reshape(2 * len(those), -1)
    most = flat.argmax(axis=0).tolist()
    values = flat.max(axis=0).tolist()
    return [_peak(beams[those[at // 2]], at % 2, v) for at, v in zip(most, values, strict=True)]


def _peak(beam: Beam, end: int, value: float) -> Peak:
    return Peak(beam.owner, place_words(beam.j if end else beam.i), value)


def _highest_moment(solved: Solved, columns: range) -> list[Peak | None]:
    springs = solved.frame.model.springs
    those = [n for n, spring in enumerate(springs) if spring.role == "clamp"]
    if not those:
        return [None] * len(columns)
    turning = solved.spring_forces[those, 9:12, columns.start : columns.stop]
    moments = np.sqrt((turning**2).sum(axis=1))
    most = [springs[those[at]].owner for at in moments.argmax(axis=0).tolist()]
    values = moments.max(axis=0).tolist()
    return [Peak(o, part_words(o), v / NMM_PER_NM) for o, v in zip(most, values, strict=True)]


def stress_by_part_mpa(solved: Solved, column: int) -> dict[str, float]:
    """Highest stress of each pin and bar under one load, by id."""
    most: dict[str, float] = {}
    highest_of = solved.beam_stress_mpa[:, :, column].max(axis=1).tolist()
    for beam, stress in zip(solved.frame.model.beams, highest_of, strict=True):
        if beam.role in ("pin", "bar"):
            most[beam.owner] = max(stress, most.get(beam.owner, 0.0))
    return most


def give_by_part(solved: Solved, column: int) -> dict[str, float]:
    """Share of each part in the strain energy of one load, most first; all sum to 1.

    A pin counts with its hold in the bone.
    """
    beams, springs = solved.energy_share()
    return _gathered(solved, beams[:, column], springs[:, column])


def _gathered(solved: Solved, beams: Array, springs: Array) -> dict[str, float]:
    shares: dict[str, float] = {}
    owners = [beam.owner for beam in solved.frame.model.beams]
    owners += [spring.owner for spring in solved.frame.model.springs]
    for owner, share in zip(owners, [*beams.tolist(), *springs.tolist()], strict=True):
        shares[owner] = shares.get(owner, 0.0) + share
    return dict(sorted(shares.items(), key=lambda one: -one[1]))


def part_words(part: str) -> str:
    """A part of the frame in words: "pin 2", "the clamp of bar 1 on pin 2"."""
    if part.startswith("clamp:"):
        bar, _, other = part.removeprefix("clamp:").partition("/")
        return f"the clamp of {part_words(bar)} on {part_words(other)}"
    if part.startswith(("pin-", "bar-")):
        return part.replace("-", " ")
    return f"the {(part.rpartition('-')[0] or part).replace('-', ' ')}"


def place_words(node: str) -> str:
    """Where on a pin or bar a node lies: "at the bone", "at bar 1"."""
    owner, _, clamp = node.partition("@")
    if not clamp:
        return "at the bone"
    bar, _, other = clamp.removeprefix("clamp:").partition("/")
    return f"at {part_words(other if owner == bar else bar)}"
