"""Clocks that rest on times which cannot be right: nothing is told of them until those are mended.

Where two times contradict each other, either may be the wrong one: both are in doubt.
"""

from collections.abc import Iterator
from datetime import datetime

from msgspec.structs import replace

from fixplan.case.records import Case
from fixplan.case.trip_edits import in_order
from fixplan.case.trip_records import Moment
from fixplan.trips.clocks import ClockAnswer
from fixplan.trips.moments import utc_of

DOUBT = "times out of order"


def impossible_times(case: Case, now: datetime) -> frozenset[str]:
    """The times of the course, by their events, and the ids of trips whose times are in doubt."""
    return frozenset(_before_injury(case)) | frozenset(_others(case, now))


def _given(case: Case) -> dict[str, Moment]:
    course = case.course
    times = {
        "arrival": course.arrived_at,
        "antibiotic": course.antibiotic_at,
        "antibiotic stopped": course.antibiotic_stopped_at,
        "decision": course.compartment.decided_at,
    }
    return {name: at for name, at in times.items() if at is not None}


def _before_injury(case: Case) -> Iterator[str]:
    injured = case.course.injured_at
    if injured is None:
        return
    trips = {trip.id: trip.done_at or trip.planned for trip in case.trips}
    for name, at in {**_given(case), **trips}.items():
        if at is not None and utc_of(at) < utc_of(injured):
            yield from (name, "injury")


def _others(case: Case, now: datetime) -> Iterator[str]:
    """What is said to have happened and lies ahead; trips done out of turn; a stop before it."""
    course = case.course
    happened = {"injury": course.injured_at, "arrival": course.arrived_at}
    happened |= {"antibiotic": course.antibiotic_at}
    happened |= {trip.id: trip.done_at for trip in case.trips}
    yield from (name for name, at in happened.items() if at is not None and utc_of(at) > now)
    first, last = course.antibiotic_at, course.antibiotic_stopped_at
    if first is not None and last is not None and utc_of(last) < utc_of(first):
        yield from ("antibiotic", "antibiotic stopped")
    trips = in_order(case.trips)
    done = [number for number, trip in enumerate(trips) if trip.done_at is not None]
    for trip in trips[: done[-1]] if done else ():
        if trip.done_at is None:
            yield trip.id


def withheld(clocks: tuple[ClockAnswer, ...], times: frozenset[str]) -> tuple[ClockAnswer, ...]:
    """The clocks, those that rest on any of these times not assessed."""
    return tuple(_withheld(one) if _rests_on(one) & times else one for one in clocks)


def _rests_on(clock: ClockAnswer) -> frozenset[str]:
    start = clock.start
    begun = clock.clock.starts if start is None or start.trip is None else start.trip.id
    planned = "" if clock.planned is None else clock.planned.id
    return frozenset({begun, clock.ended_by, planned})


def _withheld(clock: ClockAnswer) -> ClockAnswer:
    return replace(
        clock,
        state="not assessed",
        doubt=DOUBT,
        early=None,
        due=None,
        outer=None,
        left_h=None,
        outer_left_h=None,
        done_at=None,
        planned=None,
        planned_left_h=None,
    )
