"""The things of a case by id, and what they are called on the desk. No Qt."""

import re

from fixplan.case.meaning import Drawn, drawn_things
from fixplan.case.records import Bar, Candidate, Case, Pin, Support, Wound


def ids_of(case: Case) -> frozenset[str]:
    """Ids of everything drawn in a case."""
    return frozenset(thing.id for thing in drawn_things(case))


def thing_of(case: Case, subject: str | None) -> Drawn | None:
    """The thing with an id, or None."""
    return next((thing for thing in drawn_things(case) if thing.id == subject), None)


def subject_of_owner(owner: str, ids: frozenset[str]) -> str | None:
    """The thing that an owner on the sheet stands for; a clamp stands for its bar."""
    if owner in ids:
        return owner
    if owner.startswith("clamp:"):
        bar = owner.removeprefix("clamp:").split("/")[0]
        return bar if bar in ids else None
    head = re.split("[:/]", owner, maxsplit=1)[0]
    return head if head in ids else None


def title_of(thing: Drawn) -> str:
    """What a thing is called on the desk: "Pin 3", "Injury 1"."""
    if isinstance(thing, Pin | Bar):
        return f"{type(thing).__name__} {thing.number}"
    number = thing.id.rsplit("-", 1)[-1]
    if isinstance(thing, Candidate):
        return thing.label or f"Later fixation {number}"
    if isinstance(thing, Wound | Support):
        return f"{thing.kind.capitalize()} {number}"
    return f"{type(thing).__name__} {number}"
