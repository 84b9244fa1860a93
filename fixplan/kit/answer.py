"""What to open for one night's cases: trays with what is taken, spares, what is missing.

`kit_for` is the one question that screen, sheet and command line ask. No Qt.
"""

from collections import Counter
from collections.abc import Iterator, Sequence

import msgspec

from fixplan.case.records import Case
from fixplan.checks.texts import listed
from fixplan.kit.asking import Asked, Choice, asked_of, chosen, wishes_of
from fixplan.kit.clashes import Clash, clashes_of, mixing_accepted
from fixplan.kit.dealing import Dealt, dealt_out
from fixplan.kit.other_kit import other_kit
from fixplan.kit.parts import Part
from fixplan.kit.replacing import Replacement, as_accepted
from fixplan.kit.trays import Tray, Trays


class Amount(msgspec.Struct, frozen=True, kw_only=True):
    """So many of one line of stock, in its words; `for_case` 1, 2 ... where there are several."""

    count: int
    name: str
    for_case: int = 0

    @property
    def words(self) -> str:
        """As on the sheet: `4 x half-pin 5 mm, 150 mm`."""
        which = f" (case {self.for_case})" if self.for_case else ""
        return f"{self.count} \u00d7 {self.name}{which}"


class OpenTray(msgspec.Struct, frozen=True, kw_only=True):
    """A tray to open: what the frame takes, what lies ready as spare, what else is left in it.

    `is_last`: no other tray of its kind stays in the house. `patient` counts from 0.
    """

    name: str
    kind: str
    family: str
    place: str
    patient: int
    is_last: bool
    taken: tuple[Amount, ...]
    spare: tuple[Amount, ...]
    left: tuple[Amount, ...]


class Pack(msgspec.Struct, frozen=True, kw_only=True):
    """Single packs from a shelf, or parts of a tray kept closed: `is_ready` means not opened."""

    shelf: str
    place: str
    amount: Amount
    is_ready: bool


class Missing(msgspec.Struct, frozen=True, kw_only=True):
    """A part that is short: for which pins or bars, and which tray out of the house holds it.

    `for_case` 1, 2 ... where there are several.
    """

    case: int
    for_case: int = 0
    part: Part
    count: int
    owners: tuple[str, ...]
    elsewhere: str = ""

    @property
    def words(self) -> str:
        """In one line: "1 x half-pin 6 mm, 200 mm missing, for pin 2 or pin 3 of case 1"."""
        more = f"; {self.elsewhere}" if self.elsewhere else ""
        named = [_owner_words(one) for one in self.owners]
        joint = "or" if self.count < len(named) else "and"
        whose = f", for {listed(named, joint)}" if named else ""
        which = f" of case {self.for_case}" if self.for_case else ""
        return f"{self.count} \u00d7 {self.part.name} missing{whose}{which}{more}"


class KitAnswer(msgspec.Struct, frozen=True, kw_only=True):
    """The whole answer. `unspared`: spares that nothing in the house gives, as words.

    `families`: the letter of the clamps of each case, "" where none are taken. `lacking`: caps that
    no opened tray holds. `is_proven`: fewer trays cannot do.
    """

    labels: tuple[str, ...]
    source: str
    opened: tuple[OpenTray, ...]
    packs: tuple[Pack, ...]
    missing: tuple[Missing, ...]
    replaced: tuple[Replacement, ...]
    clashes: tuple[Clash, ...]
    unspared: tuple[str, ...]
    lacking: tuple[str, ...]
    families: tuple[str, ...]
    other: tuple[str, ...]
    is_proven: bool

    @property
    def missing_count(self) -> int:
        """How many parts are missing."""
        return sum(one.count for one in self.missing)

    @property
    def is_complete(self) -> bool:
        """Whether nothing is missing and nothing clashes that was not accepted."""
        return not self.missing and not any(one.is_open for one in self.clashes)

    @property
    def headline(self) -> str:
        """One line for screen and sheet: "Open Leg A"; "2 parts missing"."""
        names = ", ".join(one.name for one in self.opened)
        told = [f"Open {names}" if names else "No tray to open"]
        if self.missing:
            count = self.missing_count
            told.append(f"{count} part{'s' if count > 1 else ''} missing")
        return "; ".join(told)

    def lines(self) -> tuple[str, ...]:
        """The answer in words, a line each."""
        return tuple(_lines(self))


def kit_for(
    cases: Sequence[Case], trays: Trays, patients: Sequence[int] | None = None
) -> KitAnswer:
    """The fewest trays for the cases of one night.

    A tray opened for one patient is not used for another; cases of one patient share it.
    `patients` gives each case its patient (a number); without it each case is another patient.
    """
    night = tuple(cases)
    of_whom = tuple(range(len(night)) if patients is None else patients)
    mixing = tuple(mixing_accepted(case) for case in night)
    inside = tuple(tray for tray in trays.trays if not tray.is_out)
    asked, choice, dealt = _dealt(night, of_whom, inside, mixing)
    short = {n: asked.needs[n].count - met for n, met in enumerate(dealt.met)}
    replaced: tuple[Replacement, ...] = ()
    if any(short.values()):
        built, replaced = as_accepted(night, asked, short)
        if replaced:
            asked, choice, dealt = _dealt(built, of_whom, inside, mixing)
    return _answer(night, trays, inside, asked, choice, dealt, replaced)


def _dealt(
    cases: tuple[Case, ...],
    patients: tuple[int, ...],
    inside: tuple[Tray, ...],
    mixing: tuple[bool, ...],
) -> tuple[Asked, Choice, Dealt]:
    asked = asked_of(cases, patients)
    choice = chosen(asked, inside, mixing)
    return asked, choice, dealt_out(asked, inside, choice, wishes_of(cases, patients))


def _answer(
    cases: tuple[Case, ...],
    trays: Trays,
    inside: tuple[Tray, ...],
    asked: Asked,
    choice: Choice,
    dealt: Dealt,
    replaced: tuple[Replacement, ...],
) -> KitAnswer:
    missing = tuple(_missing(asked, dealt, trays))
    return KitAnswer(
        labels=tuple(case.label for case in cases),
        source=trays.words,
        opened=tuple(_opened(asked, choice, dealt, inside)),
        packs=tuple(_packs(asked, dealt)),
        missing=missing,
        replaced=replaced,
        clashes=tuple(clashes_of(cases, asked, trays.trays, inside, choice, dealt.met)),
        unspared=tuple(
            f"{count} \u00d7 {asked.needs[n].part.name}" for n, count in dealt.unspared if count
        ),
        lacking=tuple(f"{count} \u00d7 {need.part.name}" for need, count in dealt.lacking if count),
        families=tuple(letter or "" for letter in choice.families),
        other=other_kit(cases),
        is_proven=choice.cover.is_proven,
    )


def _missing(asked: Asked, dealt: Dealt, trays: Trays) -> Iterator[Missing]:
    several = len(set(asked.case)) > 1
    for n, need in enumerate(asked.needs):
        count = need.count - dealt.met[n]
        if count:
            yield Missing(
                case=asked.case[n],
                for_case=asked.case[n] + 1 if several else 0,
                part=need.part,
                count=count,
                owners=need.owners,
                elsewhere=_elsewhere(need.part, trays),
            )


def _owner_words(owner: str) -> str:
    """A pin, bar or clamp by its printed name: "bar 2", "the clamp of bar 1 and pin 3"."""
    if owner.startswith("clamp:"):
        joined = owner.removeprefix("clamp:").replace("-", " ").split("/")
        return f"the clamp of {' and '.join(joined)}"
    return owner.replace("-", " ")


def _elsewhere(part: Part, trays: Trays) -> str:
    """Trays out of the house that hold the part: "2 in Leg F, back 07:00 tomorrow"."""
    told = []
    for tray in trays.trays:
        held = sum(line.count for line in tray.stock if line.serves(part)) if tray.is_out else 0
        if held:
            back = f", back {tray.back_at}" if tray.back_at else ", out"
            told.append(f"{held} in {tray.name}{back}")
    return "; ".join(told)


def _opened(
    asked: Asked, choice: Choice, dealt: Dealt, inside: tuple[Tray, ...]
) -> Iterator[OpenTray]:
    whole = [tray for tray in inside if not tray.is_single]
    house = Counter(tray.kind for tray in whole)
    used = Counter(whole[at].kind for at, _ in choice.cover.opened)
    several = len(set(asked.case)) > 1
    for at, who in choice.cover.opened:
        tray = whole[at]
        lines = [line for line in dealt.lines if line.tray is tray and line.patient == who]
        yield OpenTray(
            name=tray.name,
            kind=tray.kind,
            family=tray.family,
            place=tray.place,
            patient=who,
            is_last=used[tray.kind] == house[tray.kind],
            taken=tuple(
                Amount(count=count, name=line.stock.words, for_case=case + 1 if several else 0)
                for line in lines
                for case, count in sorted(line.taken.items())
            ),
            spare=_amounts((line.stock.words, line.spare) for line in lines),
            left=_amounts((line.stock.words, line.left) for line in lines),
        )


def _amounts(counted: "Iterator[tuple[str, int]]") -> tuple[Amount, ...]:
    return tuple(Amount(count=count, name=name) for name, count in counted if count)


def _packs(asked: Asked, dealt: Dealt) -> Iterator[Pack]:
    several = len(set(asked.case)) > 1
    for line in dealt.lines:
        if line.patient is not None:
            continue
        taken = [
            (Amount(count=n, name=line.stock.words, for_case=case + 1 if several else 0), False)
            for case, n in sorted(line.taken.items())
        ]
        spare = [(Amount(count=line.spare, name=line.stock.words), True)] if line.spare else []
        for amount, is_ready in taken + spare:
            yield Pack(
                shelf=line.tray.name, place=line.tray.place, amount=amount, is_ready=is_ready
            )


def _lines(answer: KitAnswer) -> Iterator[str]:
    yield f"{answer.headline} ({answer.source})"
    for tray in answer.opened:
        yield from _tray_lines(tray)
    for pack in answer.packs:
        verb = "Have ready, unopened" if pack.is_ready else "Single pack"
        yield f"{verb}: {pack.amount.words} ({pack.shelf})"
    yield from (one.words for one in answer.replaced)
    yield from (one.words for one in answer.missing)
    yield from (one.words for one in answer.clashes)
    if answer.unspared:
        yield f"No spare in the house: {', '.join(answer.unspared)}"
    if answer.lacking:
        yield f"No caps in what is opened: {', '.join(answer.lacking)}"
    if not answer.is_proven:
        yield "Fewer trays may do: not every choice could be tried"


def _tray_lines(tray: OpenTray) -> Iterator[str]:
    family = f", clamps of family {tray.family}" if tray.family else ""
    place = f", {tray.place}" if tray.place else ""
    last = "; the last of its kind in the house" if tray.is_last else ""
    yield f"{tray.name} ({tray.kind}{family}{place}){last}"
    yield from (f"  take {one.words}" for one in tray.taken)
    yield from (f"  spare {one.words}" for one in tray.spare)
    if tray.left:
        yield f"  left in it: {sum(one.count for one in tray.left)} other parts"
