"""Which clocks count, and what they say."""

from datetime import datetime
from pathlib import Path

import pytest
from msgspec.structs import replace

from fixplan.case.records import Case, Fracture, Wound
from fixplan.case.scalars import OpenGrade
from fixplan.case.trip_edits import add_trip, change_course, mark_done
from fixplan.case.trip_records import Moment, Trip
from fixplan.errors import TripsError
from fixplan.trips.clock_words import clock_json, clock_line
from fixplan.trips.clocks import ClockAnswer, clock_answers, hidden_words
from fixplan.trips.moments import moment_typed, utc_of

ZONE = "Europe/London"
INJURED = moment_typed("2026-03-28 20:00", ZONE)


def at(text: str) -> Moment:
    return moment_typed(text, ZONE)


def now(text: str) -> datetime:
    return utc_of(at(text))


def open_case(grade: OpenGrade = "IIIB", bone: str = "tibia", **course: object) -> Case:
    broken = Fracture(id="fracture-1", bone=bone, from_mm=100, to_mm=140, open_grade=grade)
    case = Case(side="right", fractures=(broken,))
    return change_course(case, **({"injured_at": INJURED, "tissue_doubtful": "no"} | course))


def with_trip(case: Case, when: str, *what: str, done: bool = False) -> Case:
    case = add_trip(case, Trip(id="trip-1", planned=at(when), what=what))
    return mark_done(case, case.trips[-1].id, at(when)) if done else case


def clock(case: Case, name: str, when: str = "2026-03-29 08:00") -> ClockAnswer:
    return next(one for one in clock_answers(case, now(when)) if one.clock.id == name)


def names(case: Case) -> set[str]:
    return {one.clock.id for one in clock_answers(case, now("2026-03-29 08:00"))}


def test_time_left_is_told_across_the_change_of_the_clocks() -> None:
    answer = clock(open_case(), "cover-british")
    assert answer.state == "running"
    assert answer.left_h == pytest.approx(72 - 11)
    assert "due Tue 31 Mar 2026 21:00 BST; 61 h left" in clock_line(answer)


def test_late_is_told_with_the_outer_limit() -> None:
    answer = clock(open_case(), "cover-british", "2026-04-01 21:00")
    assert answer.state == "late"
    assert answer.late_by_h == pytest.approx(24)
    assert "late by 24 h, 3 d left to the outer limit" in clock_line(answer)
    assert answer.is_trouble


def test_without_the_time_of_injury_nothing_is_assessed() -> None:
    answer = clock(open_case(injured_at=None), "cover-british")
    assert answer.state == "not assessed"
    assert "not assessed: time of injury not given" in clock_line(answer)
    assert clock_json(answer)["due"] is None
    assert not answer.is_trouble


def test_a_done_trip_ends_its_clock() -> None:
    case = with_trip(open_case(), "2026-03-29 06:30", "debridement", done=True)
    answer = clock(case, "debride-12")
    assert answer.state == "done in time"
    assert "done, 2 h 30 min before the limit" in clock_line(answer)


def test_a_trip_planned_after_the_limit_is_trouble() -> None:
    case = with_trip(open_case(), "2026-04-01 09:00", "cover")
    answer = clock(case, "cover-british")
    assert answer.is_trouble
    assert "Trip 1 is planned 12 h after it is due" in clock_line(answer)


def test_contamination_and_energy_choose_the_debridement() -> None:
    assert "debride-at-once" in names(open_case(contamination="heavy"))
    assert "debride-12" in names(open_case(energy="high"))
    assert "debride-24" in names(open_case(energy="low"))
    assert "debride-24" in names(open_case("II", energy="high"))
    assert "debride-at-once" in names(open_case("IIIC"))


def test_the_guideline_chosen_is_the_one_that_counts() -> None:
    american = names(open_case(guideline="american"))
    assert "cover-american" in american
    assert "cover-british" not in american
    with pytest.raises(TripsError, match="guideline martian is not listed"):
        names(open_case(guideline="martian"))


def test_a_closed_fracture_has_no_open_clocks() -> None:
    assert names(open_case("closed")) == set()


def test_a_wound_over_an_ungraded_fracture_counts_as_open() -> None:
    wound = Wound(
        id="wound-1",
        kind="opening",
        segment="leg",
        view="front",
        outline=((0.0, 0.0), (9.0, 0.0), (9.0, 9.0)),
    )
    assert "cover-british" in names(replace(open_case("not graded"), wounds=(wound,)))


@pytest.mark.parametrize("bone", ["metacarpal-3", "metatarsal-1", "phalanges-1", "carpus-distal"])
def test_the_british_clocks_are_not_shown_for_hand_and_forefoot(bone: str) -> None:
    case = open_case(bone=bone)
    assert not {"cover-british", "debride-12", "antibiotic-british"} & names(case)
    assert "OF-19" in hidden_words(case)


@pytest.mark.parametrize("bone", ["tibia", "calcaneus", "cuneiform-1", "radius"])
def test_they_are_shown_for_long_bones_hindfoot_and_midfoot(bone: str) -> None:
    assert "cover-british" in names(open_case(bone=bone))
    assert hidden_words(open_case(bone=bone)) == ""


def test_beads_and_spacer_have_clocks_of_their_own() -> None:
    case = with_trip(open_case(), "2026-03-29 06:30", "debridement", "beads in", done=True)
    case = with_trip(case, "2026-03-31 08:00", "beads out", "spacer in")
    beads, spacer = clock(case, "beads"), clock(case, "spacer")
    assert (beads.due, beads.planned and beads.planned.id) == (now("2026-04-26 06:30"), "trip-2")
    assert spacer.state == "not begun"
    assert spacer.due == now("2026-05-26 08:00")


def test_conversion_counts_from_frame_and_from_closure() -> None:
    case = with_trip(open_case(), "2026-03-29 06:30", "debridement", "frame", done=True)
    case = with_trip(case, "2026-03-31 08:00", "cover", done=True)
    assert clock(case, "conversion-frame", "2026-04-02 08:00").due == now("2026-04-12 06:30")
    assert clock(case, "conversion-closure", "2026-04-02 08:00").due == now("2026-04-28 08:00")


def test_a_house_value_overrides_a_limit(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    house = tmp_path / "house.toml"
    house.write_text('[[clocks.clock]]\nid = "cover-british"\ndue_h = 48\n', encoding="utf-8")
    monkeypatch.setenv("FIXPLAN_HOUSE", str(house))
    assert clock(open_case(), "cover-british").due == now("2026-03-30 21:00")
