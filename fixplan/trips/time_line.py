"""The trips on a line from injury to the last of them: places as shares of the line.

The line is drawn by the square root of time, so that the first days have room; ticks name the days.
"""

import math
from datetime import UTC, datetime, timedelta
from typing import Literal, NamedTuple

from fixplan.trips.answer import TripsAnswer
from fixplan.trips.clock_words import trip_words
from fixplan.trips.moments import utc_of

MarkKind = Literal["injury", "trip", "done", "limit", "late", "now"]
TICK_HOURS = (12, 24, 48, 72, 168, 336, 672, 1008, 1344, 2016)
LEAST = timedelta(hours=24)
BEYOND = 1.08
NEAR = 1.7
SNAP = timedelta(minutes=15)
EPOCH = datetime(2000, 1, 1, tzinfo=UTC)


class Mark(NamedTuple):
    """Something at one time; `trip` is the id of a trip, `words` what a pointer is told."""

    at: datetime
    kind: MarkKind
    label: str
    words: str
    trip: str = ""


class TimeLine(NamedTuple):
    """From `first` to `last`; marks in the order of time, ticks with their words."""

    first: datetime
    last: datetime
    marks: tuple[Mark, ...]
    ticks: tuple[tuple[datetime, str], ...]

    def share(self, at: datetime) -> float:
        """Where a time lies on the line, 0 to 1; times before the first lie at 0."""
        past = (at - self.first) / (self.last - self.first)
        return min(1.0, math.sqrt(max(0.0, past)))

    def time_at(self, share: float) -> datetime:
        """The time at a place of the line, to the next quarter of an hour."""
        inside = min(1.0, max(0.0, share))
        at = self.first + (self.last - self.first) * inside * inside
        return EPOCH + round((at - EPOCH) / SNAP) * SNAP


def time_line(answer: TripsAnswer, now: datetime) -> TimeLine | None:
    """The line of a case; None while nothing has a time, or a time cannot be told."""
    marks = [*_injury(answer), *_trips(answer), *_limits(answer)]
    events = [mark.at for mark in marks if mark.kind in ("injury", "trip", "done")]
    if not events:
        return None
    first = min(events)
    span = max(LEAST, max(events) - first)
    near = [mark.at - first for mark in marks if mark.at - first <= span * NEAR]
    last = first + max(span, *near) * BEYOND
    if first <= now:
        words = "Now" if now <= last else "Now, further on than this line reaches"
        marks.append(Mark(min(now, last), "now", "now", words))
    shown = sorted((one for one in marks if first <= one.at <= last), key=lambda one: one.at)
    ticks = tuple(
        (first + timedelta(hours=hours), _tick_words(hours))
        for hours in TICK_HOURS
        if first + timedelta(hours=hours) <= last
    )
    return TimeLine(first, last, tuple(shown), ticks)


def _tick_words(hours: int) -> str:
    return f"{hours} h" if hours <= 72 else f"{hours // 24} d"


def _injury(answer: TripsAnswer) -> list[Mark]:
    injured = answer.case.course.injured_at
    return [] if injured is None else [Mark(utc_of(injured), "injury", "injury", "Injury")]


def _trips(answer: TripsAnswer) -> list[Mark]:
    found = []
    for trip in answer.trips:
        when = trip.done_at or trip.planned
        if when is not None:
            kind: MarkKind = "done" if trip.done_at is not None else "trip"
            label = trip.id.removeprefix("trip-")
            what = ", ".join(trip.what) or "nothing planned yet"
            found.append(Mark(utc_of(when), kind, label, f"{trip_words(trip)}: {what}", trip.id))
    return found


def _limits(answer: TripsAnswer) -> list[Mark]:
    """The limits of the clocks that still run."""
    return [
        Mark(clock.due, "late" if clock.is_trouble else "limit", "", clock.clock.name)
        for clock in answer.clocks
        if clock.due is not None and clock.done_at is None
    ]
