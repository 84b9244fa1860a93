"""What a well-formed course can still get wrong: days that there are not, ids that lead nowhere."""

from collections import Counter
from collections.abc import Iterator

from fixplan.case.records import Case
from fixplan.case.trip_records import Moment


def course_problems(case: Case) -> Iterator[str]:
    """Every error of meaning in course, trips and kept plans, one clause each."""
    yield from _repeated_trips(case)
    yield from _day_problems(case)
    yield from _grade_problems(case)
    if case.course.fixation is not None:
        known = {candidate.id for candidate in case.candidates}
        if case.course.fixation not in known:
            yield f"the final fixation is {case.course.fixation}, which is not in the case"
    yield from _kept_problems(case)


def _repeated_trips(case: Case) -> Iterator[str]:
    counts = Counter(trip.id for trip in case.trips)
    yield from (f"the id {id_} is used {n} times" for id_, n in counts.items() if n > 1)


def moments_of(case: Case) -> Iterator[tuple[str, Moment]]:
    """Every time in the case, each with what it is the time of."""
    course = case.course
    named = (
        ("the injury", course.injured_at),
        ("the arrival", course.arrived_at),
        ("the first antibiotic", course.antibiotic_at),
        ("the last intravenous antibiotic", course.antibiotic_stopped_at),
        ("the decision to release", course.compartment.decided_at),
        *((trip.id, trip.planned) for trip in case.trips),
        *((f"{trip.id} done", trip.done_at) for trip in case.trips),
    )
    yield from ((name, moment) for name, moment in named if moment is not None)


def _day_problems(case: Case) -> Iterator[str]:
    told = [(name, moment.utc.rstrip("Z")) for name, moment in moments_of(case)]
    if case.course.last_tetanus is not None:
        told.append(("the last tetanus dose", case.course.last_tetanus))
    told += ((f"the pin-site log of {site.pin}", site.day) for site in case.course.pin_sites)
    for name, text in told:
        if not _is_real(text):
            yield f"{name} has the time {text}, and there is no such day or hour"


def _is_real(text: str) -> bool:
    from datetime import datetime

    try:
        datetime.fromisoformat(text)
    except ValueError:
        return False
    return True


def _grade_problems(case: Case) -> Iterator[str]:
    settled = case.course.grade_settled_at
    if settled is None:
        return
    trip = next((trip for trip in case.trips if trip.id == settled), None)
    if trip is None:
        yield f"the grade was settled at {settled}, which is not in the case"
    elif trip.done_at is None or not {"debridement", "second look"} & set(trip.what):
        yield f"the grade was settled at {settled}, which is not a debridement that has been done"


def _kept_problems(case: Case) -> Iterator[str]:
    done = {trip.id for trip in case.trips if trip.done_at is not None}
    counts = Counter(kept.trip for kept in case.kept_plans)
    for kept in case.kept_plans:
        if kept.trip not in done:
            yield f"a plan is kept for {kept.trip}, which is not a trip that has been done"
        if counts[kept.trip] > 1:
            yield f"{kept.trip} keeps {counts[kept.trip]} plans; it can keep one"
        if kept.plan.kept_plans:
            yield f"the plan kept for {kept.trip} holds kept plans of its own"
