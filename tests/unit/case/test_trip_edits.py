"""Changes to trips, and what they keep."""

import pytest

from fixplan.case.edits import add_candidate, add_pin, remove, renumber_from_proximal
from fixplan.case.file import decode, encode, snapshot_id
from fixplan.case.meaning import case_problems
from fixplan.case.records import Candidate, Case, KeptPlan, Pin
from fixplan.case.trip_edits import (
    add_trip,
    change_course,
    change_trip,
    mark_done,
    mark_not_done,
    plan_of,
    remove_trip,
)
from fixplan.case.trip_records import Course, Moment, PinSite, Trip
from fixplan.errors import CaseFileError, EditError


def at(day: int) -> Moment:
    return Moment(utc=f"2026-03-{day:02d}T09:00Z", zone="Europe/London")


def two_trips() -> Case:
    case = add_trip(Case(side="right"), Trip(id="trip-1", planned=at(20), what=("debridement",)))
    return add_trip(case, Trip(id="trip-1", planned=at(22), what=("cover",)))


def pin(level_mm: float) -> Pin:
    return Pin(
        id="pin-1", number=1, bone="tibia", level_mm=level_mm, bearing_deg=180, diameter_mm=5
    )


def test_trips_stand_in_the_order_of_their_times() -> None:
    case = change_trip(two_trips(), "trip-1", planned=at(24))
    assert [trip.id for trip in case.trips] == ["trip-2", "trip-1"]


def test_an_id_is_never_given_twice() -> None:
    case = add_trip(remove_trip(two_trips(), "trip-2"), Trip(id="trip-1"))
    assert [trip.id for trip in case.trips] == ["trip-1", "trip-3"]


def test_marking_done_keeps_the_plan_it_was_done_from() -> None:
    before = add_pin(two_trips(), pin(100))
    done = mark_done(before, "trip-1", at(20))
    after = add_pin(done, pin(150))
    kept = plan_of(after, "trip-1")
    assert kept.plan == before
    assert kept.snapshot == snapshot_id(before)
    assert decode(encode(after), "plan.json") == after


def test_a_later_mark_does_not_keep_another_plan() -> None:
    done = mark_done(two_trips(), "trip-1", at(20))
    again = mark_done(add_pin(done, pin(100)), "trip-1", at(21))
    assert plan_of(again, "trip-1").plan.pins == ()
    assert again.trips[0].done_at == at(21)


def test_a_second_kept_plan_holds_no_other() -> None:
    case = mark_done(mark_done(two_trips(), "trip-1", at(20)), "trip-2", at(22))
    assert [kept.plan.kept_plans for kept in case.kept_plans] == [(), ()]


def test_taking_the_mark_back_drops_plan_and_settled_grade() -> None:
    settled = change_course(mark_done(two_trips(), "trip-1", at(20)), grade_settled_at="trip-1")
    back = mark_not_done(settled, "trip-1")
    assert (back.kept_plans, back.course.grade_settled_at) == ((), None)
    with pytest.raises(EditError, match="keeps no plan"):
        plan_of(back, "trip-1")


def test_the_grade_is_settled_only_at_a_debridement_that_was_done() -> None:
    with pytest.raises(EditError, match="not a debridement that has been done"):
        change_course(two_trips(), grade_settled_at="trip-1")


def test_removing_the_final_fixation_clears_it() -> None:
    case = add_candidate(Case(side="right"), Candidate(id="candidate-1", kind="undecided"))
    case = change_course(case, fixation="candidate-1")
    assert remove(case, "candidate-1").course.fixation is None


def test_the_pin_site_log_follows_its_pins() -> None:
    case = add_pin(add_pin(Case(side="right"), pin(200)), pin(100))
    log = (
        PinSite(pin="pin-1", day="2026-03-21", state="wet"),
        PinSite(pin="pin-2", day="2026-03-21", state="dry"),
    )
    case = change_course(case, pin_sites=log)
    assert [site.pin for site in renumber_from_proximal(case).course.pin_sites] == [
        "pin-2",
        "pin-1",
    ]
    gone = renumber_from_proximal(remove(case, "pin-1"))
    assert [site.pin for site in gone.course.pin_sites] == ["removed-pin-1", "pin-1"]


@pytest.mark.parametrize(
    ("case", "told"),
    [
        (
            Case(side="right", trips=(Trip(id="trip-1"), Trip(id="trip-1"))),
            "the id trip-1 is used 2 times",
        ),
        (
            Case(
                side="right",
                course=Course(injured_at=Moment(utc="2026-02-30T10:00Z", zone="UTC")),
            ),
            "there is no such day or hour",
        ),
        (Case(side="right", course=Course(fixation="candidate-9")), "candidate-9, which is not in"),
        (
            Case(
                side="right",
                kept_plans=(KeptPlan(trip="trip-4", snapshot="ABCDEF", plan=Case(side="right")),),
            ),
            "not a trip that has been done",
        ),
    ],
)
def test_errors_of_meaning(case: Case, told: str) -> None:
    assert any(told in problem for problem in case_problems(case))


def test_a_wrong_plan_that_was_kept_is_told() -> None:
    wrong = Case(side="right", last_number=0, pins=(pin(100),))
    case = Case(
        side="right",
        trips=(Trip(id="trip-1", done_at=at(20)),),
        kept_plans=(KeptPlan(trip="trip-1", snapshot="ABCDEF", plan=wrong),),
    )
    assert any("in the plan kept for trip-1" in problem for problem in case_problems(case))
    with pytest.raises(CaseFileError):
        encode_and_read(case)


def encode_and_read(case: Case) -> Case:
    return decode(encode(case), "plan.json")
