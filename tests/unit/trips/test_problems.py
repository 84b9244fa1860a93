"""Times and trips that cannot be right: a sentence each, and nothing is lost."""

from datetime import UTC, datetime

import pytest
from msgspec.structs import replace

from fixplan.case.records import Case, Fracture
from fixplan.case.trip_records import Course, Moment, Trip
from fixplan.trips.answer import trips_for
from fixplan.trips.problems import trip_problems

NOW = datetime(2026, 4, 1, 12, tzinfo=UTC)
OPEN = Fracture(id="fracture-1", bone="tibia", from_mm=100, to_mm=140, open_grade="IIIA")


def at(day: int, zone: str = "Europe/London", month: int = 3) -> Moment:
    return Moment(utc=f"2026-{month:02d}-{day:02d}T09:00Z", zone=zone)


def problem(*trips: Trip, **course: object) -> str:
    found = trip_problems(
        Case(side="right", fractures=(OPEN,), trips=trips, course=Course(**course)), NOW
    )
    assert len(found) == 1, found
    return found[0]


def trip(number: int, day: int, *what: str, done: bool = False) -> Trip:
    moment = at(day)
    return Trip(id=f"trip-{number}", planned=moment, what=what, done_at=moment if done else None)


def test_a_sound_course_has_no_problem() -> None:
    case = Case(
        side="right",
        fractures=(OPEN,),
        trips=(
            trip(1, 28, "debridement", "beads in", done=True),
            trip(2, 30, "beads out", "cover"),
        ),
        course=Course(injured_at=at(27), arrived_at=at(27), antibiotic_at=at(27)),
    )
    assert trip_problems(case, NOW) == ()


def test_arrival_before_injury() -> None:
    assert "The arrival" in (told := problem(injured_at=at(20), arrived_at=at(19)))
    assert "lies before the injury" in told


def test_a_trip_before_the_injury() -> None:
    assert "Trip 1 (" in problem(trip(1, 18, "debridement"), injured_at=at(20))


def test_an_injury_in_the_future() -> None:
    assert "The injury lies in the future" in problem(injured_at=at(9, month=6))


def test_cover_before_debridement() -> None:
    told = problem(trip(1, 20, "cover"), trip(2, 22, "debridement"))
    assert told.startswith("Trip 1 covers the wound before any debridement")


def test_beads_out_that_never_went_in() -> None:
    assert "beads out, but none went in" in problem(trip(1, 20, "debridement", "beads out"))


def test_a_trip_done_before_an_earlier_one() -> None:
    told = problem(trip(1, 20, "debridement"), trip(2, 22, "second look", done=True))
    assert told == (
        "Trip 2 is done and Trip 1 before it is not; mark that one as done, or move it."
    )


def test_antibiotic_stopped_before_it_was_begun() -> None:
    told = problem(antibiotic_at=at(21), antibiotic_stopped_at=at(20))
    assert "stopped before it was begun" in told


def test_a_trip_with_nothing_to_do() -> None:
    assert problem(trip(1, 20)) == "Trip 1 has nothing to do; say what is planned."


@pytest.mark.parametrize("zone", ["Europe/Londn", "Nowhere"])
def test_an_unknown_zone_is_told_once_and_the_case_is_kept(zone: str) -> None:
    case = Case(
        side="right",
        fractures=(OPEN,),
        course=Course(injured_at=at(20, zone)),
        trips=(replace(trip(1, 21, "debridement"), planned=at(21, zone)),),
    )
    answer = trips_for(case, NOW)
    assert len(answer.problems) == 1
    assert f"The time zone {zone} is not known" in answer.problems[0]
    assert answer.clocks == ()
    assert "2026-03-21T09:00Z" in "\n".join(answer.lines())
