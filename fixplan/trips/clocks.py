"""What is due by when: each clock's start, limits, time left or lost, and the trip planned for it.

The time now is passed in. A clock whose start is not known is `not assessed`. A start that is only
planned is said to be so.
"""

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Literal, NamedTuple

import msgspec
from msgspec.structs import replace

from fixplan.case.dead_space_records import Device
from fixplan.case.records import Case
from fixplan.case.trip_edits import in_order
from fixplan.case.trip_records import Moment, Trip
from fixplan.checks.rules import sources_behind
from fixplan.trips.clock_book import Clock, clock_book, guideline_of
from fixplan.trips.conditions import (
    CONDITIONS,
    device_trips,
    is_out_of_scope,
    is_taken_out,
    look_trips,
)
from fixplan.trips.covering import changes_pouch, covering, may_cover, pouch_trips
from fixplan.trips.moments import hours_between, utc_of

State = Literal["not assessed", "not begun", "running", "late", "done in time", "done late"]
Certainty = Literal["given", "done", "planned"]
_MINUTE_H = 1 / 60
DEVICE_OF: dict[str, Device] = {"beads in": "beads", "spacer in": "spacer"}
TAKEN_OUT_BY: dict[str, Device] = {"beads out": "beads", "spacer out": "spacer"}


class Start(NamedTuple):
    """When a clock starts: the moment, how sure it is, and the trip that starts it."""

    at: Moment
    certainty: Certainty
    trip: Trip | None = None


class ClockAnswer(msgspec.Struct, frozen=True, kw_only=True):
    """One clock in this case. Hours; `left_h` is below 0 once the limit has passed.

    `done_at` is when it was done, `planned` the trip planned for it and `planned_left_h` how long
    before the limit that trip is. `ended_by` is the trip or the time that ended it, `doubt` why it
    is not assessed although it has its times. `zone` is where the times are told.
    """

    clock: Clock
    state: State
    start: Start | None = None
    zone: str = "UTC"
    early: datetime | None = None
    due: datetime | None = None
    outer: datetime | None = None
    left_h: float | None = None
    outer_left_h: float | None = None
    done_at: datetime | None = None
    ended_by: str = ""
    doubt: str = ""
    planned: Trip | None = None
    planned_left_h: float | None = None

    @property
    def late_by_h(self) -> float:
        """Hours past the limit; 0 before it."""
        return max(0.0, -self.left_h) if self.left_h is not None else 0.0

    @property
    def is_trouble(self) -> bool:
        """Whether it is late, or planned too late, and not yet done."""
        if self.state in ("done in time", "done late", "not assessed"):
            return False
        too_late = self.planned_left_h is not None and self.planned_left_h < -_MINUTE_H
        return self.state == "late" or too_late

    @property
    def sources(self) -> tuple[str, ...]:
        """Evidence ids, then the ids of the publications behind them."""
        return (*self.clock.evidence, *sources_behind(self.clock.evidence))


def clock_answers(case: Case, now: datetime) -> tuple[ClockAnswer, ...]:
    """Every clock that counts in this case under the guideline in force: late first, then by limit.

    Raises TripsError for a guideline or time zone that is not known, LibraryError.
    """
    ordered = replace(case, trips=in_order(case.trips))
    answers = [
        _answer(clock, start, ordered, now)
        for clock in counting(case)
        for start in _starts(clock, ordered) or [None]
    ]
    return tuple(sorted(answers, key=lambda one: (_weight(one), one.due is None, one.due or now)))


def _weight(answer: ClockAnswer) -> int:
    """Late first, then what runs, what is not assessed, and what is done."""
    if answer.is_trouble:
        return 0
    if answer.state == "not assessed":
        return 2
    return 3 if answer.done_at is not None else 1


def counting(case: Case) -> tuple[Clock, ...]:
    """The clocks that count in this case. Raises TripsError, LibraryError."""
    book, guideline = clock_book(), guideline_of(case).id
    is_left_out = is_out_of_scope(case, book.scope)
    return tuple(
        clock
        for clock in book.clock
        if (not clock.guidelines or guideline in clock.guidelines)
        and not (clock.scoped and is_left_out)
        and all(CONDITIONS[condition](case) for condition in clock.when)
    )


def hidden_words(case: Case) -> str:
    """Why the open-fracture times are not shown; empty when they are, or would not count."""
    book, guideline = clock_book(), guideline_of(case).id
    concerned = any(clock.scoped and guideline in clock.guidelines for clock in book.clock)
    if not concerned or not CONDITIONS["open"](case) or not is_out_of_scope(case, book.scope):
        return ""
    return f"{book.scope.says} ({', '.join(book.scope.evidence)})"


def _starts(clock: Clock, case: Case) -> list[Start | None]:
    """When the clock starts: once, or for each trip that starts it. Empty: not known."""
    given = _given(clock.starts, case)
    if given is not None:
        return [Start(given, "given")]
    found = [_start_of(trip) for trip in _starting_trips(clock, case)]
    known = [start for start in found if start is not None]
    return list(known if clock.each else known[:1])


def _starting_trips(clock: Clock, case: Case) -> tuple[Trip, ...]:
    """Trips that start a clock: for beads and spacer by what went in, else by their tasks."""
    device = DEVICE_OF.get(clock.starts)
    if "pouch" in clock.when:
        return pouch_trips(case)
    if clock.starts == "cover":
        return tuple(trip for trip in case.trips if may_cover(case, trip))
    if device is not None:
        return device_trips(case, device)
    trips = tuple(trip for trip in case.trips if clock.starts in trip.what)
    if "tissue doubtful" in clock.when and look_trips(case):
        return tuple(trip for trip in trips if trip.id in look_trips(case))
    return trips


def _given(event: str, case: Case) -> Moment | None:
    course = case.course
    times = {
        "injury": course.injured_at,
        "arrival": course.arrived_at,
        "antibiotic": course.antibiotic_at,
        "antibiotic stopped": course.antibiotic_stopped_at,
        "decision": course.compartment.decided_at,
    }
    return times.get(event)


def _start_of(trip: Trip) -> Start | None:
    if trip.done_at is not None:
        return Start(trip.done_at, "done", trip)
    return Start(trip.planned, "planned", trip) if trip.planned is not None else None


def _answer(clock: Clock, start: Start | None, case: Case, now: datetime) -> ClockAnswer:
    if start is None:
        return ClockAnswer(clock=clock, state="not assessed")
    begun = utc_of(start.at)
    due = begun + timedelta(hours=clock.due_h)
    outer = None if clock.outer_h is None else begun + timedelta(hours=clock.outer_h)
    ended, ended_by, planned = _end(clock, start, case)
    doubt = _doubt(clock, ended_by, case)
    judged = now if ended is None else ended
    left_h = hours_between(judged, due)
    return ClockAnswer(
        clock=clock,
        state="not assessed" if doubt else _state(start, left_h, ended is not None, now),
        start=start,
        zone=start.at.zone,
        early=None if clock.early_h is None else begun + timedelta(hours=clock.early_h),
        due=due,
        outer=outer,
        left_h=left_h,
        outer_left_h=None if outer is None else hours_between(judged, outer),
        done_at=ended,
        ended_by=ended_by,
        doubt=doubt,
        planned=planned,
        planned_left_h=_planned_left_h(planned, due),
    )


def _state(start: Start, left_h: float, is_done: bool, now: datetime) -> State:
    in_time = left_h > -_MINUTE_H
    if is_done:
        return "done in time" if in_time else "done late"
    if start.certainty == "planned" and utc_of(start.at) > now:
        return "not begun"
    return "running" if in_time else "late"


def _planned_left_h(planned: Trip | None, due: datetime) -> float | None:
    if planned is None or planned.planned is None:
        return None
    return hours_between(utc_of(planned.planned), due)


def _doubt(clock: Clock, ended_by: str, case: Case) -> str:
    """Why a clock of cover that a trip has ended is not assessed: which cover is not recorded."""
    if clock.ends != ("cover",):
        return ""
    trip = next((one for one in case.trips if one.id == ended_by), None)
    if trip is None or covering(case, trip) != "not recorded":
        return ""
    name = trip.id.replace("trip-", "Trip ")
    return f"{name} is done with cover, and which cover is not recorded"


class End(NamedTuple):
    """When a clock was ended and by what; else the trip that is planned to end it."""

    at: datetime | None
    by: str
    planned: Trip | None


def _end(clock: Clock, start: Start, case: Case) -> End:
    for event in clock.ends:
        given = _given(event, case)
        if given is not None:
            return End(utc_of(given), event, None)
    ending = list(_ending_trips(clock, start, case))
    for trip in ending:
        if trip.done_at is not None and _is_ended_by(clock, trip, case):
            return End(utc_of(trip.done_at), trip.id, None)
    waiting = (trip for trip in ending if trip.planned is not None and trip.done_at is None)
    return End(None, "", next(waiting, None))


def _is_ended_by(clock: Clock, trip: Trip, case: Case) -> bool:
    """Whether a trip that was done has done it: a pouch must have been changed or taken off."""
    return "pouch" not in clock.when or changes_pouch(case, trip)


def _ending_trips(clock: Clock, start: Start, case: Case) -> Iterator[Trip]:
    """Trips at which the clock ends: for one that a trip starts, only later trips."""
    after = case.trips.index(start.trip) + 1 if start.trip is not None else 0
    for trip in case.trips[after:]:
        outs = [device for task, device in TAKEN_OUT_BY.items() if task in clock.ends]
        tasks = set(clock.ends) - TAKEN_OUT_BY.keys() - {"cover"}
        is_out = any(is_taken_out(case, one, trip) for one in outs)
        is_covered = "cover" in clock.ends and may_cover(case, trip)
        is_changed = "pouch" in clock.when and changes_pouch(case, trip)
        if tasks & set(trip.what) or is_out or is_covered or is_changed:
            yield trip
