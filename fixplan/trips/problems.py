"""What cannot be right in the times and the order of the trips: a sentence each."""

from collections.abc import Iterator
from datetime import datetime

from fixplan.case.dead_space_records import Device
from fixplan.case.records import Case
from fixplan.case.trip_edits import in_order
from fixplan.case.trip_meaning import moments_of
from fixplan.case.trip_records import Moment, Trip
from fixplan.errors import TripsError
from fixplan.trips.clock_words import trip_words
from fixplan.trips.conditions import PUTS_IN, device_trips
from fixplan.trips.grades import has_open_fracture
from fixplan.trips.moments import utc_of, words_of, zone_named

DEVICES: tuple[Device, ...] = ("beads", "spacer")


def trip_problems(case: Case, now: datetime) -> tuple[str, ...]:
    """Every problem of times and order, one sentence each."""
    zones = tuple(_zone_problems(case))
    if zones:
        return zones
    return (*_time_problems(case, now), *_order_problems(case))


def _zone_problems(case: Case) -> Iterator[str]:
    told: set[str] = set()
    for name, moment in moments_of(case):
        try:
            zone_named(moment.zone)
        except TripsError as problem:
            if str(problem) not in told:
                told.add(str(problem))
                yield f"{problem} (for {name})."


def _time_problems(case: Case, now: datetime) -> Iterator[str]:
    course = case.course
    injured = course.injured_at
    later: list[tuple[str, Moment | None]] = [
        ("The arrival", course.arrived_at),
        ("The first antibiotic", course.antibiotic_at),
        ("The decision to release", course.compartment.decided_at),
        *((trip_words(trip), trip.done_at or trip.planned) for trip in case.trips),
    ]
    for name, moment in later:
        if injured is not None and moment is not None and utc_of(moment) < utc_of(injured):
            yield (
                f"{name} ({words_of(moment)}) lies before the injury ({words_of(injured)}); "
                "correct one of the two."
            )
    happened = (
        ("The injury", injured),
        ("The arrival", course.arrived_at),
        ("The first antibiotic", course.antibiotic_at),
        *((f"{trip_words(trip)}, marked as done,", trip.done_at) for trip in case.trips),
    )
    for name, moment in happened:
        if moment is not None and utc_of(moment) > now:
            yield f"{name} lies in the future ({words_of(moment)}); correct the time."
    first, last = course.antibiotic_at, course.antibiotic_stopped_at
    if first is not None and last is not None and utc_of(last) < utc_of(first):
        yield "The antibiotic was stopped before it was begun; correct one of the two times."


def _order_problems(case: Case) -> Iterator[str]:
    trips = in_order(case.trips)
    waiting = next((trip for trip in trips if trip.done_at is None), None)
    for trip in trips[trips.index(waiting) + 1 :] if waiting is not None else ():
        if trip.done_at is not None and waiting is not None:
            yield (
                f"{trip_words(trip)} is done and {trip_words(waiting)} before it is not; "
                "mark that one as done, or move it."
            )
    yield from _cover_problems(case, trips)
    for device in DEVICES:
        yield from _out_problems(case, trips, device)
    for trip in trips:
        if not trip.what:
            yield f"{trip_words(trip)} has nothing to do; say what is planned."


def _cover_problems(case: Case, trips: tuple[Trip, ...]) -> Iterator[str]:
    if not has_open_fracture(case):
        return
    for trip in trips:
        if "debridement" in trip.what:
            return
        if "cover" in trip.what:
            yield (
                f"{trip_words(trip)} covers the wound before any debridement; "
                "plan a debridement at it or before it."
            )
            return


def _out_problems(case: Case, trips: tuple[Trip, ...], device: Device) -> Iterator[str]:
    """Beads or a spacer that are to come out before any went in, as task or as dead space."""
    last, is_in = f"{device} out", False
    went_in = {trip.id for trip in device_trips(case, device)}
    for trip in trips:
        if last in trip.what and not is_in:
            yield f"{trip_words(trip)}: {last}, but none went in before; correct the trips."
        puts_in = trip.id in went_in or PUTS_IN[device] in trip.what
        is_in = puts_in or (is_in and last not in trip.what)
