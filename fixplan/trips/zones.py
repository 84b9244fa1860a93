"""The time zone that a case's times are typed in."""

from datetime import datetime
from typing import TypeVar

import msgspec
from msgspec.structs import replace

from fixplan.case.records import Case
from fixplan.case.trip_meaning import moments_of
from fixplan.case.trip_records import Moment
from fixplan.trips.moments import told_in

Holder = TypeVar("Holder", bound=msgspec.Struct)


def zone_of_case(case: Case, otherwise: str = "UTC") -> str:
    """The zone of the injury, else of the first time that is given, else `otherwise`."""
    return next((moment.zone for _, moment in moments_of(case)), otherwise)


def printed_in(case: Case, at: datetime) -> str:
    """When something is printed, on the clocks of the case; without any, on the computer's own."""
    zone = zone_of_case(case, "")
    if not zone:
        return f"{at.astimezone():%Y-%m-%d %H:%M %Z}"
    return f"{told_in(at, zone)} ({zone})"


def told_in_zone(case: Case, zone: str) -> Case:
    """The case with all its times told in another zone; the times themselves stay."""
    course = _rezoned(case.course, zone)
    course = replace(course, compartment=_rezoned(course.compartment, zone))
    trips = tuple(_rezoned(trip, zone) for trip in case.trips)
    return replace(case, course=course, trips=trips)


def _rezoned(holder: Holder, zone: str) -> Holder:
    """A record with each time that it holds told in another zone."""
    found = {
        name: replace(value, zone=zone)
        for name in holder.__struct_fields__
        if isinstance(value := getattr(holder, name), Moment)
    }
    return replace(holder, **found)
