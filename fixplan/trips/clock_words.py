"""Each clock in words: its limit, what is left, by how much it is late, the trip planned for it."""

from collections.abc import Iterator

from fixplan.case.trip_records import Trip
from fixplan.trips.clock_book import clock_book
from fixplan.trips.clocks import ClockAnswer
from fixplan.trips.moments import span_words, told_in

GIVEN = {
    "injury": "time of injury",
    "arrival": "time of arrival",
    "antibiotic": "time of the first antibiotic",
    "antibiotic stopped": "time of the last antibiotic",
    "decision": "time of the decision to release",
}


def trip_words(trip: Trip) -> str:
    """The trip's name on screen and paper: "Trip 2"."""
    return trip.id.replace("trip-", "Trip ")


def limit_words(answer: ClockAnswer) -> str:
    """The limit in words; empty without one."""
    if answer.due is None or answer.start is None:
        return ""
    if answer.clock.due_h == 0:
        return f"at once, from {told_in(answer.due, answer.zone)}"
    due = f"due {told_in(answer.due, answer.zone)}"
    if answer.early is not None:
        due = f"from {told_in(answer.early, answer.zone)}, {due}"
    return due


def state_words(answer: ClockAnswer) -> str:
    """What is left, or by how much it is late."""
    if answer.doubt:
        return f"not assessed: {answer.doubt}"
    if answer.left_h is None:
        missing = GIVEN.get(answer.clock.starts)
        what = f"{missing} not given" if missing else f"no time for {answer.clock.starts}"
        return f"not assessed: {what}"
    span = span_words(answer.left_h)
    match answer.state:
        case "done in time":
            return f"done, {span} before the limit"
        case "done late":
            return f"done, late by {span}"
        case "late":
            return f"late by {span}{_outer(answer)}"
        case "not begun":
            return "counted from the planned trip"
        case _:
            return f"{span} left"


def _outer(answer: ClockAnswer) -> str:
    if answer.outer_left_h is None:
        return ""
    span = span_words(answer.outer_left_h)
    if answer.outer_left_h >= 0:
        return f", {span} left to the outer limit"
    return f", past the outer limit by {span}"


def planned_words(answer: ClockAnswer) -> str:
    """Where the trip planned for it lies against the limit; empty without one."""
    left_h, trip = answer.planned_left_h, answer.planned
    if left_h is None or trip is None or answer.done_at is not None:
        return ""
    if answer.clock.due_h == 0:
        return f"{trip_words(trip)} is planned {span_words(left_h)} after the injury"
    early = _too_early(answer)
    if left_h > clock_book().told.within_h:
        return f"{trip_words(trip)} is planned{early.removeprefix(',') or ' in time'}"
    side = "before it is due" if left_h >= 0 else "after it is due"
    return f"{trip_words(trip)} is planned {span_words(left_h)} {side}{early}"


def unplanned_words(answer: ClockAnswer) -> str:
    """Says that nothing is planned for what a trip must do; empty where something is."""
    asks_a_trip = any(end not in GIVEN for end in answer.clock.ends)
    if not asks_a_trip or answer.done_at is not None or answer.planned is not None:
        return ""
    return "no trip is planned for it"


def _too_early(answer: ClockAnswer) -> str:
    if answer.early is None or answer.planned_left_h is None:
        return ""
    window_h = answer.clock.due_h - (answer.clock.early_h or 0.0)
    ahead_h = answer.planned_left_h - window_h
    return f", {span_words(ahead_h)} before the window opens" if ahead_h > 0 else ""


def clock_line(answer: ClockAnswer) -> str:
    """One clock in one line, with its evidence."""
    parts = [part for part in _parts(answer) if part]
    return f"{answer.clock.name}: {'; '.join(parts)} ({', '.join(answer.clock.evidence)})"


def _parts(answer: ClockAnswer) -> Iterator[str]:
    yield limit_words(answer)
    yield state_words(answer)
    start = answer.start
    if start is not None and start.trip is not None and start.certainty == "planned":
        if answer.state != "not begun":
            yield f"counted from {trip_words(start.trip)}, which is not marked as done"
    elif start is not None and start.trip is not None and answer.clock.each:
        yield f"from {trip_words(start.trip)}"
    if not answer.doubt:
        yield planned_words(answer) or unplanned_words(answer)


def clock_json(answer: ClockAnswer) -> dict[str, object]:
    """One clock as plain values; times in UTC, hours rounded to the minute."""
    start, clock = answer.start, answer.clock
    return {
        "clock": clock.id,
        "name": clock.name,
        "state": answer.state,
        "starts": clock.starts,
        "start": None if start is None else start.at.utc,
        "start_is": None if start is None else start.certainty,
        "zone": answer.zone,
        "not_before": _utc(answer.early),
        "due": _utc(answer.due),
        "outer": _utc(answer.outer),
        "left_h": _rounded(answer.left_h),
        "late_by_h": _rounded(answer.late_by_h),
        "done": _utc(answer.done_at),
        "planned": None if answer.planned is None else answer.planned.id,
        "planned_left_h": _rounded(answer.planned_left_h),
        "trouble": answer.is_trouble,
        "message": clock_line(answer),
        "sources": list(answer.sources),
    }


def _utc(at: object) -> str | None:
    return None if at is None else f"{at:%Y-%m-%dT%H:%MZ}"


def _rounded(hours: float | None) -> float | None:
    return None if hours is None else round(hours, 2)
