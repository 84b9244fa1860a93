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
    """Columns of all beams, ready for vectorised work: lengths in mm, directions (n, 3).

    `area` mm2 and `modulus` (radius over second moment, mm-3) turn forces into stress.
    """

    length: Array
    direction: Array
    ea: Array
    ei: Array
    gj: Array
    phi: Array
    area: Array
    modulus: Array


def beam_table(model: Model, at: Array, index: dict[str, int]) -> BeamTable:
    """Lengths, directions and rigidities of the beams; `at` holds node positions (n, 3) in mm."""
    ends = np.array([(index[b.i], index[b.j]) for b in model.beams], dtype=np.intp).reshape(-1, 2)
    return beam_columns(model.beams, at[ends[:, 1]] - at[ends[:, 0]])


def beam_columns(beams: tuple[Beam, ...], span: Array) -> BeamTable:
    """The same from the beams' spans (n, 3) in mm."""
    known: dict[int, tuple[float, ...]] = {}
    rows = []
    for beam in beams:
        profile = beam.profile
        row = known.get(id(profile))
        if row is None:
            row = known[id(profile)] = _rigidities(profile)
        rows.append(row)
    ea, ei, gj, weak, area, modulus = np.array(rows).reshape(-1, 6).T
    square = (span**2).sum(axis=1)
    length = np.sqrt(square)
    phi = 12 * ei * weak / square
    return BeamTable(length, span / length[:, None], ea, ei, gj, phi, area, modulus)


def _rigidities(p: Profile) -> tuple[float, ...]:
    """EA, EI, GJ, one over the shear rigidity (0: no shear), area, radius over second moment."""
    ga = p.g_mpa * p.area_mm2 * p.shear_share
    return (
        p.e_mpa * p.area_mm2,
        p.e_mpa * p.second_moment_mm4,
        p.g_mpa * p.polar_mm4,
        1 / ga if ga > 0 else 0.0,
        p.area_mm2,
        p.diameter_mm / 2 / p.second_moment_mm4,
    )


def beam_matrices(t: BeamTable) -> Array:
    """Stiffness (n, 12, 12) of straight round beams in global axes, without local axes.

    With P along the beam, Q across it and S its cross matrix:
    a = EA/L P + 12EI/L3 Q, b = 6EI/L2 S, k4 = (4+phi)EI/L Q + GJ/L P, k2 = (2-phi)EI/L Q - GJ/L P.
    """
    count = len(t.length)
    shear = 1 + t.phi
    bend = t.ei / (t.length * shear)
    even, twist = 12 * bend / t.length**2, t.gj / t.length
    own, other = (4 + t.phi) * bend, (2 - t.phi) * bend
    # Each is x Q + y P = x I + (y - x) P: a, k4 and k2 in one stack.
    across = np.stack([even, own, other])
    along = np.stack([t.ea / t.length - even, twist - own, -twist - other])
    outer = t.direction[:, :, None] * t.direction[:, None, :]
    a, k4, k2 = along[..., None, None] * outer + across[..., None, None] * np.eye(3)
    b = (6 * bend / t.length)[:, None, None] * cross_matrices(t.direction)
    out = np.empty((count, 12, 12))
    grid = out.reshape(count, 4, 3, 4, 3)
    grid[:, 0, :, 0], grid[:, 2, :, 2] = a, a
    grid[:, 0, :, 2] = grid[:, 2, :, 0] = -a
    grid[:, 1, :, 0] = grid[:, 3, :, 0] = grid[:, 2, :, 1] = grid[:, 2, :, 3] = b
    grid[:, 0, :, 1] = grid[:, 0, :, 3] = grid[:, 1, :, 2] = grid[:, 3, :, 2] = -b
    grid[:, 1, :, 1] = grid[:, 3, :, 3] = k4
    grid[:, 1, :, 3] = grid[:, 3, :, 1] = k2
    return out


def spring_matrices(springs: tuple[Spring, ...]) -> Array:
    """Stiffness (n, 12, 12) of the springs in global axes, their rigid arms included exactly."""
    count = len(springs)
    axes = np.array([s.axes for s in springs]).reshape(count, 3, 3)
    k = np.array([s.k for s in springs]).reshape(count, 6)
    turned = axes.transpose(0, 2, 1)
    shift, turn = (turned * k[:, None, :3]) @ axes, (turned * k[:, None, 3:]) @ axes
    arms = cross_matrices(np.array([(s.arm_i, s.arm_j) for s in springs]).reshape(2 * count, 3))
    near, far = arms[0::2], arms[1::2]
    # Stretch of the spring: u_j - u_i + arm_i x theta_i - arm_j x theta_j; and theta_j - theta_i.
    reach = np.zeros((count, 3, 12))
    reach[:, :, 0:3], reach[:, :, 6:9] = -np.eye(3), np.eye(3)
    reach[:, :, 3:6], reach[:, :, 9:12] = near, -far
    out: Array = reach.transpose(0, 2, 1) @ shift @ reach
    out[:, 3:6, 3:6] += turn
    out[:, 9:12, 9:12] += turn
    out[:, 3:6, 9:12] -= turn
    out[:, 9:12, 3:6] -= turn
    return out
