"""Times as they are typed, stored and told."""

from datetime import UTC, datetime

import pytest

from fixplan.case.trip_records import Moment
from fixplan.errors import TripsError
from fixplan.trips import moments
from fixplan.trips.moments import (
    hours_between,
    moment_typed,
    span_words,
    typed_of,
    utc_of,
    words_of,
    zone_named,
)

LONDON = "Europe/London"


def test_a_typed_time_is_kept_in_utc_with_its_zone() -> None:
    assert moment_typed("2026-07-01 14:30", LONDON) == Moment(utc="2026-07-01T13:30Z", zone=LONDON)
    assert moment_typed("2026-01-01 9:05", LONDON).utc == "2026-01-01T09:05Z"


def test_a_time_is_told_in_its_zone() -> None:
    assert words_of(moment_typed("2026-07-01 14:30", LONDON)) == "Wed 1 Jul 2026 14:30 BST"


def test_an_hour_that_does_not_come_is_refused() -> None:
    with pytest.raises(TripsError, match=r"01:30 does not come in Europe/London"):
        moment_typed("2026-03-29 01:30", LONDON)


def test_an_hour_that_comes_twice_asks_which() -> None:
    with pytest.raises(TripsError, match=r"comes twice .* \+01:00 or 2026-10-25 01:30 \+00:00"):
        moment_typed("2026-10-25 01:30", LONDON)
    first = moment_typed("2026-10-25 01:30 +01:00", LONDON)
    second = moment_typed("2026-10-25 01:30 +00:00", LONDON)
    assert hours_between(utc_of(first), utc_of(second)) == 1.0
    assert [moment_typed(typed_of(one), LONDON) for one in (first, second)] == [first, second]


@pytest.mark.parametrize("text", ["", "tomorrow", "2026-02-30 10:00", "2026-01-01 25:00", "1/2/26"])
def test_what_is_no_time_is_refused_in_words(text: str) -> None:
    with pytest.raises(TripsError, match="is not a time; type day and hour"):
        moment_typed(text, LONDON)


def test_a_year_far_off_is_refused() -> None:
    with pytest.raises(TripsError, match="outside the years"):
        moment_typed("1926-01-01 10:00", LONDON)


@pytest.mark.parametrize("name", ["Europe/Londn", "../../etc/passwd", "Mars", ""])
def test_an_unknown_zone_is_one_sentence(name: str) -> None:
    with pytest.raises(TripsError, match="is not known to this system; type one such as"):
        zone_named(name)


def test_a_system_without_zone_data_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    def nothing(name: str) -> None:
        raise moments.ZoneInfoNotFoundError(name)

    monkeypatch.setattr(moments, "ZoneInfo", nothing)
    zone_named.cache_clear()
    try:
        with pytest.raises(TripsError, match=r"has no time-zone data.*install"):
            zone_named(LONDON)
    finally:
        zone_named.cache_clear()


def test_spans_are_told_as_people_say_them() -> None:
    told = [span_words(hours) for hours in (0.0, 0.5, 3 + 20 / 60, 71.99, 72.0, 100.0, 336.0)]
    assert told == ["0 min", "30 min", "3 h 20 min", "71 h 59 min", "3 d", "4 d 4 h", "14 d"]


def test_the_words_do_not_follow_the_system_language() -> None:
    moment = moments.moment_of(datetime(2026, 5, 4, 12, tzinfo=UTC), "UTC")
    assert words_of(moment) == "Mon 4 May 2026 12:00 UTC"
