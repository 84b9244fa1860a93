"""How a frame's equations are solved: which nodes go first, found once for each arrangement.

A node where just two members meet is left out exactly: both become one member between the nodes
beyond (static condensation). Rounds of such nodes are worked off as stacks of small matrices; what
is left is solved as one small dense system. Frames of one arrangement share one plan.
"""

from functools import lru_cache
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from fixplan.frame.elements import Array, Model

Index = npt.NDArray[np.intp]
Pairs = tuple[tuple[str, str], ...]
Held = tuple[tuple[str, tuple[bool, ...]], ...]


FEWEST = 4
"""A round of fewer nodes costs more than the dense system gains."""


class Round(NamedTuple):
    """Nodes eliminated together, each between two members.

    `pieces` (6, n) are places in the store of 6 x 6 pieces: both members' own at the node, both
    couplings to the nodes beyond, both own at those. `beyond` (2, n) are those nodes, `made` the
    places of the new members' pieces, `gather` adds up at the nodes beyond.
    """

    node: Index
    pieces: Index
    beyond: Index
    made: slice
    gather: Array


class Plan(NamedTuple):
    """Arrangement of a frame: number of each node, ends of members, rounds, and what is left.

    `slots` numbers the nodes, `left` are those solved for. `last` are the places of the pieces left
    and `places` where their entries stand in that system, laid flat. `held` marks unknowns that a
    support holds, `meeting` which ends meet where, `probe` is a load without pattern.
    """

    slots: dict[str, int]
    ends: Index
    beams: int
    rounds: tuple[Round, ...]
    pieces: int
    last: Index
    left: Index
    places: Index
    held: npt.NDArray[np.bool_]
    held_left: Index
    unknowns: Index
    meeting: Array
    probe: Array


def plan_of(model: Model) -> Plan:
    """The plan for a model's arrangement; the same one for all models arranged alike."""
    beams = tuple([(beam.i, beam.j) for beam in model.beams])
    springs = tuple([(spring.i, spring.j) for spring in model.springs])
    return _plan(tuple(model.nodes), beams, springs, tuple(model.supports.items()))


@lru_cache(maxsize=64)
def _plan(nodes: tuple[str, ...], beams: Pairs, springs: Pairs, supports: Held) -> Plan:
    index = {name: n for n, name in enumerate(nodes)}
    ends = np.array([(index[i], index[j]) for i, j in beams + springs], dtype=np.intp)
    ends = ends.reshape(-1, 2)
    held = np.zeros((len(nodes), 6), dtype=bool)
    for name, fixed in supports:
        held[index[name]] = fixed
    graph = _Graph(ends, tuple(bool(row.any()) for row in held))
    rounds = tuple(graph.rounds())
    gone = {int(n) for one in rounds for n in one.node}
    left = np.array([n for n in range(len(nodes)) if n not in gone], dtype=np.intp)
    slot = np.zeros(len(nodes), dtype=np.intp)
    slot[left] = np.arange(len(left))
    last, places = _last(graph.members, slot, 6 * len(left))
    meeting = np.zeros((len(nodes), ends.size))
    meeting[ends.ravel(), np.arange(ends.size)] = 1.0
    return Plan(
        slots=index,
        ends=ends,
        beams=len(beams),
        rounds=rounds,
        pieces=4 * graph.count,
        last=last,
        left=left,
        places=places,
        held=held.ravel(),
        held_left=np.flatnonzero(held[left].ravel()),
        unknowns=_unknowns(ends),
        meeting=meeting,
        probe=_probe(held.ravel()),
    )


def _probe(held: npt.NDArray[np.bool_]) -> Array:
    """A load that no frame is blind to: numbers without pattern, always the same, of length 1."""
    probe = np.sin(1.7 * np.arange(1, len(held) + 1) ** 2)[:, None]
    probe[held] = 0.0
    size = float(np.sqrt((probe**2).sum())) or 1.0
    return np.asarray(probe / size, dtype=np.float64)


def _last(members: dict[int, tuple[int, int]], slot: Index, size: int) -> tuple[Index, Index]:
    """Pieces of the members left, and where their entries stand in a system of that size."""
    pieces, places = [], []
    six = np.arange(6, dtype=np.intp)
    for number, ends in members.items():
        for near in (0, 1):
            for far in (0, 1):
                pieces.append(4 * number + 2 * near + far)
                rows = 6 * slot[ends[near]] + six
                places.append(rows[:, None] * size + 6 * slot[ends[far]] + six)
    return np.array(pieces, dtype=np.intp), np.array(places, dtype=np.intp).ravel()


def _unknowns(ends: Index) -> Index:
    """The twelve unknowns of each member, (members, 12)."""
    return (6 * ends[:, :, None] + np.arange(6)).reshape(len(ends), 12)


class _Graph:
    """Members by number with their ends, as nodes are eliminated one round after another."""

    def __init__(self, ends: Index, is_held: tuple[bool, ...]) -> None:
        self.members: dict[int, tuple[int, int]] = {
            n: (int(i), int(j)) for n, (i, j) in enumerate(ends)
        }
        self.count = len(self.members)
        self._nodes = len(is_held)
        self._held = is_held

    def rounds(self) -> list[Round]:
        """All rounds; afterwards `members` is what is left."""
        found = []
        while len(chosen := self._chosen()) >= FEWEST:
            found.append(self._round(chosen))
        return found

    def _chosen(self) -> list[tuple[int, int, int]]:
        """Nodes that may go, none beside another, each with its two members."""
        meet: dict[int, list[int]] = {}
        for number, ends in self.members.items():
            for node in ends:
                meet.setdefault(node, []).append(number)
        taken: set[int] = set()
        chosen: list[tuple[int, int, int]] = []
        for node, members in meet.items():
            if len(members) != 2 or members[0] == members[1] or self._held[node]:
                continue
            beside = {n for member in members for n in self.members[member]} - {node}
            if node not in taken and not beside & {one for one, _, _ in chosen}:
                chosen.append((node, members[0], members[1]))
                taken |= beside
        return chosen

    def _round(self, chosen: list[tuple[int, int, int]]) -> Round:
        start = self.count
        rows, beyond = [], []
        for node, first, second in chosen:
            one, other = self.members.pop(first), self.members.pop(second)
            near, far = one.index(node), other.index(node)
            rows.append(
                (
                    4 * first + 3 * near,
                    4 * second + 3 * far,
                    4 * first + near + 1,
                    4 * second + far + 1,
                    4 * first + 3 * (1 - near),
                    4 * second + 3 * (1 - far),
                )
            )
            beyond.append((one[1 - near], other[1 - far]))
            self.members[self.count] = beyond[-1]
            self.count += 1
        there = np.array(beyond, dtype=np.intp).T.copy()
        gather = np.zeros((self._nodes, there.size))
        gather[there.ravel(), np.arange(there.size)] = 1.0
        nodes = np.array([node for node, _, _ in chosen], dtype=np.intp)
        pieces = np.array(rows, dtype=np.intp).T.copy()
        return Round(nodes, pieces, there, slice(4 * start, 4 * self.count), gather)


class Worked(NamedTuple):
    """One round with its numbers.

    `inverse` (n, 6, 6) at the nodes, `follow` (2, n, 6, 6) how they follow the nodes beyond.
    """

    step: Round
    inverse: Array
    follow: Array


def condensed(plan: Plan, blocks: Array) -> tuple[list[Worked], Array]:
    """Works off all rounds on the members' matrices (members, 12, 12).

    Returns the rounds with their numbers, and the 6 x 6 pieces of what is left.
    """
    store = np.empty((plan.pieces, 6, 6))
    count = 4 * len(blocks)
    store[:count].reshape(-1, 2, 2, 6, 6)[...] = blocks.reshape(-1, 2, 6, 2, 6).transpose(
        0, 1, 3, 2, 4
    )
    done = []
    for step in plan.rounds:
        pieces = store[step.pieces]
        inverse: Array = np.linalg.inv(pieces[0] + pieces[1])
        coupling = pieces[2:4]
        follow = inverse @ coupling
        fresh = coupling.swapaxes(2, 3)[:, None] @ -follow
        fresh[0, 0] += pieces[4]
        fresh[1, 1] += pieces[5]
        store[step.made].reshape(-1, 2, 2, 6, 6)[...] = fresh.transpose(2, 0, 1, 3, 4)
        done.append(Worked(step, inverse, follow))
    return done, store[plan.last]


def carried(done: list[Worked], loads: Array) -> Array:
    """Loads (nodes, 6, cases) with those on eliminated nodes carried to the nodes beyond."""
    out = loads.copy()
    flat = out.reshape(len(out), -1)
    for step, _, follow in done:
        there = follow.swapaxes(2, 3) @ out[step.node]
        flat -= step.gather @ there.reshape(2 * len(step.node), -1)
    return out


def restored(done: list[Worked], movement: Array, loads: Array) -> Array:
    """Movement (nodes, 6, cases) with that of the eliminated nodes, in place.

    `loads` as `carried` gave them.
    """
    for step, inverse, follow in reversed(done):
        beyond = follow @ movement[step.beyond]
        movement[step.node] = inverse @ loads[step.node] - beyond[0] - beyond[1]
    return movement
