"""The trips as the sheet and the notes tell them: times and limits, as of the printing."""

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime

from fixplan.case.records import Case
from fixplan.case.trip_meaning import moments_of
from fixplan.case.trip_records import Course
from fixplan.checks.finding import Finding
from fixplan.trips.answer import TripsAnswer, trip_line, trips_for
from fixplan.trips.clock_words import state_words
from fixplan.trips.flags import pause_lines
from fixplan.trips.moments import short_in, utc_of
from fixplan.trips.zones import printed_in

NEVER = datetime(2000, 1, 1, tzinfo=UTC)


def trip_lines(
    case: Case, findings: Sequence[Finding] = (), now: datetime | None = None
) -> tuple[str, ...]:
    """Trips, limits, what they mean for each other, raised prompts and the pauses.

    Nothing for a case without trips and course. With the time of printing as `now`, what is late is
    told as of then; without it the last time that has been stands for now. Raises LibraryError.
    """
    if not case.trips and case.course == Course():
        return ()
    if now is not None:
        return tuple(_lines(trips_for(case, now, findings), now))
    planned = {trip.id for trip in case.trips}
    happened = [moment for name, moment in moments_of(case) if name not in planned]
    last = max((utc_of(moment) for moment in happened), default=NEVER)
    return tuple(_lines(trips_for(case, last, findings), None))


def _lines(answer: TripsAnswer, now: datetime | None) -> Iterator[str]:
    if now is not None:
        yield f"As of {printed_in(answer.case, now)}."
    yield from (f"\u25a0 {line}" for line in answer.urgent)
    yield from (trip_line(answer.case, trip) for trip in answer.trips)
    limits = "; ".join(_limits(answer, now))
    if limits:
        house = ", house values" if answer.is_house else ""
        yield f"Due ({answer.guideline}{house}): {limits}."
    yield from (line for line in (answer.hidden,) if line)
    if answer.grade:
        yield answer.grade.split(":")[0].removesuffix(".") + "."
    yield from (f"{one.severity.capitalize()}: {one.message}" for one in answer.remarks)
    for flag in answer.flags:
        if flag.is_raised:
            yield f"Prompt, {flag.title.lower()}: {' '.join(flag.lines)}"
    if answer.trips:
        yield f"Pauses (SF-15, SF-16), beside the local list. {'. '.join(pause_lines())}."


def _limits(answer: TripsAnswer, now: datetime | None) -> Iterator[str]:
    """What is still to be done, by when."""
    for clock in answer.clocks:
        name, cites = clock.clock.name, ", ".join(clock.clock.evidence)
        if clock.doubt:
            yield f"{name}: not assessed, {clock.doubt}"
        elif clock.due is None:
            yield f"{name}: not assessed, no time to count from"
        elif clock.done_at is None:
            late = f", {state_words(clock)}" if now is not None and clock.state == "late" else ""
            yield f"{name}: {short_in(clock.due, clock.zone, now)}{late} ({cites})"
