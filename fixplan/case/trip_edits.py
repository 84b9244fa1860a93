"""Every change to the trips: adding, changing, marking done with the plan kept, taking out."""

from msgspec.structs import replace

from fixplan.case.care_edits import forgetting_trip
from fixplan.case.file import snapshot_id
from fixplan.case.film_pixels import without_pixels
from fixplan.case.naming import number_of, retired_with
from fixplan.case.records import Case, KeptPlan
from fixplan.case.sound import sound, sound_case
from fixplan.case.trip_records import Course, Moment, Trip
from fixplan.errors import EditError


def add_trip(case: Case, trip: Trip) -> Case:
    """Add a trip under the next trip id; the id it comes with is not looked at."""
    used = [number_of(id_, "trip") for id_ in (*(one.id for one in case.trips), *case.retired)]
    number = max((one for one in used if one is not None), default=0) + 1
    added = replace(trip, id=f"trip-{number}")
    return _with_trips(case, (*case.trips, sound(added, added.id)))


def change_trip(case: Case, id_: str, **fields: object) -> Case:
    """Change fields of a trip by name. Raises EditError; `done_at`: see `mark_done`."""
    trip = trip_of(case, id_)
    if "id" in fields or "done_at" in fields:
        raise EditError(f"{id_}: mark the trip as done instead of changing that field")
    changed = sound(replace(trip, **fields), id_)
    return _with_trips(case, tuple(changed if one.id == id_ else one for one in case.trips))


def remove_trip(case: Case, id_: str) -> Case:
    """Take a trip out, with the plan it kept; a grade settled at it is provisional again.

    What was to go in, come out or be recorded at it then names no trip.
    """
    trip_of(case, id_)
    free = forgetting_trip(case, id_)
    return _with_trips(
        _unsettled(replace(free, kept_plans=_other_plans(case, id_)), id_),
        tuple(one for one in case.trips if one.id != id_),
        retired=retired_with(case, {id_}),
    )


def mark_done(case: Case, id_: str, done_at: Moment) -> Case:
    """Mark a trip as done and keep the plan that it was done from, as it stands now.

    A trip that is done already keeps its plan; only its time changes.
    """
    trip = trip_of(case, id_)
    kept = case.kept_plans
    if trip.done_at is None:
        plan = without_pixels(replace(case, kept_plans=()))
        kept = (*_other_plans(case, id_), KeptPlan(trip=id_, snapshot=snapshot_id(case), plan=plan))
    done = sound(replace(trip, done_at=done_at), id_)
    changed = replace(case, kept_plans=kept)
    return _with_trips(changed, tuple(done if one.id == id_ else one for one in case.trips))


def mark_not_done(case: Case, id_: str) -> Case:
    """Take the mark back; the plan that was kept goes with it."""
    trip = trip_of(case, id_)
    changed = _unsettled(replace(case, kept_plans=_other_plans(case, id_)), id_)
    open_again = replace(trip, done_at=None)
    return _with_trips(changed, tuple(open_again if one.id == id_ else one for one in case.trips))


def change_course(case: Case, **fields: object) -> Case:
    """Change fields of the course by name. Raises EditError."""
    course: Course = sound(replace(case.course, **fields), "The course")
    return sound_case(replace(case, course=course))


def trip_of(case: Case, id_: str) -> Trip:
    """The trip with this id. Raises EditError when there is none."""
    for trip in case.trips:
        if trip.id == id_:
            return trip
    raise EditError(f"{id_} is not in the case; choose the trip again")


def plan_of(case: Case, id_: str) -> KeptPlan:
    """The plan that a trip was done from. Raises EditError when none was kept."""
    for kept in case.kept_plans:
        if kept.trip == id_:
            return kept
    raise EditError(f"{id_} keeps no plan; a plan is kept when a trip is marked as done")


def in_order(trips: tuple[Trip, ...]) -> tuple[Trip, ...]:
    """Trips by the time they were done or are planned for; those without a time last."""
    return tuple(sorted(trips, key=_when))


def _when(trip: Trip) -> str:
    told = trip.done_at or trip.planned
    return told.utc if told else "~"


def _other_plans(case: Case, id_: str) -> tuple[KeptPlan, ...]:
    return tuple(kept for kept in case.kept_plans if kept.trip != id_)


def _unsettled(case: Case, id_: str) -> Case:
    if case.course.grade_settled_at != id_:
        return case
    return replace(case, course=replace(case.course, grade_settled_at=None))


def _with_trips(case: Case, trips: tuple[Trip, ...], **fields: object) -> Case:
    return sound_case(sound(replace(case, trips=in_order(trips), **fields), "The case"))
