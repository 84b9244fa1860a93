"""Gap compliance of many like frames at once, by an exact reduction.

Every motion and wrench is referred to one point, the distal face of the gap. A beam, spring or
rigid arm then is a "resistor" with a 6 x 6 flexibility: in series flexibilities add, in parallel
their inverses do, a branch that leads nowhere drops out, and a small network is left.
N, mm, MPa, radians; axes as in `fixplan.frame.elements`.
Source: circuit theory carried over to rigid-body motions; agreement with the full solver is tested.
"""

from typing import Literal, NamedTuple

import numpy as np

from fixplan.frame.elements import Array, Beam, Model, Spring, beam_table, cross_matrices

GROUND = "the ground"
AT_ONCE = 32

Step = tuple[Literal["series", "parallel"], int, int, int]


class Variants(NamedTuple):
    """Like frames as arrays; the first axis counts frames.

    Beams: `centre` (v, n, 3), unit `direction` (v, n, 3), `flexibility` (v, n, 4) holding L/EA,
    L3/12EI + shear, L/GJ, L/EI. Springs: `point` (v, m, 3), `axes` (v, m, 3, 3), `k` (v, m, 6).
    `origin` (v, 3) is the distal face of the gap.
    """

    centre: Array
    direction: Array
    flexibility: Array
    point: Array
    axes: Array
    k: Array
    origin: Array


def variants_of(models: tuple[Model, ...], distal: str) -> Variants:
    """Like models (same names, members and order) as arrays for `Network.compliance`."""
    rows = [_row(model, distal) for model in models]
    return Variants(*(np.stack(column) for column in zip(*rows, strict=True)))


def _row(model: Model, distal: str) -> tuple[Array, ...]:
    index = {name: n for n, name in enumerate(model.nodes)}
    at = np.array(list(model.nodes.values()))
    t = beam_table(model, at, index)
    middle = np.array([(at[index[b.i]] + at[index[b.j]]) / 2 for b in model.beams])
    bend = t.length**3 / (12 * t.ei) * (1 + t.phi)
    give = np.stack([t.length / t.ea, bend, t.length / t.gj, t.length / t.ei], axis=1)
    point = np.array([at[index[s.i]] + np.array(s.arm_i) for s in model.springs]).reshape(-1, 3)
    axes = np.array([s.axes for s in model.springs]).reshape(-1, 3, 3)
    k = np.array([s.k for s in model.springs]).reshape(-1, 6)
    return middle, t.direction, give, point, axes, k, at[index[distal]]


class Network:
    """The plan of reduction for one arrangement of members, found once for all variants."""

    def __init__(self, model: Model, proximal: str, distal: str) -> None:
        """Plans the reduction; raises ValueError where no path joins the two faces."""
        members: list[Beam | Spring] = [*model.beams, *model.springs]
        held = {name for name, fixed in model.supports.items() if all(fixed)}
        self.ends = [tuple(GROUND if n in held else n for n in (m.i, m.j)) for m in members]
        self.terminals = tuple(GROUND if n in held else n for n in (proximal, distal))
        self.steps: list[Step] = []
        self.edges: dict[int, tuple[str, ...]] = {
            n: pair for n, pair in enumerate(self.ends) if pair[0] != pair[1]
        }
        self._leave_out_apart()
        self._plan()
        if not self.edges:
            raise ValueError("no path of bars and pins joins the two faces of the gap")

    def compliance(self, variants: Variants) -> Array:
        """Gap compliance (v, 6, 6): mm and radians per N and N*mm, as `solve.gap_compliance`."""
        count = len(variants.origin)
        parts = [
            self._reduced(Variants(*(column[n : n + AT_ONCE] for column in variants)))
            for n in range(0, count, AT_ONCE)
        ]
        return np.concatenate(parts) if len(parts) > 1 else parts[0]

    def _reduced(self, variants: Variants) -> Array:
        """The same for a few variants, so that their matrices stay near the processor."""
        give = _flexibilities(variants)
        store = {n: give[:, n] for n in range(len(self.ends))}
        for kind, first, second, made in self.steps:
            a, b = store.pop(first), store.pop(second)
            store[made] = a + b if kind == "series" else a @ np.linalg.solve(a + b, b)
        if len(self.edges) == 1:
            return store[next(iter(self.edges))]
        return self._solve_rest(store)

    def _leave_out_apart(self) -> None:
        """Drops members that hang on neither face: another frame of the same case."""
        reached, more = set(self.terminals), True
        while more:
            touching = {n for pair in self.edges.values() if reached & set(pair) for n in pair}
            more = not touching <= reached
            reached |= touching
        self.edges = {n: pair for n, pair in self.edges.items() if reached & set(pair)}

    def _plan(self) -> None:
        while self._drop_dead_end() or self._join_series() or self._join_parallel():
            pass

    def _at(self, node: str) -> list[int]:
        return [n for n, pair in self.edges.items() if node in pair]

    def _inner_nodes(self) -> list[str]:
        return sorted({n for pair in self.edges.values() for n in pair} - set(self.terminals))

    def _drop_dead_end(self) -> bool:
        for node in self._inner_nodes():
            members = self._at(node)
            if len(members) == 1:
                del self.edges[members[0]]
                return True
        return False

    def _join_series(self) -> bool:
        for node in self._inner_nodes():
            members = self._at(node)
            if len(members) == 2:
                ends = [n for m in members for n in self.edges[m] if n != node]
                self._join("series", members, (ends[0], ends[1]))
                return True
        return False

    def _join_parallel(self) -> bool:
        seen: dict[tuple[str, ...], int] = {}
        for n, pair in self.edges.items():
            key = tuple(sorted(pair))
            if key in seen:
                self._join("parallel", [seen[key], n], pair)
                return True
            seen[key] = n
        return False

    def _join(
        self, kind: Literal["series", "parallel"], members: list[int], ends: tuple[str, ...]
    ) -> None:
        made = len(self.ends) + len(self.steps)
        for n in members:
            del self.edges[n]
        self.steps.append((kind, members[0], members[1], made))
        if ends[0] != ends[1]:
            self.edges[made] = ends

    def _solve_rest(self, store: dict[int, Array]) -> Array:
        """Network that is neither series nor parallel: one small system, proximal face held."""
        nodes = [self.terminals[1], *self._inner_nodes()]
        slot = {name: n for n, name in enumerate(nodes)}
        count = next(iter(store.values())).shape[0]
        whole = np.zeros((count, len(nodes), 6, len(nodes), 6))
        for n, pair in self.edges.items():
            stiff = np.linalg.inv(store[n])
            held = [slot[name] for name in pair if name in slot]
            for p in held:
                whole[:, p, :, p] += stiff
            if len(held) == 2:
                whole[:, held[0], :, held[1]] -= stiff
                whole[:, held[1], :, held[0]] -= stiff
        load = np.zeros((6 * len(nodes), 6))
        load[:6] = np.eye(6)
        size = 6 * len(nodes)
        moved = np.linalg.solve(
            whole.reshape(count, size, size), np.broadcast_to(load, (count, size, 6))
        )
        return np.ascontiguousarray(moved[:, :6])


def _flexibilities(v: Variants) -> Array:
    """Flexibility (v, members, 6, 6) of beams then springs, referred to the origin."""
    along = v.direction[..., :, None] * v.direction[..., None, :]
    across = np.eye(3) - along
    give = v.flexibility[..., None, None]
    shift = give[..., 0, :, :] * along + give[..., 1, :, :] * across
    turn = give[..., 2, :, :] * along + give[..., 3, :, :] * across
    turned = np.swapaxes(v.axes, -1, -2)
    spring_shift = (turned / v.k[..., None, :3]) @ v.axes
    spring_turn = (turned / v.k[..., None, 3:]) @ v.axes
    at = np.concatenate([v.centre, v.point], axis=1)
    return _referred(
        np.concatenate([shift, spring_shift], axis=1),
        np.concatenate([turn, spring_turn], axis=1),
        v.origin[:, None] - at,
    )


def _referred(shift: Array, turn: Array, reach: Array) -> Array:
    """[[A + S B S', S B], [(S B)', B]] with S = -skew(reach)."""
    count, members = reach.shape[:2]
    carry = -cross_matrices(reach.reshape(-1, 3)).reshape(count, members, 3, 3)
    coupled = carry @ turn
    out = np.empty((count, members, 6, 6))
    out[..., :3, :3] = shift + coupled @ np.swapaxes(carry, -1, -2)
    out[..., :3, 3:] = coupled
    out[..., 3:, :3] = np.swapaxes(coupled, -1, -2)
    out[..., 3:, 3:] = turn
    return out
