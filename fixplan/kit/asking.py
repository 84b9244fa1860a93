"""The needs of one night's cases, side by side, and the lines of stock that serve each."""

from collections import defaultdict
from collections.abc import Iterator
from itertools import product
from typing import NamedTuple

from fixplan.case.records import Case
from fixplan.frame.stock import parts
from fixplan.kit.cover import Cost, Cover, Puzzle, Row, fewest
from fixplan.kit.parts import CLAMPS, PINS, Need, PartKind, needs_of
from fixplan.kit.trays import Stock, Tray

Families = tuple[str | None, ...]
"""For each case the letter of the clamps that it takes; None: of any family."""
MOST_CHOICES = 64


class Asked(NamedTuple):
    """All needs of a night: what, of which case, of which patient, how many as spares."""

    needs: tuple[Need, ...]
    case: tuple[int, ...]
    patient: tuple[int, ...]
    spare: tuple[int, ...]


class Line(NamedTuple):
    """One line of stock, and the tray that it lies in."""

    tray: Tray
    stock: Stock


class Wish(NamedTuple):
    """A need that no tray is opened for."""

    need: Need
    case: int
    patient: int


class Choice(NamedTuple):
    """Trays to open, by index with their patient, and the clamp family of each case."""

    cover: Cover
    families: Families


def asked_of(cases: tuple[Case, ...], patients: tuple[int, ...]) -> Asked:
    """The needs of the cases; spares once a patient, wishes left out."""
    found = [
        (need, place)
        for place, case in enumerate(cases)
        for need in needs_of(case)
        if not need.is_wish
    ]
    needs = tuple(need for need, _ in found)
    of_case = tuple(place for _, place in found)
    of_patient = tuple(patients[place] for place in of_case)
    return Asked(needs, of_case, of_patient, tuple(_spares(needs, of_patient)))


def wishes_of(cases: tuple[Case, ...], patients: tuple[int, ...]) -> tuple[Wish, ...]:
    """What is taken if an opened tray holds it: caps."""
    return tuple(
        Wish(need, place, patients[place])
        for place, case in enumerate(cases)
        for need in needs_of(case)
        if need.is_wish
    )


def _spares(needs: tuple[Need, ...], patient: tuple[int, ...]) -> Iterator[int]:
    """A pin and a clamp of each type and a bar, once a patient."""
    rule = parts().spares
    longest: dict[int, int] = {}
    for n, need in enumerate(needs):
        if need.part.kind == "bar":
            best = longest.setdefault(patient[n], n)
            if need.part.length_mm > needs[best].part.length_mm:
                longest[patient[n]] = n
    seen: set[tuple[int, str]] = set()
    for n, need in enumerate(needs):
        key = patient[n], need.part.key
        is_first = key not in seen
        seen.add(key)
        if need.part.kind in PINS and is_first:
            yield rule.pins_a_type
        elif need.part.kind in CLAMPS and is_first:
            yield rule.clamps_a_type
        else:
            yield rule.longest_bars if longest.get(patient[n]) == n else 0


def lines_of(trays: tuple[Tray, ...]) -> tuple[Line, ...]:
    """All lines of some trays, in their order."""
    return tuple(Line(tray, stock) for tray in trays for stock in tray.stock)


def row_of(line: Line, asked: Asked, families: Families) -> Row:
    """How many a line holds, and which needs it serves."""
    served = [
        n
        for n, need in enumerate(asked.needs)
        if need.part.kind == line.stock.part
        and line.stock.serves(need.part)
        and (line.stock.part not in CLAMPS or families[asked.case[n]] in (None, line.tray.family))
    ]
    return line.stock.count, frozenset(served)


def puzzle_of(asked: Asked, trays: tuple[Tray, ...], families: Families) -> Puzzle:
    """The task for the search: trays in the order given, single packs apart."""
    rows = [
        (
            tray,
            tuple(
                row
                for stock in tray.stock
                if (row := row_of(Line(tray, stock), asked, families))[1]
            ),
        )
        for tray in trays
    ]
    whole = [(tray, own) for tray, own in rows if not tray.is_single]
    return Puzzle(
        need=tuple(need.count for need in asked.needs),
        spare=asked.spare,
        patient=asked.patient,
        trays=tuple(own for _, own in whole),
        kinds=tuple(tray.kind for tray, _ in whole),
        singles=tuple(row for tray, own in rows if tray.is_single for row in own),
    )


def chosen(asked: Asked, trays: tuple[Tray, ...], is_mixing: tuple[bool, ...]) -> Choice:
    """The best trays, over every choice of one clamp family a case.

    `is_mixing`: cases for which the surgeon has accepted clamps of several families.
    """
    if not asked.needs:
        return Choice(Cover((), Cost(0, 0, 0, 0, 0), is_proven=True), (None,) * len(is_mixing))
    letters = [
        [None] if mixes else _letters(asked, trays, place) for place, mixes in enumerate(is_mixing)
    ]
    options = list(product(*letters))
    found = [
        Choice(fewest(puzzle_of(asked, trays, families)), families)
        for families in options[:MOST_CHOICES]
    ]
    best = min(found, key=lambda one: one.cover.cost)
    if len(options) > MOST_CHOICES:
        return best._replace(cover=best.cover._replace(is_proven=False))
    return best


def _letters(asked: Asked, trays: tuple[Tray, ...], place: int) -> list[str | None]:
    """Families of which any clamp serves a case, in alphabetical order."""
    wanted: defaultdict[PartKind, list[Need]] = defaultdict(list)
    for need, case in zip(asked.needs, asked.case, strict=True):
        if case == place and need.part.kind in CLAMPS:
            wanted[need.part.kind].append(need)
    found = {
        tray.family
        for tray in trays
        for stock in tray.stock
        if any(stock.serves(need.part) for need in wanted[stock.part])
    }
    return [*sorted(found)] or [None]
