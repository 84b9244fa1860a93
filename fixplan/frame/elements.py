"""Beams and springs of a 3-D frame as flexible members, and their stiffness matrices.

Inside mechanics everything is in N, mm, MPa and radians; axes are right-handed, z along the limb
(proximal +), x anterior. Unknowns at a node: ux uy uz rx ry rz.
Source: textbook direct stiffness (beam theory with Timoshenko shear); Cowper, J Appl Mech 1966, for
the shear area of a circle (from memory).
"""

from typing import NamedTuple

import msgspec
import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Vector = tuple[float, float, float]
Axes = tuple[Vector, Vector, Vector]
STRAIGHT: Axes = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


class Profile(msgspec.Struct, frozen=True):
    """A round section and its material; `shear_share` is shear area over area, 0 for no shear."""

    area_mm2: float
    second_moment_mm4: float
    polar_mm4: float
    diameter_mm: float
    e_mpa: float
    g_mpa: float
    shear_share: float = 0.0


def round_profile(
    diameter_mm: float, e_mpa: float, g_mpa: float, bore_mm: float = 0.0, shear_share: float = 0.0
) -> Profile:
    """Profile of a round bar or tube: A = pi (d2 - b2) / 4, I = pi (d4 - b4) / 64, J = 2 I."""
    area = np.pi * (diameter_mm**2 - bore_mm**2) / 4
    second = np.pi * (diameter_mm**4 - bore_mm**4) / 64
    return Profile(
        float(area), float(second), float(2 * second), diameter_mm, e_mpa, g_mpa, shear_share
    )


class Beam(msgspec.Struct, frozen=True):
    """A straight beam between two nodes; `owner` is the part it belongs to, such as `pin-2`."""

    i: str
    j: str
    profile: Profile
    owner: str = ""
    role: str = ""


class Spring(msgspec.Struct, frozen=True):
    """A 6-way spring between two nodes, each reached over a rigid arm (mm) from its node.

    `k` holds three N/mm along and three N*mm/rad about the rows of `axes`.
    """

    i: str
    j: str
    k: tuple[float, float, float, float, float, float]
    axes: Axes = STRAIGHT
    arm_i: Vector = (0.0, 0.0, 0.0)
    arm_j: Vector = (0.0, 0.0, 0.0)
    owner: str = ""
    role: str = ""


class Model(NamedTuple):
    """A frame to be solved: node positions by name, members, and the nodes held fast."""

    nodes: dict[str, Vector]
    beams: tuple[Beam, ...]
    springs: tuple[Spring, ...]
    supports: dict[str, tuple[bool, bool, bool, bool, bool, bool]]


def cross_matrices(vectors: Array) -> Array:
    """Matrices S (n, 3, 3) with S v = vector x v for each of (n, 3) vectors."""
    out = np.zeros((len(vectors), 3, 3))
    out[:, 0, 1], out[:, 0, 2] = -vectors[:, 2], vectors[:, 1]
    out[:, 1, 0], out[:, 1, 2] = vectors[:, 2], -vectors[:, 0]
    out[:, 2, 0], out[:, 2, 1] = -vectors[:, 1], vectors[:, 0]
    return out


class BeamTable(NamedTuple):
    """Columns of all beams, ready for vectorised work: lengths in mm, directions (n, 3)."""

    length: Array
    direction: Array
    ea: Array
    ei: Array
    gj: Array
    phi: Array


def beam_table(model: Model, at: Array, index: dict[str, int]) -> BeamTable:
    """Lengths, directions and rigidities of the beams; `at` holds node positions (n, 3) in mm."""
    i = np.array([index[b.i] for b in model.beams], dtype=np.intp)
    j = np.array([index[b.j] for b in model.beams], dtype=np.intp)
    span = at[j] - at[i]
    length = np.sqrt((span**2).sum(axis=1))
    rows = np.array([_rigidities(b.profile) for b in model.beams]).reshape(-1, 4).T
    ea, ei, gj, ga = rows
    phi = np.where(ga > 0, 12 * ei / (np.where(ga > 0, ga, 1.0) * length**2), 0.0)
    return BeamTable(length, span / length[:, None], ea, ei, gj, phi)


def _rigidities(p: Profile) -> tuple[float, float, float, float]:
    ga = p.g_mpa * p.area_mm2 * p.shear_share
    return p.e_mpa * p.area_mm2, p.e_mpa * p.second_moment_mm4, p.g_mpa * p.polar_mm4, ga


def beam_matrices(t: BeamTable) -> Array:
    """Stiffness (n, 12, 12) of straight round beams in global axes, without local axes.

    With P along the beam, Q across it and S its cross matrix:
    a = EA/L P + 12EI/L3 Q, b = 6EI/L2 S, k4 = (4+phi)EI/L Q + GJ/L P, k2 = (2-phi)EI/L Q - GJ/L P.
    """
    along = t.direction[:, :, None] * t.direction[:, None, :]
    across = np.eye(3) - along
    turn = cross_matrices(t.direction)
    shear = 1 + t.phi
    bend = t.ei / t.length
    twist = (t.gj / t.length)[:, None, None] * along
    push = (t.ea / t.length)[:, None, None] * along
    a = push + (12 * bend / t.length**2 / shear)[:, None, None] * across
    b = (6 * bend / t.length / shear)[:, None, None] * turn
    k4 = ((4 + t.phi) * bend / shear)[:, None, None] * across + twist
    k2 = ((2 - t.phi) * bend / shear)[:, None, None] * across - twist
    out = np.empty((len(a), 12, 12))
    for row, blocks in enumerate(
        ((a, -b, -a, -b), (b, k4, -b, k2), (-a, b, a, b), (b, k2, -b, k4))
    ):
        for column, block in enumerate(blocks):
            out[:, 3 * row : 3 * row + 3, 3 * column : 3 * column + 3] = block
    return out


def spring_matrices(springs: tuple[Spring, ...]) -> Array:
    """Stiffness (n, 12, 12) of the springs in global axes, their rigid arms included exactly."""
    axes = np.array([s.axes for s in springs])
    k = np.array([s.k for s in springs])
    local = np.zeros((len(springs), 6, 6))
    local[:, :3, :3] = np.einsum("nki,nk,nkj->nij", axes, k[:, :3], axes)
    local[:, 3:, 3:] = np.einsum("nki,nk,nkj->nij", axes, k[:, 3:], axes)
    reach = np.concatenate(
        [
            -_arm_maps(np.array([s.arm_i for s in springs])),
            _arm_maps(np.array([s.arm_j for s in springs])),
        ],
        axis=2,
    )
    turned: Array = np.einsum("nki,nkl,nlj->nij", reach, local, reach)
    return turned


def _arm_maps(arms: Array) -> Array:
    maps = np.tile(np.eye(6), (len(arms), 1, 1))
    maps[:, :3, 3:] = -cross_matrices(arms)
    return maps
