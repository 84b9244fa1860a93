"""Cautions that the trips raise, counted beside the findings, so that no page says none is open."""

from collections.abc import Sequence

from fixplan.case.records import Case
from fixplan.case.trip_records import Course
from fixplan.checks.finding import Finding
from fixplan.trips.care_words import PRINTED, all_prompts
from fixplan.trips.interplay import remarks


def trip_cautions(case: Case, findings: Sequence[Finding] = ()) -> tuple[str, ...]:
    """Every stop and caution of the trips, a line each. Raises LibraryError."""
    told = [one.words for one in all_prompts(case) if one.severity in PRINTED]
    if case.trips or case.course != Course():
        together = (one for one in remarks(case, findings) if one.severity in PRINTED)
        told += [f"Caution: {one.message}" for one in together]
    return tuple(told)


def caution_words(case: Case, findings: Sequence[Finding] = ()) -> str:
    """How many of them, such as "1 caution of the trips"; empty for none."""
    count = len(trip_cautions(case, findings))
    return f"{count} caution{'' if count == 1 else 's'} of the trips" if count else ""
