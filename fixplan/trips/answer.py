"""What is told of a case's days after: trips, clocks, grade, questions, problems. No Qt.

`trips_for` is the one question that screen, sheet, ward page and command line ask.
"""

from collections.abc import Iterator, Sequence
from datetime import datetime

import msgspec

from fixplan.case.records import Case
from fixplan.case.trip_edits import in_order
from fixplan.case.trip_records import Trip
from fixplan.checks.finding import Finding
from fixplan.errors import TripsError
from fixplan.trips.care_words import all_prompts, care_lines
from fixplan.trips.clock_book import guideline_of, has_house_clocks
from fixplan.trips.clock_words import clock_json, clock_line, trip_words
from fixplan.trips.clocks import ClockAnswer, clock_answers, hidden_words
from fixplan.trips.conditions import open_questions
from fixplan.trips.flags import Flag, flags_of
from fixplan.trips.grades import grade_line, has_open_fracture, scheme_line
from fixplan.trips.impossible import impossible_times, withheld
from fixplan.trips.interplay import Remark, remarks
from fixplan.trips.moments import utc_of, words_of
from fixplan.trips.problems import trip_problems
from fixplan.trips.tasks import kit_of_trip


class TripsAnswer(msgspec.Struct, frozen=True, kw_only=True):
    """The answer for one case at one time; `problems` are what cannot be right, a sentence each.

    Where a time zone or guideline is not known, there are no clocks and a problem says why.
    """

    case: Case
    guideline: str = ""
    is_house: bool = False
    trips: tuple[Trip, ...] = ()
    clocks: tuple[ClockAnswer, ...] = ()
    grade: str = ""
    second_scheme: str = ""
    hidden: str = ""
    questions: tuple[str, ...] = ()
    remarks: tuple[Remark, ...] = ()
    flags: tuple[Flag, ...] = ()
    problems: tuple[str, ...] = ()

    @property
    def is_troubled(self) -> bool:
        """Whether a clock is late, a trip is planned too late, or a flag is urgent."""
        return bool(self.urgent) or any(clock.is_trouble for clock in self.clocks)

    @property
    def urgent(self) -> tuple[str, ...]:
        """What has to be told before all else, a line for each flag."""
        return tuple(f"{one.title}, look now: {one.urgent}" for one in self.flags if one.urgent)

    @property
    def next_trip(self) -> Trip | None:
        """The first trip with a planned time that has not been done."""
        waiting = (trip for trip in self.trips if trip.done_at is None)
        return next((trip for trip in waiting if trip.planned is not None), None)

    def as_json(self) -> dict[str, object]:
        """The answer as plain values; times in UTC with the zone they were typed in."""
        return {
            "guideline": self.guideline,
            "house_values": self.is_house,
            "grade": self.grade,
            "second_scheme": self.second_scheme,
            "trips": [_trip_json(self.case, trip) for trip in self.trips],
            "clocks": [clock_json(clock) for clock in self.clocks],
            "hidden": self.hidden,
            "remarks": [one.as_json() for one in self.remarks],
            "flags": [one.as_json() for one in self.flags],
            "questions": list(self.questions),
            "prompts": [one._asdict() for one in all_prompts(self.case)],
            "problems": list(self.problems),
        }

    def lines(self) -> Iterator[str]:
        """The answer as lines to print, without the problems."""
        yield from (f"\u25a0 {line}" for line in self.urgent)
        if self.guideline:
            house = ", with house values" if self.is_house else ""
            yield f"Guideline in force: {self.guideline}{house}"
        yield from (line for line in (self.grade, self.second_scheme) if line)
        yield "Trips:" if self.trips else "No trips are planned."
        for trip in self.trips:
            yield f"  {trip_line(self.case, trip)}"
            if kit := kit_of_trip(trip):
                yield f"    takes: {'; '.join(kit)}"
        yield from _under("Clocks:", (clock_line(clock) for clock in self.clocks))
        yield from (line for line in (self.hidden,) if line)
        yield from _under("Together:", (f"{one.severity}: {one.message}" for one in self.remarks))
        yield from _under("Asked:", self.questions)
        yield from _under("Dead space, debridement and cover:", care_lines(self.case))
        yield "Prompts, not diagnoses:"
        for flag in self.flags:
            yield f"  {flag.title}{': look now' if flag.is_raised else ''}"
            yield from (f"    {line}" for line in flag.lines)


def trips_for(case: Case, now: datetime, findings: Sequence[Finding] = ()) -> TripsAnswer:
    """What is told of a case at a time with a known shift from UTC. Raises LibraryError.

    `findings` are those of the case, for what is said about the chosen final fixation.
    """
    problems = list(trip_problems(case, now))
    clocks: tuple[ClockAnswer, ...] = ()
    guideline = hidden = ""
    try:
        guideline = guideline_of(case).name
        hidden = hidden_words(case)
        clocks = withheld(clock_answers(case, now), impossible_times(case, now))
        for clock in clocks:
            clock_line(clock)
    except TripsError as problem:
        clocks = ()
        if not any(str(problem) in told for told in problems):
            problems.append(f"{problem}.")
    return TripsAnswer(
        case=case,
        guideline=guideline,
        is_house=has_house_clocks(),
        trips=in_order(case.trips),
        clocks=clocks,
        grade=grade_line(case) if has_open_fracture(case) or case.trips else "",
        second_scheme=scheme_line(case),
        hidden=hidden,
        questions=(*_unmarked(case, now), *open_questions(case)),
        remarks=remarks(case, findings),
        flags=flags_of(case, now),
        problems=tuple(problems),
    )


def _unmarked(case: Case, now: datetime) -> Iterator[str]:
    for trip in in_order(case.trips):
        if trip.done_at is None and trip.planned is not None and utc_of(trip.planned) < now:
            yield f"{trip_words(trip)} was planned for {when_words(trip)}: has it been done?"


def when_words(trip: Trip) -> str:
    """When a trip is or was; in UTC where its zone is not known here."""
    told = trip.done_at or trip.planned
    if told is None:
        return "no time yet"
    try:
        words = words_of(told)
    except TripsError:
        words = told.utc
    return f"done {words}" if trip.done_at is not None else words


def trip_line(case: Case, trip: Trip) -> str:
    """One trip in one line: when, what, who, and the plan it was done from."""
    what = ", ".join(trip.what) or "nothing planned yet"
    who = f"; {', '.join(trip.who)}" if trip.who else ""
    kept = next((one for one in case.kept_plans if one.trip == trip.id), None)
    plan = f"; from plan {kept.snapshot}" if kept is not None else ""
    note = f"; {trip.note}" if trip.note else ""
    return f"{trip_words(trip)}, {when_words(trip)}: {what}{who}{plan}{note}"


def _trip_json(case: Case, trip: Trip) -> dict[str, object]:
    kept = next((one for one in case.kept_plans if one.trip == trip.id), None)
    planned, done = trip.planned, trip.done_at
    told = done or planned
    return {
        "trip": trip.id,
        "planned": None if planned is None else planned.utc,
        "done": None if done is None else done.utc,
        "zone": None if told is None else told.zone,
        "what": list(trip.what),
        "who": list(trip.who),
        "kit": list(kit_of_trip(trip)),
        "plan": None if kept is None else kept.snapshot,
        "note": trip.note,
    }


def _under(heading: str, lines: Iterator[str] | tuple[str, ...]) -> Iterator[str]:
    """Lines under a heading, or nothing where there is none."""
    found = list(lines)
    if found:
        yield heading
        yield from (f"  {line}" for line in found)
