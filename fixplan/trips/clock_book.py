"""The clocks and guidelines that are listed, from resources/clocks.toml and the house file."""

from collections.abc import Iterable
from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from fixplan.case.records import Case
from fixplan.case.trip_records import TripTask
from fixplan.errors import TripsError
from fixplan.limb.library import house_overrides, load_toml

FILE = "clocks.toml"
GivenTime = Literal["injury", "arrival", "antibiotic", "antibiotic stopped", "decision"]
Event = GivenTime | TripTask
Condition = Literal[
    "open",
    "goes at once",
    "not at once",
    "severe",
    "not severe",
    "no flow",
    "release decided",
    "released",
    "tissue doubtful",
    "covered",
    "covered first",
    "pouch",
    "beads",
    "spacer",
    "frame",
]
Hours = Annotated[float, Meta(ge=0, le=20000)]


class Guideline(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A guideline that may be in force."""

    id: str
    name: str


class Clock(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """What is due how many hours after what; `early_h`: not before, `outer_h`: others' limit.

    `scoped`: not shown for the places that the guideline leaves out; `each`: counts for every trip
    that starts it, else for the first.
    """

    id: str
    name: str
    starts: Event
    ends: tuple[Event, ...]
    when: tuple[Condition, ...]
    due_h: Hours
    early_h: Hours | None = None
    outer_h: Hours | None = None
    guidelines: tuple[str, ...] = ()
    scoped: bool = False
    each: bool = False
    evidence: Annotated[tuple[str, ...], Meta(min_length=1)]


class Scope(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Where the scoped clocks do not count: kinds of bones, segments, AO/OTA codes."""

    says: str
    evidence: tuple[str, ...]
    bones: tuple[str, ...]
    segments: tuple[str, ...]
    codes: tuple[str, ...]
    codes_source: str


class ToldSpan(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """How far ahead of a limit the span to it is told."""

    within_h: Hours
    source: str


class ClockBook(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """All of clocks.toml; the first guideline is in force where none was chosen."""

    schema: int
    scope: Scope
    told: ToldSpan
    guideline: Annotated[tuple[Guideline, ...], Meta(min_length=1)]
    clock: tuple[Clock, ...]


def clock_book() -> ClockBook:
    """The clocks with the house values over them. Raises LibraryError."""
    return load_toml(FILE, ClockBook)


def has_house_clocks() -> bool:
    """Whether the house file changes a clock or guideline."""
    return house_overrides(FILE)


def guideline_of(case: Case) -> Guideline:
    """The guideline in force. Raises TripsError when the one chosen is not listed here."""
    listed = clock_book().guideline
    if not case.course.guideline:
        return listed[0]
    for one in listed:
        if one.id == case.course.guideline:
            return one
    raise TripsError(
        f"The guideline {case.course.guideline} is not listed on this computer; "
        f"choose {' or '.join(_ids(listed))}, or add it to the house file"
    )


def _ids(listed: Iterable[Guideline]) -> list[str]:
    return [one.id for one in listed]
