"""The further look that a debridement asks for, and clocks that follow what went in."""

from datetime import datetime

import pytest
from msgspec.structs import replace

from fixplan.case.dead_space_records import Cover, DeadSpace
from fixplan.case.debridement_records import Debridement
from fixplan.case.records import Case, Fracture
from fixplan.case.trip_edits import add_trip, change_course
from fixplan.case.trip_records import Trip
from fixplan.errors import EditError
from fixplan.trips.clocks import clock_answers
from fixplan.trips.conditions import open_questions
from fixplan.trips.interplay import remarks
from fixplan.trips.looking import with_look
from fixplan.trips.moments import moment_typed, utc_of
from fixplan.trips.problems import trip_problems

ZONE = "Europe/London"


def at(text):
    return moment_typed(text, ZONE)


NOW: datetime = utc_of(at("2026-03-29 08:00"))


def case_with(*tasks, spaces=(), look="not decided", when="2026-03-28 21:00"):
    broken = Fracture(id="fracture-1", bone="tibia", from_mm=100, to_mm=140, open_grade="IIIB")
    case = change_course(Case(side="right", fractures=(broken,)), injured_at=at("2026-03-28 20:00"))
    case = add_trip(case, Trip(id="trip-1", planned=at(when), what=("debridement", *tasks)))
    record = Debridement(id="debridement-1", trip="trip-1", look_again=look)
    return replace(case, dead_spaces=spaces, debridements=(record,))


def clocks(case):
    return {one.clock.id: one for one in clock_answers(case, NOW)}


def test_a_look_that_is_asked_for_has_its_clock_and_gets_its_trip():
    assert "second-look" not in clocks(case_with(look="not decided"))
    case = case_with(look="yes")
    assert clocks(case)["second-look"].planned is None
    assert any("none is planned" in one.message for one in remarks(case))
    planned = with_look(case, case.debridements[0])
    look = planned.trips[-1]
    assert look.what == ("second look",)
    assert look.planned == at("2026-03-30 22:00")  # 48 h later, one of them lost to summer time
    answer = clocks(planned)["second-look"]
    assert answer.planned == look
    assert answer.planned_left_h == pytest.approx(24)
    assert not any("none is planned" in one.message for one in remarks(planned))
    with pytest.raises(EditError, match="planned already, as trip-2"):
        with_look(planned, planned.debridements[0])
    with pytest.raises(EditError, match="no further look"):
        with_look(case_with(look="no"), case_with(look="no").debridements[0])


def test_a_second_debridement_that_asks_starts_the_clock_anew():
    case = case_with(look="no")
    case = add_trip(case, Trip(id="trip-1", planned=at("2026-03-31 09:00"), what=("debridement",)))
    record = Debridement(id="debridement-2", trip="trip-2", look_again="yes")
    case = replace(case, debridements=(*case.debridements, record))
    assert clocks(case)["second-look"].start.trip.id == "trip-2"


def test_the_clock_is_that_of_what_went_in():
    assert "beads" in clocks(case_with("beads in"))
    pouch = Cover(id="cover-1", kind="bead pouch", trip="trip-1")
    assert "pouch" in clocks(replace(case_with("beads in"), cover=(pouch,)))
    spacer = DeadSpace(id="dead-space-1", trip="trip-1", device="spacer")
    case = case_with("beads in", spaces=(spacer,))
    told = clocks(case).keys()
    assert "spacer" in told
    assert not {"beads", "pouch"} & told
    assert any("clocks follow the dead space" in one for one in open_questions(case))
    loose = case_with("beads in", spaces=(replace(spacer, trip=None),))
    assert "spacer" in clocks(loose)
    assert not any("dead space" in one for one in open_questions(case_with("beads in")))


def test_a_device_that_no_task_names_has_its_clock_too():
    beads = DeadSpace(id="dead-space-1", trip="trip-1", device="beads", out_trip="trip-2")
    case = case_with(spaces=(beads,))
    out = Trip(id="trip-1", planned=at("2026-04-20 09:00"), what=("final fixation",))
    answer = clocks(add_trip(case, out))["beads"]
    assert answer.planned.id == "trip-2"
    taken = add_trip(case, replace(out, what=("beads out",)))
    assert not any("none went in" in one for one in trip_problems(taken, NOW))
    undecided = case_with(spaces=(replace(beads, device="not decided"),))
    assert "beads" not in clocks(undecided)
    untold = add_trip(undecided, replace(out, what=("beads out",)))
    assert any("none went in" in one for one in trip_problems(untold, NOW))
