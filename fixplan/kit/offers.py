"""Changes that make a frame buildable from what is in the house, each with what it does.

A part that is short is replaced by another of the same kind; clamps that are short by clamps of
several families, or by other bars. Each change is tried on the trays: only one that leaves fewer
parts missing is offered, and none that brings a new stop. Nothing is taken without the surgeon.
"""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

import msgspec
from msgspec.structs import replace

from fixplan.case import edits
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Bar, Case
from fixplan.checks.texts import listed
from fixplan.frame.joining import bar_paths
from fixplan.frame.lengths import pin_length
from fixplan.kit.answer import KitAnswer, Missing, kit_for
from fixplan.kit.clashes import FRAME, MIXING_RULE, mixing_acceptance
from fixplan.kit.effects import Effect, effect_of, firmness_ratios, middle
from fixplan.kit.parts import CLAMPS, PINS, Part
from fixplan.kit.replacing import acceptance_for, with_part
from fixplan.kit.trays import SAME_MM, Stock, Trays

MOST_SORTS, MOST_LENGTHS = 3, 2
"""How many thicknesses, and lengths of each, are tried for a part that is short."""
MIXED = "that clamps of several families hold together is not assessed"


class Offer(msgspec.Struct, frozen=True, kw_only=True, eq=False):
    """A change that leaves fewer parts missing: what, what it does, and the case with it.

    `for_part`: the part that is short. `missing_after`: parts still missing with the change.
    """

    for_part: str
    words: str
    effect: str
    missing_after: int
    changed: Case

    @property
    def outcome(self) -> str:
        """What is then still missing."""
        if not self.missing_after:
            return "nothing is missing then"
        return f"{self.missing_after} still missing then"


class House(NamedTuple):
    """What the changes are tried on: the trays, what they give as drawn, and further cases."""

    trays: Trays
    answer: KitAnswer
    others: tuple[Case, ...]


class _Draft(NamedTuple):
    """A change before it is tried: the case to keep, and the case as it would be built.

    `sort`: thickness and material of the other part; once a length of it does, no longer is tried.
    """

    words: str
    sort: tuple[float, str]
    changed: Case
    built: Case


def offers_for(case: Case, trays: Trays, answer: KitAnswer) -> tuple[Offer, ...]:
    """What can be done about the missing parts of one case."""
    return tuple(one for one in trying(case, trays, answer) if one is not None)


def kit_with(case: Case, others: tuple[Case, ...], trays: Trays) -> KitAnswer:
    """The kit of a case and the same patient's other cases, which share what is opened."""
    return kit_for([case, *others], trays, patients=(0,) * (1 + len(others)))


def trying(
    case: Case, trays: Trays, answer: KitAnswer, others: tuple[Case, ...] = ()
) -> Iterator[Offer | None]:
    """The same one try at a time, for who has other things to do between: None for a vain one.

    `others` are the same patient's cases, whose parts come from the same trays.
    """
    house = House(trays, answer, others)
    inside = [line for tray in trays.trays if not tray.is_out for line in tray.stock]
    for missing in [one for one in answer.missing if one.case == 0]:
        solved: set[tuple[float, str]] = set()
        for draft in _drafts(case, inside, missing, trays.words):
            if draft.sort not in solved:
                found = _tried(case, house, missing, draft)
                if (
                    found is not None
                    and found.missing_after <= answer.missing_count - missing.count
                ):
                    solved.add(draft.sort)
                yield found
    yield from _mixing(case, house)


def _tried(case: Case, house: House, missing: Missing, draft: _Draft) -> Offer | None:
    """The offer, if the trays then lack less and no new stop comes."""
    answer = house.answer
    then = kit_with(draft.changed, house.others, house.trays)
    clashes = sum(one.is_open for one in then.clashes)
    if then.missing_count >= answer.missing_count or clashes > _open(answer):
        return None
    effect = effect_of(case, draft.built)
    if effect.new_stops:
        return None
    return _offer(missing, draft, effect, then.missing_count)


def _offer(missing: Missing, draft: _Draft, effect: Effect, count: int) -> Offer:
    return Offer(
        for_part=missing.part.name,
        words=draft.words,
        effect=effect.words,
        missing_after=count,
        changed=draft.changed,
    )


def _open(answer: KitAnswer) -> int:
    return sum(one.is_open for one in answer.clashes)


def _drafts(case: Case, inside: list[Stock], missing: Missing, source: str) -> Iterator[_Draft]:
    if missing.part.kind in (*PINS, "bar"):
        yield from _replacing(case, inside, missing, source)
    elif missing.part.kind in CLAMPS:
        yield from _other_bars(case, inside, missing)


def _replacing(case: Case, inside: list[Stock], missing: Missing, source: str) -> Iterator[_Draft]:
    """Another pin or bar of the same kind, long enough, for as many as are short."""
    drawn = {pin.id for pin in case.pins} | {bar.id for bar in case.bars}
    owners = [one for one in missing.owners if one in drawn]
    least = {one: needed_mm(case, one) for one in owners}
    for part in _alternatives(inside, missing.part, min(least.values(), default=0.0)):
        long_enough = [one for one in owners if part.length_mm >= least[one] - SAME_MM]
        chosen = _losing_least(case, part, long_enough, missing.count)
        if not chosen:
            continue
        reason = f"{missing.part.name} is short ({source})"
        kept = built = case
        for owner in chosen:
            kept = edits.accept(kept, acceptance_for(owner, part, reason))
            built = with_part(built, owner, part)
        names = listed([one.replace("-", " ") for one in chosen])
        words = f"{part.name} in place of {missing.part.name} for {names}"
        yield _Draft(words, (part.diameter_mm, part.material), kept, built)


def needed_mm(case: Case, owner: str) -> float:
    """The least length of a pin or bar that still reaches; 0 where it cannot be laid."""
    for pin in case.pins:
        if pin.id == owner and pin.bone in limb_of_case(case).bones:
            return pin_length(case, pin).needed_mm
    path = bar_paths(case).get(owner)
    return 0.0 if path is None else path.length_mm


def _alternatives(inside: Iterable[Stock], wanted: Part, least_mm: float) -> list[Part]:
    """Other parts of the kind that the house holds, the nearest in thickness and length first."""
    found = {
        Part(
            kind=wanted.kind,
            diameter_mm=line.diameter_mm,
            length_mm=line.length_mm,
            material=line.material,
        )
        for line in inside
        if line.part == wanted.kind
        and line.count
        and line.length_mm >= least_mm - SAME_MM
        and not line.serves(wanted)
    }
    ranked = sorted(
        found,
        key=lambda one: (
            abs(one.diameter_mm - wanted.diameter_mm),
            abs(one.length_mm - wanted.length_mm),
            one,
        ),
    )
    sorts = list(dict.fromkeys((one.diameter_mm, one.material) for one in ranked))[:MOST_SORTS]
    return [
        part
        for sort in sorts
        for part in [one for one in ranked if (one.diameter_mm, one.material) == sort][
            :MOST_LENGTHS
        ]
    ]


def _losing_least(case: Case, part: Part, owners: list[str], count: int) -> list[str]:
    """The pins or bars whose change costs the frame least; all, when all are short."""
    if len(owners) <= count:
        return owners

    def kept(owner: str) -> float:
        ratios = firmness_ratios(case, with_part(case, owner, part))
        return 0.0 if ratios is None else middle(ratios)

    return sorted(sorted(owners, key=kept, reverse=True)[:count], key=owners.index)


def _other_bars(case: Case, inside: list[Stock], missing: Missing) -> Iterator[_Draft]:
    """The bars at the clamps that are short, of another thickness, drawn anew."""
    joined = {
        name
        for owner in missing.owners
        for name in owner.removeprefix("clamp:").split("/")
        if owner.startswith("clamp:")
    }
    bars = [bar for bar in case.bars if bar.id in joined]
    made = sorted({(line.diameter_mm, line.material) for line in inside if line.part == "bar"})
    for diameter_mm, material in made[: MOST_SORTS + 1] if bars else ():
        if all(bar.diameter_mm == diameter_mm for bar in bars):
            continue
        changed = _thick(case, bars, diameter_mm, material)
        names = listed([f"bar {bar.number}" for bar in bars])
        now = listed(sorted({f"{bar.diameter_mm:g} mm" for bar in bars}))
        words = f"bars of {diameter_mm:g} mm in place of {now} for {names}"
        yield _Draft(words, (diameter_mm, material), changed, changed)


def _thick(case: Case, bars: list[Bar], diameter_mm: float, material: str) -> Case:
    for bar in bars:
        case = edits.replace(
            case,
            replace(
                bar, diameter_mm=diameter_mm, material=material or bar.material, length_mm=None
            ),
        )
    return case


def _mixing(case: Case, house: House) -> Iterator[Offer]:
    """Clamps of several families, where one family is not enough."""
    answer, trays = house.answer, house.trays
    asked = [one for one in answer.clashes if one.case == 0 and one.subjects == FRAME]
    if not any(one.is_open for one in asked):
        return
    reason = f"one family of clamps is short ({trays.words})"
    changed = edits.accept(case, mixing_acceptance(reason))
    then = kit_with(changed, house.others, trays)
    if then.missing_count < answer.missing_count:
        yield Offer(
            for_part="clamps",
            words="Clamps of several families in one frame",
            effect=MIXED,
            missing_after=then.missing_count,
            changed=changed,
        )


def taken_back(case: Case, owner: str, used: Part) -> Case:
    """The case without the acceptance of a part in place of another. Raises EditError."""
    one = acceptance_for(owner, used, "-")
    return edits.withdraw(case, one.rule, one.subjects)


def mixing_taken_back(case: Case) -> Case:
    """The case without the acceptance of mixed families. Raises EditError."""
    one = mixing_acceptance("-")
    return edits.withdraw(case, MIXING_RULE, one.subjects)
