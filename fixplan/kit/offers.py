"""Changes that make a frame buildable from what is in the house, each with what it does.

A part that is short is replaced by another of the same kind; clamps that are short by clamps of
several families, or by other bars. Each change is tried on the trays: only one that leaves fewer
parts missing is offered, and none that brings a new stop. Nothing is taken without the surgeon.
"""

from collections.abc import Iterator
from typing import NamedTuple

import msgspec

from fixplan.case import edits
from fixplan.case.records import Case
from fixplan.kit.alternatives import Draft, drafts_for
from fixplan.kit.answer import KitAnswer, Missing, kit_for
from fixplan.kit.clashes import FRAME, MIXING_RULE, mixing_acceptance
from fixplan.kit.effects import Effect, effect_of
from fixplan.kit.parts import Part
from fixplan.kit.replacing import acceptance_for
from fixplan.kit.trays import Trays

NOTHING_MENDS = "No other part that was tried in the house mends this without a new stop."
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

    @property
    def sentence(self) -> str:
        """The whole offer as screen and terminal say it."""
        return (
            f"Possible: {self.words}. {self.effect[:1].upper()}{self.effect[1:]}; {self.outcome}."
        )


class House(NamedTuple):
    """What the changes are tried on: the trays, what they give as drawn, the night's cases.

    `at` is the case that is changed, `patients` whose each case is.
    """

    trays: Trays
    answer: KitAnswer
    cases: tuple[Case, ...]
    patients: tuple[int, ...]
    at: int

    @property
    def case(self) -> Case:
        """The case that is changed, as drawn."""
        return self.cases[self.at]

    def kit_with(self, changed: Case) -> KitAnswer:
        """The kit of the night with this case in place of the drawn one."""
        cases = (*self.cases[: self.at], changed, *self.cases[self.at + 1 :])
        return kit_for(cases, self.trays, self.patients)


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
    cases = (case, *others)
    return _trying(House(trays, answer, cases, (0,) * len(cases), 0))


def night_offers(
    cases: tuple[Case, ...], patients: tuple[int, ...], trays: Trays, answer: KitAnswer
) -> Iterator[tuple[int, Offer]]:
    """What can be done about the missing parts of each case of a night, with the case's place."""
    if answer.is_complete:
        return
    for at in range(len(cases)):
        found = _trying(House(trays, answer, cases, patients, at))
        yield from ((at, one) for one in found if one is not None)


def _trying(house: House) -> Iterator[Offer | None]:
    trays, answer = house.trays, house.answer
    inside = [line for tray in trays.trays if not tray.is_out for line in tray.stock]
    for missing in [one for one in answer.missing if one.case == house.at]:
        solved: set[tuple[float, str]] = set()
        for draft in drafts_for(house.case, inside, missing, trays.words):
            if draft.sort not in solved:
                found = _tried(house, missing, draft)
                if (
                    found is not None
                    and found.missing_after <= answer.missing_count - missing.count
                ):
                    solved.add(draft.sort)
                yield found
    yield from _mixing(house)


def _tried(house: House, missing: Missing, draft: Draft) -> Offer | None:
    """The offer, if the trays then lack less and no new stop comes."""
    answer = house.answer
    then = house.kit_with(draft.changed)
    clashes = sum(one.is_open for one in then.clashes)
    if then.missing_count >= answer.missing_count or clashes > _open(answer):
        return None
    effect = effect_of(house.case, draft.built)
    if effect.new_stops:
        return None
    return _offer(missing, draft, effect, then.missing_count)


def _offer(missing: Missing, draft: Draft, effect: Effect, count: int) -> Offer:
    return Offer(
        for_part=missing.part.name,
        words=draft.words,
        effect=effect.words,
        missing_after=count,
        changed=draft.changed,
    )


def _open(answer: KitAnswer) -> int:
    return sum(one.is_open for one in answer.clashes)


def _mixing(house: House) -> Iterator[Offer]:
    """Clamps of several families, where one family is not enough."""
    answer, trays = house.answer, house.trays
    asked = [one for one in answer.clashes if one.case == house.at and one.subjects == FRAME]
    if not any(one.is_open for one in asked):
        return
    reason = f"one family of clamps is short ({trays.words})"
    changed = edits.accept(house.case, mixing_acceptance(reason))
    then = house.kit_with(changed)
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
