"""The time line: places as shares of the line, and back."""

from datetime import timedelta
from pathlib import Path

import pytest

from fixplan.case.file import read_case
from fixplan.case.records import Case
from fixplan.trips.answer import trips_for
from fixplan.trips.moments import moment_typed, utc_of
from fixplan.trips.time_line import TimeLine, time_line

ROOT = Path(__file__).parents[3]
NOW = utc_of(moment_typed("2026-03-29 20:00", "Europe/London"))


def line() -> TimeLine:
    case = read_case(ROOT / "sample_cases" / "open-tibial-shaft.json")
    found = time_line(trips_for(case, NOW), NOW)
    assert found is not None
    return found


def test_nothing_without_a_time() -> None:
    assert time_line(trips_for(Case(side="right"), NOW), NOW) is None


def test_it_runs_from_the_injury_past_the_last_trip() -> None:
    told = line()
    trips = [mark for mark in told.marks if mark.trip]
    assert told.first == utc_of(moment_typed("2026-03-28 21:40", "Europe/London"))
    assert [mark.kind for mark in trips] == ["done", "trip"]
    assert told.last > trips[-1].at
    assert {"injury", "now", "limit"} <= {mark.kind for mark in told.marks}


@pytest.mark.parametrize("hours", [1, 7, 24, 48, 60])
def test_a_place_leads_back_to_its_time(hours: int) -> None:
    told = line()
    at = told.first + timedelta(hours=hours)
    assert abs(told.time_at(told.share(at)) - at) <= timedelta(minutes=8)


def test_times_snap_to_the_quarter_of_an_hour() -> None:
    told = line()
    assert {told.time_at(k / 37).minute % 15 for k in range(38)} == {0}
    assert told.share(told.first - timedelta(days=1)) == 0.0


def test_a_limit_that_has_passed_is_late() -> None:
    case = read_case(ROOT / "sample_cases" / "open-tibial-shaft.json")
    later = NOW + timedelta(days=3)
    found = time_line(trips_for(case, later), later)
    assert found is not None
    assert "Definitive cover" in [mark.words for mark in found.marks if mark.kind == "late"]
