"""Frames on a test bench, as publications describe them, for the program's own solver.

Axes of mechanics: Z along the bone, pins run forward along X from the bone's surface, the bar lies
beside them (12 mm along Y). What a publication leaves open is drawn at random from these ranges:
stand-off 30 to 70 mm, clamp 5e4 to 1e6 and pin-in-bone 2e5 to 2e6 N*mm/rad, stack 15 to 25 mm.
"""

from itertools import pairwise
from typing import NamedTuple

import numpy as np

from fixplan.frame.elements import Beam, Model, Profile, Spring, round_profile
from fixplan.frame.hold import Firmness, firmness_of
from fixplan.frame.trying import compliances

FIXED = (True,) * 6
STEEL, CARBON, ALUMINIUM = (193000.0, 74230.0), (120000.0, 5000.0), (70000.0, 26000.0)
BESIDE_MM = 12.0
SEAT_N_PER_MM, CLAMP_N_PER_MM = 3e4, 5e4
HALF_BONE_MM = 13.0


class Setup(NamedTuple):
    """A frame with pins at levels (mm from the gap) on both sides and bars at stand-offs (mm)."""

    near_mm: tuple[float, ...]
    bars_mm: tuple[float, ...]
    bar: Profile
    clamp: float
    interface: float
    pin_mm: float = 5.0
    gap_mm: float = 10.0
    bone: Profile = round_profile(26.0, 17000.0, 4500.0, 13.0, 0.9)
    lean_deg: tuple[float, ...] = ()


class Unknown(NamedTuple):
    """One draw of what a publication leaves open."""

    out_mm: float
    stack_mm: float
    clamp: float
    interface: float


def draws(count: int, seed: int = 11) -> tuple[Unknown, ...]:
    """So many draws; stiffnesses evenly over their logarithm."""
    rng = np.random.default_rng(seed)
    return tuple(
        Unknown(
            float(rng.uniform(30, 70)),
            float(rng.uniform(15, 25)),
            float(np.exp(rng.uniform(np.log(5e4), np.log(1e6)))),
            float(np.exp(rng.uniform(np.log(2e5), np.log(2e6)))),
        )
        for _ in range(count)
    )


def solid(diameter_mm: float, stuff: tuple[float, float], bore_mm: float = 0.0) -> Profile:
    return round_profile(diameter_mm, *stuff, bore_mm=bore_mm, shear_share=0.9)


def bench_frame(setup: Setup) -> tuple[Model, tuple[str, str]]:
    """The model and both face nodes of its gap."""
    nodes: dict[str, tuple[float, float, float]] = {}
    beams: list[Beam] = []
    springs: list[Spring] = []
    steel = solid(setup.pin_mm, STEEL)
    lean = setup.lean_deg or (0.0,) * len(setup.near_mm)
    seats: list[list[str]] = [[] for _ in setup.bars_mm]
    for piece, way in (("p", 1.0), ("d", -1.0)):
        levels = (setup.gap_mm / 2, *setup.near_mm, setup.near_mm[-1] + 30.0)
        names = [f"{piece}{k}" for k in range(len(levels))]
        nodes.update({n: (0.0, 0.0, way * z) for n, z in zip(names, levels, strict=True)})
        beams += [Beam(a, b, setup.bone, piece, "bone") for a, b in pairwise(names)]
        for k, (name, degrees) in enumerate(zip(names[1:-1], lean, strict=True)):
            rise = np.tan(np.radians(degrees)) * way
            last, z = f"{piece}pin{k}", nodes[name][2]
            nodes[last] = (HALF_BONE_MM, 0.0, z)
            k_seat = (SEAT_N_PER_MM,) * 3 + (setup.interface,) * 3
            springs.append(Spring(name, last, k_seat, arm_i=(HALF_BONE_MM, 0.0, 0.0)))
            for number, out in enumerate(setup.bars_mm):
                tip, seat = f"{last}@{number}", f"b{number}@{piece}{k}"
                height = float(z + rise * out)
                nodes[tip] = (HALF_BONE_MM + out, 0.0, height)
                nodes[seat] = (HALF_BONE_MM + out, BESIDE_MM, height)
                beams.append(Beam(last, tip, steel, f"pin-{piece}{k}", "pin"))
                k_clamp = (CLAMP_N_PER_MM,) * 3 + (setup.clamp,) * 3
                arm = (0.0, -BESIDE_MM, 0.0)
                springs.append(Spring(seat, tip, k_clamp, arm_i=arm, role="clamp"))
                seats[number].append(seat)
                last = tip
    for number, on in enumerate(seats):
        on.sort(key=lambda seat: nodes[seat][2])
        beams += [Beam(a, b, setup.bar, f"bar-{number}", "bar") for a, b in pairwise(on)]
    top = f"p{len(setup.near_mm) + 1}"
    return Model(nodes, tuple(beams), tuple(springs), {top: FIXED}), ("p0", "d0")


def firmness(setups: tuple[Setup, ...]) -> np.ndarray:
    """Axial, front-back, side and torsion stiffness (setups, 4) of frames of one arrangement."""
    made = [bench_frame(setup) for setup in setups]
    found = compliances(tuple(model for model, _ in made), made[0][1])
    return np.array([firmness_of(one) for one in found])


def one_firmness(setup: Setup) -> Firmness:
    return Firmness(*firmness((setup,))[0].tolist())
