"""What is taken from which line of the opened trays, what lies ready as spare, what is left."""

from collections import Counter
from collections.abc import Iterator
from typing import NamedTuple

from fixplan.kit.asking import Asked, Choice, Line, Wish, row_of
from fixplan.kit.cover import Row
from fixplan.kit.parts import Need
from fixplan.kit.taking import Given, given
from fixplan.kit.trays import Stock, Tray


class DealtLine(NamedTuple):
    """A line of stock: `taken` by case; `patient` None for what is not an opened tray."""

    tray: Tray
    stock: Stock
    patient: int | None
    taken: dict[int, int]
    spare: int
    left: int


class Dealt(NamedTuple):
    """All lines that give anything or lie in an opened tray, and how many of each need are met."""

    lines: tuple[DealtLine, ...]
    met: tuple[int, ...]
    unspared: tuple[tuple[int, int], ...]
    lacking: tuple[tuple[Need, int], ...]


class _Place(NamedTuple):
    """A line where it lies: in a tray opened for a patient, on a shelf of packs, or kept closed."""

    line: Line
    patient: int | None
    row: Row


def dealt_out(
    asked: Asked, inside: tuple[Tray, ...], choice: Choice, wishes: tuple[Wish, ...]
) -> Dealt:
    """Deal the opened trays out to the needs; then spares, caps last."""
    places = _places(asked, inside, choice)
    opened = sum(one.patient is not None for one in places)
    packed = opened + sum(one.patient is None and one.line.tray.is_single for one in places)
    rows = [one.row for one in places]
    need = [one.count for one in asked.needs]
    first = given(need, rows[:packed])
    met = _met(first, len(need))
    wanted = [n + s if n == m else m for n, s, m in zip(need, asked.spare, met, strict=True)]
    dealt = given(wanted, rows[:opened], first)
    short = [w - m for w, m in zip(wanted, _met(dealt, len(need)), strict=True)]
    ready = _straight(short, rows, opened, dealt)
    taken, spare = _split(need, dealt, len(places))
    spare.update(ready)
    caps, lacking = _capped(places[:opened], wishes)
    lines = tuple(_lines(asked, places, taken, caps, spare))
    return Dealt(lines, tuple(met), tuple(enumerate(short)), lacking)


def _places(asked: Asked, inside: tuple[Tray, ...], choice: Choice) -> list[_Place]:
    """Opened trays, then single packs, then trays that stay closed."""
    whole = [tray for tray in inside if not tray.is_single]
    who = dict(choice.cover.opened)
    found: list[tuple[int, _Place]] = []
    for tray in inside:
        at = None if tray.is_single else whole.index(tray)
        patient = None if at is None else who.get(at)
        rank = 0 if patient is not None else 1 if tray.is_single else 2
        for stock in tray.stock:
            line = Line(tray, stock)
            count, served = row_of(line, asked, choice.families)
            own = {n for n in served if patient is None or asked.patient[n] == patient}
            found.append((rank, _Place(line, patient, (count, frozenset(own)))))
    return [place for _, place in sorted(found, key=lambda one: one[0])]


def _met(dealt: Given, needs: int) -> list[int]:
    counts = [0] * needs
    for (_, need), n in dealt.items():
        counts[need] += n
    return counts


def _straight(short: list[int], rows: list[Row], start: int, dealt: Given) -> Counter[int]:
    """Spares from packs and closed trays, without changing what is dealt; lowers `short`."""
    found: Counter[int] = Counter()
    used = Counter(dict.fromkeys(range(len(rows)), 0))
    for (row, _), n in dealt.items():
        used[row] += n
    for row in range(start, len(rows)):
        count, served = rows[row]
        for need in sorted(served):
            n = min(short[need], count - used[row])
            if n > 0:
                short[need] -= n
                used[row] += n
                found[row] += n
    return found


def _split(
    need: list[int], dealt: Given, lines: int
) -> tuple[dict[tuple[int, int], int], Counter[int]]:
    """What is dealt, parted into what the frame takes and, of the later lines, what is spare."""
    taken: dict[tuple[int, int], int] = {}
    spare: Counter[int] = Counter()
    open_needs = list(need)
    for row in range(lines):
        for one in range(len(need)):
            n = dealt.get((row, one), 0)
            used = min(n, open_needs[one])
            open_needs[one] -= used
            if used:
                taken[row, one] = used
            spare[row] += n - used
    return taken, spare


def _capped(
    opened: list[_Place], wishes: tuple[Wish, ...]
) -> tuple[dict[tuple[int, int], int], tuple[tuple[Need, int], ...]]:
    """Caps from the opened trays, by line and case, and how many of each are not there."""
    rows = [(place.line.stock.count, frozenset(_served(place, wishes))) for place in opened]
    dealt = given([wish.need.count for wish in wishes], rows)
    met = _met(dealt, len(wishes))
    caps: Counter[tuple[int, int]] = Counter()
    for (row, wish), n in dealt.items():
        caps[row, wishes[wish].case] += n
    lacking = tuple((wish.need, wish.need.count - n) for wish, n in zip(wishes, met, strict=True))
    return caps, lacking


def _served(place: _Place, wishes: tuple[Wish, ...]) -> list[int]:
    stock = place.line.stock
    return [
        n
        for n, wish in enumerate(wishes)
        if wish.patient == place.patient and stock.serves(wish.need.part)
    ]


def _lines(
    asked: Asked,
    places: list[_Place],
    taken: dict[tuple[int, int], int],
    caps: dict[tuple[int, int], int],
    spare: Counter[int],
) -> Iterator[DealtLine]:
    by_case: Counter[tuple[int, int]] = Counter(caps)
    for (row, need), n in taken.items():
        by_case[row, asked.case[need]] += n
    for row, place in enumerate(places):
        used = {case: n for (at, case), n in by_case.items() if at == row and n}
        left = place.line.stock.count - sum(used.values()) - spare[row]
        if used or spare[row] or place.patient is not None:
            yield DealtLine(*place.line, place.patient, used, spare[row], left)
