"""Ids and numbers: never given twice, and the number on paper is the number in the id (D17)."""

import re
from collections.abc import Mapping

from msgspec.structs import replace

from fixplan.case.meaning import Drawn, drawn_things
from fixplan.case.records import (
    Acceptance,
    Anchor,
    Bar,
    Candidate,
    Case,
    Fracture,
    Injury,
    Pin,
    PinAnchor,
    Support,
    Wound,
)
from fixplan.case.trip_records import PinSite

KINDS: Mapping[type[Drawn], tuple[str, str]] = {
    Fracture: ("fracture", "fractures"),
    Wound: ("wound", "wounds"),
    Injury: ("injury", "injuries"),
    Candidate: ("candidate", "candidates"),
    Pin: ("pin", "pins"),
    Bar: ("bar", "bars"),
    Support: ("support", "supports"),
}
"""For each kind of drawn thing the word in its id and the case's field that holds it."""

REMOVED = "removed-"

_NUMBERED = re.compile(r"(.*)-([0-9]{1,9})")


def word_of(record: Drawn) -> str:
    """The word with which the ids of such a record begin."""
    return KINDS[type(record)][0]


def field_of(record: Drawn) -> str:
    """The field of the case that holds such records."""
    return KINDS[type(record)][1]


def next_number(case: Case, record: Drawn) -> int:
    """The number for a new thing of this record's kind: higher than any there ever was."""
    word = word_of(record)
    ids = [thing.id for thing in drawn_things(case)] + list(case.retired)
    used = [number for number in (number_of(id_, word) for id_ in ids) if number is not None]
    if isinstance(record, Pin):
        used.extend((case.last_number, *(pin.number for pin in case.pins)))
    if isinstance(record, Bar):
        used.extend(bar.number for bar in case.bars)
    return max(used, default=0) + 1


def retired_with(case: Case, ids: set[str]) -> tuple[str, ...]:
    """The retired ids once `ids` are gone too: of each kind only the highest is kept."""
    highest: dict[str, int] = {}
    for id_ in (*case.retired, *ids):
        match = _NUMBERED.fullmatch(id_)
        if match and match[1] != "pin":
            highest[match[1]] = max(highest.get(match[1], 0), int(match[2]))
    return tuple(f"{word}-{number}" for word, number in sorted(highest.items()))


def names_any(subject: str, ids: set[str]) -> bool:
    """Does a finding's subject, such as clamp:bar-1/pin-3, name one of these ids?"""
    return not ids.isdisjoint(re.split(r"[:/]", subject))


def renamed_subject(subject: str, new_ids: Mapping[str, str]) -> str:
    """The subject with each id replaced by its new one."""
    return re.sub(r"[^:/]+", lambda word: new_ids.get(word[0], word[0]), subject)


def renamed_acceptance(accepted: Acceptance, new_ids: Mapping[str, str]) -> Acceptance:
    """The acceptance of the same finding after its subjects got new ids."""
    subjects = tuple(renamed_subject(subject, new_ids) for subject in accepted.subjects)
    return replace(accepted, subjects=subjects)


def renamed_bar(bar: Bar, new_ids: Mapping[str, str]) -> Bar:
    """The bar held at the same places after pins got new ids."""
    first, second = (_renamed_anchor(anchor, new_ids) for anchor in bar.anchors)
    also = tuple(new_ids.get(pin, pin) for pin in bar.also)
    return replace(bar, anchors=(first, second), also=also)


def renamed_sites(sites: tuple[PinSite, ...], new_ids: Mapping[str, str]) -> tuple[PinSite, ...]:
    """The pin-site log after pins got new ids; a pin without one has been taken out."""
    return tuple(replace(site, pin=new_ids.get(site.pin, removed_pin(site.pin))) for site in sites)


def removed_pin(pin: str) -> str:
    """The name in the pin-site log of a pin that is no longer in the case; never a pin's id."""
    return pin if pin.startswith(REMOVED) else f"{REMOVED}{pin}"[:60]


def _renamed_anchor(anchor: Anchor, new_ids: Mapping[str, str]) -> Anchor:
    if isinstance(anchor, PinAnchor):
        return replace(anchor, pin=new_ids.get(anchor.pin, anchor.pin))
    return anchor


def number_of(id_: str, word: str) -> int | None:
    """The number in an id of this word; None for another id."""
    match = _NUMBERED.fullmatch(id_)
    return int(match[2]) if match and match[1] == word else None
