"""The time zone that a case's times are typed in."""

from fixplan.case.records import Case
from fixplan.case.trip_meaning import moments_of


def zone_of_case(case: Case, otherwise: str = "UTC") -> str:
    """The zone of the injury, else of the first time that is given, else `otherwise`."""
    return next((moment.zone for _, moment in moments_of(case)), otherwise)
