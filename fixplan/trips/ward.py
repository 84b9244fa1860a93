"""The ward page in words: what a ward is told about a limb in a frame, filled in from the case."""

from collections.abc import Callable, Iterator, Mapping
from datetime import datetime
from typing import Literal, NamedTuple

import msgspec

from fixplan.case.records import Case
from fixplan.checks.texts import pins_words
from fixplan.limb.library import load_toml
from fixplan.trips.answer import TripsAnswer, trips_for, when_words
from fixplan.trips.care_words import cover_lines
from fixplan.trips.clock_words import limit_words, state_words, trip_words
from fixplan.trips.covering import kinds_at
from fixplan.trips.grades import has_open_fracture
from fixplan.trips.moments import told_in, words_of
from fixplan.trips.pin_sites import last_looks
from fixplan.trips.scanner import scanner_words

When = Literal["always", "leg", "arm", "open", "pins"]
STOP_CLOCKS = ("antibiotic-stop-cover", "antibiotic-stop")
MOST_LATE = 2
DRESSINGS = ("vacuum dressing", "beads in", "cover", "fasciotomy")


class WardSection(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One box of the page; its lines may name places that the case fills in."""

    id: str
    title: str
    when: When
    lines: tuple[str, ...]


class WardBook(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """All of ward.toml."""

    schema: int
    evidence: tuple[str, ...]
    vacuum: tuple[str, ...]
    section: tuple[WardSection, ...]


class Told(NamedTuple):
    """One box with its lines as they are printed."""

    id: str
    title: str
    lines: tuple[str, ...]


_ASKED: Mapping[When, Callable[[Case], bool]] = {
    "always": lambda case: True,  # noqa: ARG005 (asked like the others)
    "leg": lambda case: case.limb == "leg",
    "arm": lambda case: case.limb == "arm",
    "open": has_open_fracture,
    "pins": lambda case: bool(case.pins),
}


def ward_sections(case: Case, now: datetime) -> tuple[Told, ...]:
    """The boxes of the page in order. Raises LibraryError, TripsError for an unknown zone."""
    answer = trips_for(case, now)
    dressing, is_vacuum = _dressing(answer)
    filled = {
        "next_trip": next_trip_words(answer),
        "due": due_words(answer),
        "pins": pins_words(case.pins) if case.pins else "",
        "antibiotic": "; ".join(_antibiotic(answer)),
        "dressing": dressing,
        "sites": _sites(case),
        "scanner": scanner_words(case) if case.pins else "",
    }
    book = load_toml("ward.toml", WardBook)
    urgent = tuple(f"\u25a0 {line}" for line in answer.urgent)
    first = (Told("now", "Look now, ring now", urgent),) if urgent else ()
    watched = book.vacuum if is_vacuum else ()
    return (
        *first,
        *(
            Told(one.id, one.title, (*_filled(one.lines, filled), *_beneath(one.id, watched)))
            for one in book.section
            if _ASKED[one.when](case)
        ),
    )


def _beneath(section: str, watched: tuple[str, ...]) -> tuple[str, ...]:
    return watched if section == "dressing" else ()


def _filled(lines: tuple[str, ...], words: Mapping[str, str]) -> Iterator[str]:
    """Lines with their places filled; one that is left empty is not printed."""
    for line in lines:
        told = line
        for name, value in words.items():
            told = told.replace(f"{{{name}}}", value)
        if told.strip():
            yield told


def next_trip_words(answer: TripsAnswer) -> str:
    """The next trip with its clock time, or room to write it."""
    trip = answer.next_trip
    if trip is None:
        return "None is planned: ______________________________"
    return f"{trip_words(trip)}, {when_words(trip)}: {', '.join(trip.what)}"


def due_words(answer: TripsAnswer) -> str:
    """What is late and what is due next, as it stands when the page is printed; may be empty."""
    late = [one for one in answer.clocks if one.state == "late"][:MOST_LATE]
    running = [one for one in answer.clocks if one.state == "running"][:1]
    told = [f"{one.clock.name}: {state_words(one)}" for one in late]
    told += [f"{one.clock.name}: {limit_words(one)}, {state_words(one)}" for one in running]
    return f"When printed: {'; '.join(told)}" if told else ""


def _antibiotic(answer: TripsAnswer) -> Iterator[str]:
    course = answer.case.course
    if course.antibiotic_stopped_at is not None:
        yield f"Intravenous antibiotic stopped {words_of(course.antibiotic_stopped_at)}"
        return
    if course.antibiotic_at is not None:
        yield f"Intravenous antibiotic since {words_of(course.antibiotic_at)}"
    elif has_open_fracture(answer.case):
        yield "Intravenous antibiotic: no first dose is written down, ask now"
    stops = [one for one in answer.clocks if one.clock.id in STOP_CLOCKS and one.due is not None]
    told = [
        f"{told_in(one.due, one.zone)}, {one.clock.name.rsplit(', ')[-1]}"
        for one in sorted(stops, key=lambda one: str(one.due))
        if one.due is not None
    ]
    if told:
        choice = "; the local policy decides which" if len(told) > 1 else ""
        yield f"published time to stop: {'; or '.join(told)} (OF-09){choice}"


def _dressing(answer: TripsAnswer) -> tuple[str, bool]:
    """What was put on last at a trip that was done, as recorded, and whether that is a vacuum."""
    for trip in reversed([one for one in answer.trips if one.done_at is not None]):
        covers = [one for one in answer.case.cover if one.trip in (trip.id, None)]
        kinds = kinds_at(answer.case, trip)
        put_on = [task for task in trip.what if task in DRESSINGS]
        if kinds:
            told = [" ".join(cover_lines(one)[:1]) for one in covers if one.kind in kinds]
            words = "; ".join(one.removeprefix("Cover: ") for one in told)
            notes = "; ".join(one.note for one in covers if one.note and one.kind in kinds)
            words = f"{words} ({notes})" if notes else words
        elif put_on:
            words = ", ".join(put_on)
        else:
            continue
        is_vacuum = "vacuum" in kinds or (not kinds and "vacuum dressing" in put_on)
        pump = "; pump on at ______ mmHg" if is_vacuum else ""
        return f"{words[0].upper()}{words[1:]}, since {trip_words(trip)}{pump}", is_vacuum
    return "What is on: ______________________________", False


def _sites(case: Case) -> str:
    """The last look at each pin, or room to write it."""
    looks = last_looks(case)
    told = [
        f"pin {pin.number} {looks[pin.id].state} ({looks[pin.id].day})"
        if pin.id in looks
        else f"pin {pin.number} ________"
        for pin in case.pins
    ]
    return f"Last look: {', '.join(told)}"
