"""The grade: the worst drawn, provisional until it was settled."""

import pytest

from fixplan.case.records import Case, Fracture
from fixplan.case.scalars import OpenGrade
from fixplan.case.trip_edits import add_trip, change_course, mark_done
from fixplan.case.trip_records import Moment, SecondScheme, Trip
from fixplan.trips.grades import grade_line, grade_words, scheme_line, scheme_parts, worst_grade

AT = Moment(utc="2026-03-01T09:00Z", zone="UTC")


def case_of(*grades: OpenGrade) -> Case:
    broken = tuple(
        Fracture(
            id=f"fracture-{k}", bone="tibia", from_mm=40.0 * k, to_mm=40.0 * k + 9, open_grade=grade
        )
        for k, grade in enumerate(grades, 1)
    )
    return Case(side="right", fractures=broken)


@pytest.mark.parametrize(
    ("grades", "worst"),
    [
        (("closed", "II"), "II"),
        (("IIIB", "I"), "IIIB"),
        (("closed",), "closed"),
        (("closed", "not graded"), "not graded"),
        ((), "not graded"),
    ],
)
def test_the_worst_counts(grades: tuple[OpenGrade, ...], worst: OpenGrade) -> None:
    assert worst_grade(case_of(*grades)) == worst


def test_it_is_provisional_until_after_a_debridement() -> None:
    case = add_trip(case_of("IIIA"), Trip(id="trip-1", planned=AT, what=("debridement",)))
    assert "type IIIA, provisional until after debridement" in grade_line(case)
    settled = change_course(mark_done(case, "trip-1", AT), grade_settled_at="trip-1")
    assert "type IIIA, settled" in grade_line(settled)


@pytest.mark.parametrize("grade", ["I", "II", "IIIA", "IIIB", "IIIC"])
def test_every_type_has_words_and_evidence(grade: OpenGrade) -> None:
    words = grade_words(grade)
    assert words is not None
    assert words.evidence
    assert words.says in grade_line(case_of(grade))


def test_a_closed_fracture_is_said_to_be_so() -> None:
    assert grade_line(case_of("closed")) == "No open fracture in the plan."


def test_the_second_scheme_has_five_parts_of_three_steps() -> None:
    assert [len(part.steps) for part in scheme_parts()] == [3] * 5
    case = change_course(case_of("II"), second_scheme=SecondScheme(skin=2, artery=1))
    assert "skin 2, muscle not judged, artery 1" in scheme_line(case)
    assert scheme_line(case_of("II")) == ""
