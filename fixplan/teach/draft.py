"""An exercise as the teacher writes it, and what of the case is shown, hidden or asked."""

from collections.abc import Mapping
from typing import Literal, NamedTuple

from fixplan.case.records import Candidate, Case, Fracture, Injury, Wound
from fixplan.teach.files import Lesson
from fixplan.teach.posing import Posed
from fixplan.teach.records import ModelAnswer, Need

Placing = Literal["shown", "hidden", "asked"]
Thing = Fracture | Wound | Injury | Candidate
ASKED_WEIGHT = 5.0
"""Points for a region to be drawn, at first."""


class Draft(NamedTuple):
    """An exercise as the teacher writes it. `case` is the open case with the teacher's own frame.

    `placing` says of each fracture, wound, injury and later fixation whether the trainee sees it;
    what is missing there is shown. `weights` are those of rules, by id. `edited` is the exercise
    that is changed, if any: its id, its asked regions' own words and what was given else stay.
    """

    case: Case
    title: str
    task: str
    grade: int = 1
    kit_at_hand: str = ""
    live_findings: bool = False
    hints: tuple[str, ...] = ()
    time_limit_min: float | None = None
    pass_percent: float = 80.0
    stop_fails: bool = True
    placing: Mapping[str, Placing] = {}
    weights: Mapping[str, float] = {}
    needs: tuple[Need, ...] = ()
    asked_weight: float = ASKED_WEIGHT
    posed: tuple[Posed, ...] = ()
    also_good: tuple[ModelAnswer, ...] = ()
    wrong: tuple[ModelAnswer, ...] = ()
    remarks: str = ""
    edited: Lesson | None = None


def regions_of(case: Case) -> tuple[Thing, ...]:
    """What can be shown or hidden: fractures, wounds, injuries, later fixation."""
    return (*case.fractures, *case.wounds, *case.injuries, *case.candidates)


def region_words(thing: Thing) -> str:
    """A thing in words, for a list."""
    note = f" ({thing.note})" if not isinstance(thing, Candidate) and thing.note else ""
    if isinstance(thing, Fracture):
        return f"Fracture of the {thing.bone}, {thing.from_mm:.0f} to {thing.to_mm:.0f} mm{note}"
    if isinstance(thing, Wound):
        return f"{thing.kind.capitalize()}, {thing.segment}{note}"
    if isinstance(thing, Injury):
        return f"Zone of injury, {thing.grade}, {thing.segment}{note}"
    return f"Later fixation: {thing.label or thing.kind}"


def placed(draft: Draft, placing: Placing) -> list[Thing]:
    """The things that are placed so, in their order."""
    return [
        thing for thing in regions_of(draft.case) if draft.placing.get(thing.id, "shown") == placing
    ]
