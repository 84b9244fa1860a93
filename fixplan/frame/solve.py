"""Solves a 3-D frame by direct stiffness; refuses one with a part that is free to move.

N, mm, MPa, radians. The stiffness matrix is scaled by its diagonal; nodes where two members meet
are condensed exactly (`fixplan.frame.plan`). Its condition is judged by an extra load without
pattern carried along in the same solve, then reactions are weighed against loads.
"""

from functools import cached_property

import numpy as np

from fixplan.errors import UnstableFrame
from fixplan.frame.elements import (
    Array,
    Beam,
    Model,
    Spring,
    beam_columns,
    beam_matrices,
    cross_matrices,
    spring_matrices,
)
from fixplan.frame.plan import carried, condensed, plan_of, restored

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
    def member_movement(self) -> Array:
        """Movement (members, 12, cases) of the ends of beams, then springs: mm and radians."""
        ends = self.frame.plan.ends
        return self.movement[ends].reshape(len(ends), 12, -1)

    @cached_property
    def member_forces(self) -> Array:
        """Forces (members, 12, cases) on the ends of beams, then springs: N and N*mm, global."""
        forces: Array = self.frame.blocks @ self.member_movement
        return forces

    @property
    def beam_end_forces(self) -> Array:
        """Forces (beams, 12, cases) on the beams' ends in global axes: N and N*mm."""
        return self.member_forces[: self.frame.plan.beams]

    @property
    def spring_forces(self) -> Array:
        """Forces (springs, 12, cases) on the springs' end nodes in global axes: N and N*mm."""
        return self.member_forces[self.frame.plan.beams :]

    @cached_property
    def beam_stress_mpa(self) -> Array:
        """Highest stress (beams, 2 ends, cases): |N|/A + sqrt(My2 + Mz2) d/(2 I)."""
        table = self.frame.table
        count = len(table.length)
        forces = self.beam_end_forces.reshape(count, 2, 2, 3, -1)
        push, moment = forces[:, :, 0], forces[:, :, 1]
        axis = table.direction[:, None, :, None]
        normal = np.abs((axis * push).sum(axis=2))
        twist = (axis * moment).sum(axis=2)
        bending = np.sqrt(np.maximum((moment**2).sum(axis=2) - twist**2, 0.0))
        stress: Array = normal / table.area[:, None, None] + bending * table.modulus[:, None, None]
        return stress

    def energy_share(self) -> tuple[Array, Array]:
        """Share of the strain energy in beams and springs, (members, cases); 0 without a load."""
        energy = (self.member_forces * self.member_movement).sum(axis=1)
        whole = energy.sum(axis=0)
        share = energy / np.where(whole > 0.0, whole, 1.0)
        return share[: self.frame.plan.beams], share[self.frame.plan.beams :]


class Frame:
    """A model assembled once, to be solved for any loads."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self.plan = plan = plan_of(model)
        self.index = plan.slots
        self.at = np.array(list(model.nodes.values()), dtype=np.float64)
        self.beam_ends, self.spring_ends = plan.ends[: plan.beams], plan.ends[plan.beams :]
        span = self.at[self.beam_ends[:, 1]] - self.at[self.beam_ends[:, 0]]
        self.table = beam_columns(model.beams, span)
        self.beam_k = beam_matrices(self.table)
        self.spring_k = spring_matrices(model.springs) if model.springs else np.zeros((0, 12, 12))
        self.blocks = np.concatenate([self.beam_k, self.spring_k])

    def load_vectors(self, cases: tuple[Loads, ...]) -> Array:
        """Loads (6 n, cases) from wrenches at named nodes."""
        out = np.zeros((len(self.index), 6, len(cases)))
        for column, loads in enumerate(cases):
            for name, wrench in loads.items():
                out[self.index[name], :, column] += wrench
        return out.reshape(6 * len(self.index), -1)

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
        movement, condition = self._solve_scaled(self._scale(), loads)
        solved = Solved(self, movement.reshape(len(self.index), 6, -1), condition)
        self._weigh(solved, loads)
        return solved

    def _scale(self) -> Array:
        """One over the root of the stiffness matrix's diagonal; 0 where a support holds."""
        own = np.diagonal(self.blocks, axis1=1, axis2=2)
        diagonal = np.bincount(self.plan.unknowns.ravel(), own.ravel(), 6 * len(self.index))
        held = self.plan.held
        loose = np.flatnonzero((diagonal <= 0) & ~held)
        if len(loose):
            raise UnstableFrame(self._loose_sentence(list(self.index)[int(loose[0]) // 6]))
        diagonal[held] = 1.0
        scale = 1 / np.sqrt(diagonal)
        scale[held] = 0.0
        return scale

    def _scaled_blocks(self, scale: Array) -> Array:
        """The members' matrices, scaled to ones on the whole matrix's diagonal."""
        local = scale[self.plan.unknowns]
        scaled: Array = self.blocks * local[:, :, None] * local[:, None, :]
        return scaled

    def _solve_scaled(self, scale: Array, loads: Array) -> tuple[Array, float]:
        """Movement (6 n, cases) and the condition, by condensing and one small dense solve."""
        plan, count = self.plan, len(self.index)
        right = np.concatenate([loads * scale[:, None], plan.probe], axis=1).reshape(count, 6, -1)
        try:
            done, pieces = condensed(plan, self._scaled_blocks(scale))
            taken = carried(done, right)
            matrix = self._matrix(pieces)
            answer = np.linalg.solve(matrix, taken[plan.left].reshape(len(matrix), -1))
        except np.linalg.LinAlgError:
            raise UnstableFrame(self._loose_sentence(self._loosest(scale))) from None
        moved = np.zeros_like(right)
        moved[plan.left] = answer.reshape(len(plan.left), 6, -1)
        moved = restored(done, moved, taken).reshape(6 * count, -1)
        # The scaled matrix is of size near 1, so the answer to a random load shows its inverse's.
        condition = float(np.sqrt((moved[:, -1] ** 2).sum()))
        if not condition < CONDITION_LIMIT:
            loose = int(np.argmax(np.abs(moved[:, -1] * scale)))
            raise UnstableFrame(self._loose_sentence(list(self.index)[loose // 6]))
        movement: Array = moved[:, :-1] * scale[:, None]
        return movement, condition

    def _matrix(self, pieces: Array) -> Array:
        """The dense matrix of what condensing left; ones where a support holds."""
        plan = self.plan
        size = 6 * len(plan.left)
        flat = np.bincount(plan.places, pieces.ravel(), size * size)
        matrix = flat.astype(np.float64, copy=False).reshape(size, size)
        matrix[plan.held_left, plan.held_left] += 1.0
        return matrix

    def whole_matrix(self) -> Array:
        """The whole scaled matrix without condensing, supports included: for checks and timings."""
        size = 6 * len(self.index)
        at = self.plan.unknowns
        matrix = np.zeros((size, size))
        places = np.broadcast_to(at[:, :, None], self.blocks.shape), at[:, None, :]
        np.add.at(matrix, places, self._scaled_blocks(self._scale()))
        held = np.flatnonzero(self.plan.held)
        matrix[held, held] += 1.0
        return matrix

    def _loosest(self, scale: Array) -> str:
        """The node that moves most in the weakest way of moving."""
        _, vectors = np.linalg.eigh(self.whole_matrix())
        return list(self.index)[int(np.argmax(np.abs(vectors[:, 0] * scale))) // 6]

    def _loose_sentence(self, node: str) -> str:
        members: list[Beam | Spring] = [*self.model.beams, *self.model.springs]
        owners = [m.owner or m.role for m in members if node in (m.i, m.j)]
        part = next((o for o in owners if o), node)
        return f"{part} is free to move, so the frame has no stiffness: join it to a bar or a bone."

    def _weigh(self, solved: Solved, loads: Array) -> None:
        """Compares reactions with loads, force and moment about the origin."""
        reaction = self._member_pull(solved) - loads
        reaction[~self.plan.held] = 0.0
        total = self._resultant(loads + reaction)
        reach = max(1.0, float(np.abs(self.at).max()))
        total[3:] /= reach
        size = float(np.abs(loads).max() + np.abs(reaction).max())
        if np.abs(total).max() > BALANCE_TOLERANCE * size * len(self.index):
            raise UnstableFrame(
                "Reactions do not balance the loads: the frame is too loose to solve."
            )

    def _member_pull(self, solved: Solved) -> Array:
        """Sum of the members' end forces at every unknown, (6 n, cases)."""
        forces = solved.member_forces
        pull: Array = self.plan.meeting @ forces.reshape(2 * len(forces), -1)
        return pull.reshape(6 * len(self.index), -1)

    def _resultant(self, forces: Array) -> Array:
        six = forces.reshape(len(self.index), 6, -1)
        moments = six[:, 3:] + cross_matrices(self.at) @ six[:, :3]
        return np.concatenate([six[:, :3].sum(axis=0), moments.sum(axis=0)])


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


def gap_compliance(frame: Frame, proximal: str, distal: str) -> Array:
    """The 6 x 6 compliance of a gap (mm, rad per N, N*mm); columns are unit gap wrenches."""
    solved = frame.solve_vectors(frame.gap_units(proximal, distal))
    return gap_movement(solved, proximal, distal)
