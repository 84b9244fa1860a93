"""Solves a 3-D frame by direct stiffness; refuses one with a part that is free to move.

N, mm, MPa, radians. The stiffness matrix is scaled by its diagonal; its condition is judged by an
extra random load carried along in the same solve, then reactions are weighed against loads.
"""

from functools import cached_property

import numpy as np
import numpy.typing as npt

from fixplan.errors import UnstableFrame
from fixplan.frame.elements import (
    Array,
    Beam,
    Model,
    Spring,
    beam_matrices,
    beam_table,
    cross_matrices,
    spring_matrices,
)

Wrench = tuple[float, float, float, float, float, float]
Loads = dict[str, Wrench]

# Numerical guards, not clinical limits: sound frames scale to 1e5-1e8, loose ones to 1e16.
CONDITION_LIMIT = 1e12
BALANCE_TOLERANCE = 1e-6


class Solved:
    """Answer to one or more load cases: movement, member forces, stresses, strain energy."""

    def __init__(self, frame: "Frame", movement: Array, condition: float) -> None:
        self.frame = frame
        self.movement = movement  # (nodes, 6, cases)
        self.condition = condition

    def node(self, name: str) -> Array:
        """Movement (6, cases) of a node: mm and radians."""
        moved: Array = self.movement[self.frame.index[name]]
        return moved

    @cached_property
    def beam_end_forces(self) -> Array:
        """Forces (beams, 12, cases) on the beams' ends in global axes: N and N*mm."""
        return self.frame.beam_k @ self._member_movement(self.frame.beam_ends)

    @cached_property
    def spring_forces(self) -> Array:
        """Forces (springs, 12, cases) on the springs' end nodes in global axes: N and N*mm."""
        return self.frame.spring_k @ self._member_movement(self.frame.spring_ends)

    @cached_property
    def beam_stress_mpa(self) -> Array:
        """Highest stress (beams, 2 ends, cases): |N|/A + sqrt(My2 + Mz2) d/(2 I)."""
        forces = self.beam_end_forces
        axis = self.frame.table.direction
        first = np.array([b.profile.area_mm2 for b in self.frame.model.beams])[:, None]
        modulus = np.array(
            [
                b.profile.diameter_mm / 2 / b.profile.second_moment_mm4
                for b in self.frame.model.beams
            ]
        )[:, None]
        ends = []
        for start in (0, 6):
            push, moment = forces[:, start : start + 3], forces[:, start + 3 : start + 6]
            bend = moment - axis[:, :, None] * np.einsum("nk,nkc->nc", axis, moment)[:, None]
            normal = np.abs(np.einsum("nk,nkc->nc", axis, push))
            ends.append(normal / first + np.sqrt((bend**2).sum(axis=1)) * modulus)
        return np.stack(ends, axis=1)

    def energy_share(self) -> tuple[Array, Array]:
        """Share of the strain energy in beams and springs, (members, cases); all sum to 1."""
        beams = (self.beam_end_forces * self._member_movement(self.frame.beam_ends)).sum(axis=1)
        springs = (self.spring_forces * self._member_movement(self.frame.spring_ends)).sum(axis=1)
        whole = beams.sum(axis=0) + springs.sum(axis=0)
        return beams / whole, springs / whole

    def _member_movement(self, ends: npt.NDArray[np.intp]) -> Array:
        flat = self.movement[ends]
        return flat.reshape(len(ends), 12, flat.shape[-1])


class Frame:
    """A model assembled once, to be solved for any loads."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self.index = {name: n for n, name in enumerate(model.nodes)}
        self.at = np.array(list(model.nodes.values()))
        self.table = beam_table(model, self.at, self.index)
        self.beam_k = beam_matrices(self.table)
        self.spring_k = spring_matrices(model.springs) if model.springs else np.zeros((0, 12, 12))
        self.beam_ends = self._ends([(b.i, b.j) for b in model.beams])
        self.spring_ends = self._ends([(s.i, s.j) for s in model.springs])

    def _ends(self, pairs: list[tuple[str, str]]) -> npt.NDArray[np.intp]:
        return np.array([[self.index[i], self.index[j]] for i, j in pairs], dtype=np.intp).reshape(
            -1, 2
        )

    @cached_property
    def free(self) -> npt.NDArray[np.intp]:
        """Indices of the unknowns that no support holds."""
        held = np.zeros(6 * len(self.index), dtype=bool)
        for name, fixed in self.model.supports.items():
            held[6 * self.index[name] : 6 * self.index[name] + 6] = fixed
        return np.flatnonzero(~held)

    def load_vectors(self, cases: tuple[Loads, ...]) -> Array:
        """Loads (6 n, cases) from wrenches at named nodes."""
        out = np.zeros((6 * len(self.index), len(cases)))
        for column, loads in enumerate(cases):
            for name, wrench in loads.items():
                start = 6 * self.index[name]
                out[start : start + 6, column] += wrench
        return out

    def gap_units(self, proximal: str, distal: str) -> Array:
        """Loads (6 n, 6): unit wrenches on the distal face, their opposites on the proximal one."""
        out = np.zeros((6 * len(self.index), 6))
        near, far = self.index[proximal], self.index[distal]
        out[6 * far : 6 * far + 6] = np.eye(6)
        out[6 * near : 6 * near + 6] = -carry(self.at[far] - self.at[near]).T
        return out

    def solve(self, cases: tuple[Loads, ...]) -> Solved:
        """Movement under each load case. Raises UnstableFrame where a part is free to move."""
        return self.solve_vectors(self.load_vectors(cases))

    def solve_vectors(self, loads: Array) -> Solved:
        """Movement under loads (6 n, cases). Raises UnstableFrame where a part is free to move."""
        scale = self._scale()
        movement, condition = self._solve_scaled(self._scaled(scale), scale[self.free], loads)
        solved = Solved(self, movement.reshape(len(self.index), 6, -1), condition)
        self._weigh(solved, loads)
        return solved

    @cached_property
    def _blocks(self) -> tuple[npt.NDArray[np.intp], Array]:
        """Where each member's 12 unknowns stand, and its 12 x 12 stiffness."""
        places = np.concatenate([_unknowns(self.beam_ends), _unknowns(self.spring_ends)])
        return places, np.concatenate([self.beam_k, self.spring_k])

    def _scale(self) -> Array:
        """One over the root of the stiffness matrix's diagonal, for all unknowns."""
        places, blocks = self._blocks
        own = np.diagonal(blocks, axis1=1, axis2=2)
        diagonal = np.bincount(places.ravel(), own.ravel(), 6 * len(self.index))
        loose = self.free[diagonal[self.free] <= 0]
        if len(loose):
            raise UnstableFrame(self._loose_sentence(list(self.index)[int(loose[0]) // 6]))
        return 1 / np.sqrt(np.where(diagonal > 0, diagonal, 1.0))

    def _scaled(self, scale: Array) -> Array:
        """The stiffness of the free unknowns, scaled to ones on its diagonal."""
        places, blocks = self._blocks
        size = len(self.free)
        slot = np.full(6 * len(self.index), size, dtype=np.intp)
        slot[self.free] = np.arange(size)
        at = slot[places]
        local = scale[places]
        values = blocks * local[:, :, None] * local[:, None, :]
        flat = at[:, :, None] * (size + 1) + at[:, None, :]
        whole = np.bincount(flat.ravel(), values.ravel(), (size + 1) ** 2)
        square = whole.astype(np.float64, copy=False).reshape(size + 1, size + 1)
        return np.ascontiguousarray(square[:size, :size])

    def _solve_scaled(self, scaled: Array, scale: Array, loads: Array) -> tuple[Array, float]:
        probe = _probe(len(scale))
        right = np.concatenate([loads[self.free] * scale[:, None], probe], axis=1)
        try:
            answer = np.linalg.solve(scaled, right)
        except np.linalg.LinAlgError:
            raise UnstableFrame(self._loose_sentence(self._loosest(scaled, scale))) from None
        # The scaled matrix is of size near 1, so the answer to a random load shows its inverse's.
        condition = float(np.linalg.norm(answer[:, -1]) / np.linalg.norm(probe))
        if not condition < CONDITION_LIMIT:
            loose = int(np.argmax(np.abs(answer[:, -1] * scale)))
            raise UnstableFrame(self._loose_sentence(self._node_of(loose)))
        movement = np.zeros_like(loads)
        movement[self.free] = answer[:, :-1] * scale[:, None]
        return movement, condition

    def _loosest(self, scaled: Array, scale: Array) -> str:
        _, vectors = np.linalg.eigh(scaled)
        return self._node_of(int(np.argmax(np.abs(vectors[:, 0] * scale))))

    def _node_of(self, unknown: int) -> str:
        return list(self.index)[int(self.free[unknown]) // 6]

    def _loose_sentence(self, node: str) -> str:
        members: list[Beam | Spring] = [*self.model.beams, *self.model.springs]
        owners = [m.owner or m.role for m in members if node in (m.i, m.j)]
        part = next((o for o in owners if o), node)
        return f"{part} is free to move, so the frame has no stiffness: join it to a bar or a bone."

    def _weigh(self, solved: Solved, loads: Array) -> None:
        """Compares reactions with loads, force and moment about the origin."""
        reaction = self._member_pull(solved) - loads
        reaction[self.free] = 0.0
        total = self._resultant(loads) + self._resultant(reaction)
        reach = max(1.0, float(np.abs(self.at).max()))
        total[3:] /= reach
        size = float(np.abs(loads).max() + np.abs(reaction).max())
        if np.abs(total).max() > BALANCE_TOLERANCE * size * len(self.index):
            raise UnstableFrame(
                "Reactions do not balance the loads: the frame is too loose to solve."
            )

    def _member_pull(self, solved: Solved) -> Array:
        """Sum of the members' end forces at every unknown, (6 n, cases)."""
        forces = np.concatenate([solved.beam_end_forces, solved.spring_forces])
        pull: Array = self._meeting @ forces.reshape(2 * len(forces), -1)
        return pull.reshape(6 * len(self.index), -1)

    @cached_property
    def _meeting(self) -> Array:
        """Which member ends meet at which node, (nodes, ends), ones and noughts."""
        ends = np.concatenate([self.beam_ends, self.spring_ends]).ravel()
        out = np.zeros((len(self.index), len(ends)))
        out[ends, np.arange(len(ends))] = 1.0
        return out

    def _resultant(self, forces: Array) -> Array:
        six = forces.reshape(len(self.index), 6, -1)
        moments = six[:, 3:] + cross_matrices(self.at) @ six[:, :3]
        return np.concatenate([six[:, :3].sum(axis=0), moments.sum(axis=0)])


def _unknowns(ends: npt.NDArray[np.intp]) -> npt.NDArray[np.intp]:
    return (6 * ends[:, :, None] + np.arange(6)).reshape(len(ends), 12)


def _probe(size: int) -> Array:
    """A load that no frame is blind to: numbers without pattern, always the same."""
    return np.asarray(np.sin(1.7 * np.arange(1, size + 1) ** 2)[:, None], dtype=np.float64)


def carry(span: Array) -> Array:
    """Movement of a point a span away, as a 6 x 6 map of the movement here: u + theta x span."""
    out = np.eye(6)
    out[:3, 3:] = -cross_matrices(span[None])[0]
    return out


def gap_movement(solved: Solved, proximal: str, distal: str) -> Array:
    """Movement (6, cases) of the distal face less the proximal face carried rigidly to it."""
    at, index = solved.frame.at, solved.frame.index
    span = at[index[distal]] - at[index[proximal]]
    moved: Array = solved.node(distal) - carry(span) @ solved.node(proximal)
    return moved


def gap_pair(frame: Frame, proximal: str, distal: str, wrench: Wrench) -> Loads:
    """A wrench on the distal face and its static opposite on the proximal face."""
    span = frame.at[frame.index[distal]] - frame.at[frame.index[proximal]]
    back = -carry(span).T @ np.array(wrench)
    return {distal: wrench, proximal: tuple(back.tolist())}


def gap_compliance(frame: Frame, proximal: str, distal: str) -> Array:
    """The 6 x 6 compliance of a gap (mm, rad per N, N*mm); columns are unit gap wrenches."""
    solved = frame.solve_vectors(frame.gap_units(proximal, distal))
    return gap_movement(solved, proximal, distal)
