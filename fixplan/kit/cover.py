"""The fewest trays that cover what is needed, exactly, by branch and bound.

What a set of opened trays covers is the size of the largest matching of needs to lines of stock.
By Hall's theorem (deficiency form, Ore 1955) that is the least, over every subset S of needs that
share stock, of (needs outside S) + (stock that serves S). It is submodular in the trays, so what
the best trays left would add one by one bounds what any of them add together.
"""

from collections import Counter
from collections.abc import Iterator
from itertools import combinations
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Row = tuple[int, frozenset[int]]
"""How many, and the needs (by index) that they serve."""
Ints = NDArray[np.int64]
MOST_NODES = 20_000


class Puzzle(NamedTuple):
    """Needs by index: how many, how many more as spares, and whose they are (`patient`).

    A tray is opened for one patient. `trays` and `singles` (packs opened one by one, for anybody)
    hold rows of stock; `kinds` says which trays stand in for each other.
    """

    need: tuple[int, ...]
    spare: tuple[int, ...]
    patient: tuple[int, ...]
    trays: tuple[tuple[Row, ...], ...]
    kinds: tuple[str, ...]
    singles: tuple[Row, ...] = ()


class Cost(NamedTuple):
    """What is to be least, in this order: parts short, trays opened, kinds of which none is left.

    Then single packs opened, and spares that what is opened does not hold.
    """

    short: int
    trays: int
    last: int
    singles: int
    unspared: int


class Cover(NamedTuple):
    """Trays to open, each with its patient. `is_proven`: no better choice exists."""

    opened: tuple[tuple[int, int], ...]
    cost: Cost
    is_proven: bool


def fewest(puzzle: Puzzle) -> Cover:
    """The best choice of trays."""
    return _Search(_drawn_together(puzzle)).best()


def _drawn_together(puzzle: Puzzle) -> Puzzle:
    """The same puzzle with needs of one patient that the same lines serve as one need."""
    lines = [*(row for rows in puzzle.trays for row in rows), *puzzle.singles]
    groups: dict[tuple[object, ...], list[int]] = {}
    for n, who in enumerate(puzzle.patient):
        served = tuple(at for at, (_, own) in enumerate(lines) if n in own)
        groups.setdefault((who, served), []).append(n)
    place = {n: at for at, group in enumerate(groups.values()) for n in group}

    def redrawn(rows: tuple[Row, ...]) -> tuple[Row, ...]:
        return tuple((count, frozenset(place[n] for n in served)) for count, served in rows)

    return puzzle._replace(
        need=tuple(sum(puzzle.need[n] for n in group) for group in groups.values()),
        spare=tuple(sum(puzzle.spare[n] for n in group) for group in groups.values()),
        patient=tuple(puzzle.patient[group[0]] for group in groups.values()),
        trays=tuple(redrawn(rows) for rows in puzzle.trays),
        singles=redrawn(puzzle.singles),
    )


class _Table(NamedTuple):
    """Hall's sums: a column for each subset of each component; `starts` where components begin."""

    base: Ints
    adds: Ints
    starts: Ints

    def covered(self, state: Ints) -> Ints:
        """Needs met, by component (last axis), for one or several states of the columns."""
        found: Ints = np.minimum.reduceat(state, self.starts, axis=-1)
        return found


class _Search:
    """One search; counts the nodes that it visits."""

    def __init__(self, puzzle: Puzzle) -> None:
        self.puzzle = puzzle
        patients = sorted(set(puzzle.patient))
        self.pairs = [(tray, who) for tray in range(len(puzzle.trays)) for who in patients]
        self.alike = [_likeness(puzzle, tray, who) for tray, who in self.pairs]
        self.house = Counter(puzzle.kinds)
        self.is_alone = len(patients) < 2
        self.with_spares = [n + s for n, s in zip(puzzle.need, puzzle.spare, strict=True)]
        self.table = _table(puzzle, self.pairs, puzzle.need, puzzle.singles)
        self.bare = _table(puzzle, self.pairs, puzzle.need, ())
        self.spared = _table(puzzle, self.pairs, self.with_spares, ())
        self.nodes = 0
        self.found: Cover | None = None

    def best(self) -> Cover:
        """Fewest trays for the most that can be covered."""
        whole = list(range(len(self.pairs)))
        most = self._most()
        while True:
            for count in range(len(self.puzzle.trays) + 1):
                self.wanted, self.short = most, sum(self.puzzle.need) - sum(most)
                self._descend(self.table.base, [], whole, count)
                if self.found is not None:
                    return self.found._replace(is_proven=self.nodes <= MOST_NODES)
                if self.nodes > MOST_NODES:
                    return self._by_hand()
            most = [sum(most) - 1]

    def _most(self) -> list[int]:
        """What all trays cover: by component for one patient, in all (a bound) for several."""
        if self.is_alone:
            whole = self._covered(self.table, range(len(self.pairs)))
            return [int(n) for n in whole]
        trays = range(len(self.puzzle.trays))
        anybody = self.puzzle._replace(patient=(0,) * len(self.puzzle.need))
        pooled = _table(anybody, [(tray, 0) for tray in trays], anybody.need, anybody.singles)
        return [int(pooled.covered(pooled.base + pooled.adds.sum(axis=0)).sum())]

    def _descend(self, state: Ints, chosen: list[int], left: list[int], count: int) -> None:
        self.nodes += 1
        now = self._by_part(self.table.covered(state))
        lacking = np.asarray(self.wanted) - now
        if (lacking <= 0).all():
            self._judge(chosen)
            return
        if not count or not left or self.nodes > MOST_NODES or self._is_ideal():
            return
        gains = self._by_part(self.table.covered(state + self.table.adds[left])) - now
        best = np.sort(gains, axis=0)[::-1][:count].sum(axis=0)
        if (best < lacking).any():
            return
        for one, others in self._branches(gains, lacking, left):
            self._descend(state + self.table.adds[one], [*chosen, one], others, count - 1)

    def _branches(
        self, gains: Ints, lacking: Ints, left: list[int]
    ) -> Iterator[tuple[int, list[int]]]:
        """Trays of which one must be opened, each with what may be opened beside it."""
        serving = np.where(lacking > 0, (gains > 0).sum(axis=0), len(left) + 1)
        part = int(serving.argmin())
        ranked = sorted(np.flatnonzero(gains[:, part] > 0).tolist(), key=lambda n: -gains[n].sum())
        refused: set[tuple[object, ...]] = set()
        shut: set[int] = set()
        for place in ranked:
            one = left[place]
            if self.alike[one] in refused:
                continue
            tray = self.pairs[one][0]
            others = [
                x
                for x in left
                if x not in shut and self.pairs[x][0] != tray and self.alike[x] not in refused
            ]
            yield one, others
            refused.add(self.alike[one])
            shut.add(one)

    def _judge(self, chosen: list[int]) -> None:
        opened = tuple(sorted(self.pairs[one] for one in chosen))
        kinds = Counter(self.puzzle.kinds[tray] for tray, _ in opened)
        last = sum(count == self.house[kind] for kind, count in kinds.items())
        bare = int(self._covered(self.bare, chosen).sum())
        spared = int(self._covered(self.spared, chosen).sum())
        singles = sum(self.puzzle.need) - self.short - bare
        cost = Cost(self.short, len(opened), last, singles, sum(self.with_spares) - spared)
        if self.found is None or (cost, opened) < (self.found.cost, self.found.opened):
            self.found = Cover(opened, cost, is_proven=True)

    def _is_ideal(self) -> bool:
        """Whether what was found cannot be bettered, whatever else is opened."""
        if self.found is None:
            return False
        cost, everything = self.found.cost, range(len(self.pairs))
        bare = int(self._covered(self.bare, everything).sum())
        spared = int(self._covered(self.spared, everything).sum())
        least = max(sum(self.puzzle.need) - self.short - bare, 0)
        return (cost.last, cost.singles, cost.unspared) == (
            0,
            least,
            sum(self.with_spares) - spared,
        )

    def _by_part(self, covered: Ints) -> Ints:
        """By component for one patient; in all for several."""
        return covered if self.is_alone else covered.sum(axis=-1, keepdims=True)

    def _covered(self, table: _Table, pairs: "list[int] | range") -> Ints:
        return table.covered(table.base + table.adds[list(pairs)].sum(axis=0))

    def _by_hand(self) -> Cover:
        """When the search grows out of hand: the tray that adds most, again and again."""
        state, chosen, left = self.table.base, [], list(range(len(self.pairs)))
        while left:
            gains = self.table.covered(state + self.table.adds[left]).sum(axis=-1)
            place = int(gains.argmax())
            if gains[place] <= self.table.covered(state).sum():
                break
            one = left[place]
            chosen.append(one)
            state = state + self.table.adds[one]
            left = [x for x in left if self.pairs[x][0] != self.pairs[one][0]]
        self.short = sum(self.puzzle.need) - int(self.table.covered(state).sum())
        self._judge(chosen)
        assert self.found is not None
        return self.found._replace(is_proven=False)


def _likeness(puzzle: Puzzle, tray: int, patient: int) -> tuple[object, ...]:
    """What makes two openings interchangeable: same stock, same kind, same patient."""
    served = Counter(puzzle.trays[tray])
    return frozenset(served.items()), puzzle.kinds[tray], patient


def _table(
    puzzle: Puzzle,
    pairs: list[tuple[int, int]],
    need: "tuple[int, ...] | list[int]",
    singles: tuple[Row, ...],
) -> _Table:
    base: list[int] = []
    columns: list[list[int]] = []
    starts: list[int] = []
    patients = {who: {n for n, x in enumerate(puzzle.patient) if x == who} for _, who in pairs}
    rows = [
        [(count, served & patients[who]) for count, served in puzzle.trays[tray]]
        for tray, who in pairs
    ]
    for component in components(puzzle):
        starts.append(len(base))
        total = sum(need[n] for n in component)
        for subset in _subsets(component):
            base.append(total - sum(need[n] for n in subset) + _serving(singles, subset))
            columns.append([_serving(own, subset) for own in rows])
    adds = np.array(columns, dtype=np.int64).reshape(len(base), len(pairs)).T
    return _Table(np.array(base, dtype=np.int64), adds, np.array(starts, dtype=np.int64))


def _serving(rows: "tuple[Row, ...] | list[Row]", subset: frozenset[int]) -> int:
    return sum(count for count, served in rows if served & subset)


def _subsets(component: tuple[int, ...]) -> Iterator[frozenset[int]]:
    for size in range(len(component) + 1):
        yield from map(frozenset, combinations(component, size))


def components(puzzle: Puzzle) -> tuple[tuple[int, ...], ...]:
    """Needs that share a line of stock, directly or through others, together."""
    root = list(range(len(puzzle.need)))

    def top(n: int) -> int:
        while root[n] != n:
            n = root[n]
        return n

    for rows in (*puzzle.trays, puzzle.singles):
        for _, served in rows:
            first, *rest = sorted(served) or [-1]
            for other in rest:
                root[max(top(first), top(other))] = min(top(first), top(other))
    groups: dict[int, list[int]] = {}
    for n in range(len(root)):
        groups.setdefault(top(n), []).append(n)
    return tuple(tuple(group) for group in groups.values())
