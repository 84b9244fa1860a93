"""Fewest trays against scipy's MILP solver (HiGHS) and against trying every choice.

The MILP states the task anew with one variable per (line, need): it shares no code with the search.
"""

from collections import Counter
from itertools import product

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from fixplan.kit.cover import Cost, Puzzle, Row, fewest
from fixplan.kit.taking import given as given_by


@st.composite
def puzzles(draw: st.DrawFn, trays: int = 6, patients: int = 2) -> Puzzle:
    needs = draw(st.integers(1, 4))
    who = draw(st.integers(1, patients))
    row = st.tuples(
        st.integers(0, 3), st.frozensets(st.integers(0, needs - 1), min_size=1, max_size=2)
    )
    rows = st.lists(row, max_size=3).map(tuple)
    counts = st.lists(st.integers(0, 4), min_size=needs, max_size=needs).map(tuple)
    listed = draw(st.lists(rows, max_size=trays))
    kinds = draw(
        st.lists(st.sampled_from("ab"), min_size=len(listed), max_size=len(listed)).map(tuple)
    )
    return Puzzle(
        need=draw(counts),
        spare=draw(st.lists(st.integers(0, 1), min_size=needs, max_size=needs).map(tuple)),
        patient=draw(st.lists(st.integers(0, who - 1), min_size=needs, max_size=needs).map(tuple)),
        trays=tuple(listed),
        kinds=kinds,
        singles=draw(rows),
    )


def met(need: tuple[int, ...], rows: list[Row]) -> int:
    return sum(given_by(list(need), rows).values())


def rows_of(puzzle: Puzzle, opened: list[tuple[int, int]]) -> list[Row]:
    return [
        (count, frozenset(n for n in served if puzzle.patient[n] == who))
        for tray, who in opened
        for count, served in puzzle.trays[tray]
    ]


def cost_of(puzzle: Puzzle, opened: list[tuple[int, int]]) -> Cost:
    """The cost of one choice, by matching instead of Hall's sums."""
    rows = rows_of(puzzle, opened)
    bare, total = met(puzzle.need, rows), met(puzzle.need, [*rows, *puzzle.singles])
    more = tuple(n + s for n, s in zip(puzzle.need, puzzle.spare, strict=True))
    kinds = Counter(puzzle.kinds[tray] for tray, _ in opened)
    house = Counter(puzzle.kinds)
    last = sum(n == house[kind] for kind, n in kinds.items())
    short = sum(puzzle.need) - total
    return Cost(short, len(opened), last, total - bare, sum(more) - met(more, rows))


def by_trying(puzzle: Puzzle) -> Cost:
    patients = sorted(set(puzzle.patient))
    choices = product((None, *patients), repeat=len(puzzle.trays))
    return min(
        cost_of(puzzle, [(tray, who) for tray, who in enumerate(choice) if who is not None])
        for choice in choices
    )


@settings(deadline=None, max_examples=150)
@given(puzzle=puzzles())
def test_the_whole_cost_is_that_of_the_best_of_every_choice(puzzle: Puzzle) -> None:
    found = fewest(puzzle)
    assert found.is_proven
    assert found.cost == by_trying(puzzle)
    assert found.cost == cost_of(puzzle, list(found.opened))


def by_milp(puzzle: Puzzle) -> tuple[int, int]:
    """(parts short, trays opened) by HiGHS: first the least short, then the fewest trays."""
    patients = sorted(set(puzzle.patient))
    opened = [(t, who) for t in range(len(puzzle.trays)) for who in patients]
    lines: list[tuple[int | None, int, list[int]]] = []
    for k, (t, who) in enumerate(opened):
        for count, served in puzzle.trays[t]:
            lines.append((k, count, [n for n in sorted(served) if puzzle.patient[n] == who]))
    lines += [(None, count, sorted(served)) for count, served in puzzle.singles]
    arcs = [(line, n) for line, (_, _, served) in enumerate(lines) for n in served]
    size = len(opened) + len(arcs)
    if not arcs:
        return sum(puzzle.need), 0
    rows, low, high = [], [], []

    def add(coefficients: dict[int, float], least: float, most: float) -> None:
        row = np.zeros(size)
        for column, value in coefficients.items():
            row[column] = value
        rows.append(row)
        low.append(least)
        high.append(most)

    for line, (k, count, _) in enumerate(lines):
        taken = {len(opened) + a: 1.0 for a, (of, _) in enumerate(arcs) if of == line}
        if k is None:
            add(taken, -np.inf, count)
        else:
            add(taken | {k: -float(count)}, -np.inf, 0.0)
    for n, count in enumerate(puzzle.need):
        add({len(opened) + a: 1.0 for a, (_, to) in enumerate(arcs) if to == n}, -np.inf, count)
    for t in range(len(puzzle.trays)):
        add({k: 1.0 for k, (of, _) in enumerate(opened) if of == t}, -np.inf, 1.0)
    total = np.array([0.0] * len(opened) + [1.0] * len(arcs))
    bounds = Bounds(np.zeros(size), np.array([1.0] * len(opened) + [99.0] * len(arcs)))
    ones = np.ones(size)
    first = milp(
        -total,
        constraints=LinearConstraint(np.array(rows), low, high),
        integrality=ones,
        bounds=bounds,
    )
    covered = round(-first.fun)
    rows.append(total)
    low.append(covered)
    high.append(np.inf)
    second = milp(
        ones - total,
        constraints=LinearConstraint(np.array(rows), low, high),
        integrality=ones,
        bounds=bounds,
    )
    return sum(puzzle.need) - covered, round(second.fun)


@settings(deadline=None, max_examples=120)
@given(puzzle=puzzles(trays=12))
def test_parts_short_and_trays_opened_are_those_of_the_milp(puzzle: Puzzle) -> None:
    found = fewest(puzzle)
    assert found.is_proven
    assert found.cost[:2] == by_milp(puzzle)
