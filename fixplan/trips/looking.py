"""A further look that a debridement asks for: the trip for it, at the time that its clock gives."""

from datetime import timedelta

from fixplan.case.debridement_records import Debridement
from fixplan.case.records import Case
from fixplan.case.trip_edits import add_trip, in_order
from fixplan.case.trip_records import Moment, Trip, TripTask
from fixplan.errors import EditError
from fixplan.trips.debridement import asked
from fixplan.trips.moments import moment_of, utc_of
from fixplan.trips.tasks import usual_who

TASKS: tuple[TripTask, ...] = ("second look",)
LOOKS = frozenset({"second look", "debridement"})


def look_after(case: Case, record: Debridement) -> Trip | None:
    """The next trip that looks again after a debridement; without a trip of its own, the first."""
    trips = in_order(case.trips)
    names = [trip.id for trip in trips]
    if record.trip in names:
        later = trips[names.index(record.trip) + 1 :]
        return next((trip for trip in later if LOOKS & set(trip.what)), None)
    return next((trip for trip in trips if "second look" in trip.what), None)


def with_look(case: Case, record: Debridement) -> Case:
    """The case with a trip for the further look, planned at the earliest time that is published.

    Without a time of the debridement the trip has none either.

    Raises:
        EditError: no further look is asked for, or one is planned already.
    """
    if record.look_again != "yes":
        raise EditError(f"{record.id} asks for no further look; say yes there first")
    planned = look_after(case, record)
    if planned is not None:
        raise EditError(f"A further look is planned already, as {planned.id}; change that one")
    trip = Trip(id="trip-1", planned=_when(case, record), what=TASKS, who=usual_who(TASKS))
    return add_trip(case, trip)


def _when(case: Case, record: Debridement) -> Moment | None:
    trip = next((one for one in case.trips if one.id == record.trip), None)
    start = None if trip is None else trip.done_at or trip.planned
    if start is None:
        return None
    return moment_of(utc_of(start) + timedelta(hours=asked().look_again.from_h), start.zone)
