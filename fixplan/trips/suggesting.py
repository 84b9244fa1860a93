"""The usual trips to begin with: frame and debridement, then fixation and cover in one trip."""

from datetime import timedelta

from fixplan.case.records import Case
from fixplan.case.trip_edits import add_trip
from fixplan.case.trip_records import Moment, Trip, TripTask
from fixplan.errors import EditError
from fixplan.trips.clock_book import Clock
from fixplan.trips.clocks import counting
from fixplan.trips.grades import has_open_fracture
from fixplan.trips.moments import moment_of, utc_of
from fixplan.trips.tasks import usual_who


def with_usual_trips(case: Case) -> Case:
    """The case with two trips: the first at the debridement's limit, the second at that of cover.

    A closed fracture gets a frame and a conversion. A second look is asked about, never planned by
    itself. Raises EditError when trips are planned already or the time of injury is not given.
    """
    if case.trips:
        raise EditError("Trips are planned already; take them out first, or add one by hand")
    injured = case.course.injured_at
    if injured is None:
        raise EditError("The time of injury is not given; type it first")
    tasks: tuple[TripTask, ...] = (
        ("debridement", "frame") if has_open_fracture(case) else ("frame",)
    )
    case = _with(case, _after(case, injured, "debridement", 24.0), tasks)
    if has_open_fracture(case):
        later: tuple[TripTask, ...] = ("cover", "final fixation", "pin removal")
        return _with(case, _after(case, injured, "cover", 72.0), later)
    return _with(case, _conversion(case), ("final fixation", "pin removal"))


def _after(case: Case, injured: Moment, task: TripTask, otherwise_h: float) -> Moment:
    """The limit of the clock that a task ends; at once is taken as it is."""
    clock = _clock(case, task)
    hours = otherwise_h if clock is None else clock.due_h
    return moment_of(utc_of(injured) + timedelta(hours=hours), injured.zone)


def _conversion(case: Case) -> Moment | None:
    first, clock = case.trips[0].planned, _clock(case, "final fixation")
    if first is None or clock is None:
        return None
    return moment_of(utc_of(first) + timedelta(hours=clock.due_h), first.zone)


def _clock(case: Case, task: TripTask) -> Clock | None:
    return next((one for one in counting(case) if task in one.ends), None)


def _with(case: Case, when: Moment | None, tasks: tuple[TripTask, ...]) -> Case:
    return add_trip(case, Trip(id="trip-1", planned=when, what=tasks, who=usual_who(tasks)))
