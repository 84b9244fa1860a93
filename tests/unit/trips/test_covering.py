"""What a cover record does to the clocks, and clocks on times that cannot be right."""

import pytest
from msgspec.structs import replace

from fixplan.case.dead_space_records import Cover, DeadSpace
from fixplan.case.debridement_records import Debridement
from fixplan.case.records import Case
from fixplan.case.trip_edits import change_course
from fixplan.sheet.statements import counts_words, finding_blocks
from fixplan.trips.answer import trips_for
from fixplan.trips.care_words import all_prompts
from fixplan.trips.clock_words import clock_line
from fixplan.trips.clocks import clock_answers
from fixplan.trips.moments import short_in
from fixplan.trips.open_prompts import caution_words, trip_cautions
from fixplan.trips.sheet_words import trip_lines
from fixplan.trips.ward import ward_sections
from tests.unit.trips.test_clocks import at, clock, now, open_case, with_trip

LATER = "2026-04-20 12:00"


def covered(kind: str | None, *, done: bool = True) -> Case:
    case = with_trip(open_case(), "2026-03-29 06:00", "debridement", "beads in", done=True)
    case = with_trip(case, "2026-03-31 09:00", "second look", "cover", done=done)
    if kind is None:
        return case
    return replace(case, cover=(Cover(id="cover-1", kind=kind, trip="trip-2"),))  # type: ignore[arg-type]


def ids(case: Case) -> set[str]:
    return {one.clock.id for one in clock_answers(case, now(LATER))}


@pytest.mark.parametrize("kind", ["vacuum", "bead pouch", "simple dressing"])
def test_what_only_holds_a_wound_stops_no_clock_of_cover(kind: str) -> None:
    answer = clock(covered(kind), "cover-british", LATER)
    assert (answer.state, answer.done_at) == ("late", None)
    assert "no trip is planned for it" in clock_line(answer)
    assert "antibiotic-stop-cover" not in ids(covered(kind))


@pytest.mark.parametrize("kind", ["primary closure", "skin graft", "flap"])
def test_cover_for_good_stops_it(kind: str) -> None:
    assert clock(covered(kind), "cover-british", LATER).state == "done in time"
    assert "antibiotic-stop-cover" in ids(covered(kind))


@pytest.mark.parametrize("kind", [None, "not decided"])
def test_cover_that_nobody_recorded_is_not_assessed(kind: str | None) -> None:
    answer = clock(covered(kind), "cover-british", LATER)
    assert answer.state == "not assessed"
    assert "Trip 2 is done with cover, and which cover is not recorded" in clock_line(answer)
    assert clock(covered(kind, done=False), "cover-british").planned is not None


def test_a_pouch_has_a_clock_only_where_one_is_recorded() -> None:
    assert "pouch" not in ids(covered("vacuum"))
    pouch = Cover(id="cover-1", kind="bead pouch", trip="trip-1")
    looked = with_trip(open_case(), "2026-03-29 06:00", "debridement", "beads in", done=True)
    looked = replace(looked, cover=(pouch,))
    looked = with_trip(looked, "2026-03-31 09:00", "second look", done=True)
    assert clock(looked, "pouch", LATER).state == "late"
    changed = replace(looked, cover=(pouch, replace(pouch, id="cover-2", trip="trip-2")))
    told = [one for one in clock_answers(changed, now(LATER)) if one.clock.id == "pouch"]
    assert [one.state for one in told] == ["late", "done in time"]


def test_vacuum_over_beads_that_are_still_in_is_a_caution() -> None:
    beads = DeadSpace(id="dead-space-1", trip="trip-1", device="beads")
    case = replace(covered("vacuum"), dead_spaces=(beads,))

    def found(over: str) -> set[str]:
        cover = replace(case.cover[0], vacuum_over=over)
        prompts = all_prompts(replace(case, cover=(cover,)))
        return {one.id for one in prompts if one.severity == "caution"}

    assert "space.vacuum" in found("straight over beads")
    assert "space.vacuum" not in found("closed layer")
    case = replace(case, dead_spaces=())
    assert "cover.vacuum-over-beads" in found("straight over beads")


def test_clocks_on_times_out_of_order_are_withheld() -> None:
    case = change_course(covered("flap"), antibiotic_at=at("2026-03-28 17:00"))
    told = {one.clock.id: one for one in trips_for(case, now(LATER)).clocks}
    assert told["cover-british"].due is None
    assert clock_line(told["antibiotic-british"]) == (
        "First intravenous antibiotic: not assessed: times out of order (OF-08)"
    )
    assert told["beads"].state == "running"


def test_what_a_trip_did_is_held_against_the_records() -> None:
    case = covered("flap")
    asked = {one.id for one in all_prompts(case)}
    assert {"trip.debridement-record", "trip.bead-count"} <= asked
    beads = DeadSpace(id="dead-space-1", trip="trip-1", device="beads", beads_in=60, beads_out=58)
    waiting = replace(covered("flap", done=False), dead_spaces=(replace(beads, out_trip="trip-2"),))
    told = {one.id: one.text for one in all_prompts(waiting)}
    assert "trip.bead-count" not in told
    assert told["trip.beads-out"] == "58 beads are counted out, and trip 2 is not done"


def test_cautions_of_the_trips_are_counted_beside_the_findings() -> None:
    beads = DeadSpace(
        id="dead-space-1", trip="trip-1", out_trip="trip-2", device="beads", beads_in=9, beads_out=7
    )
    case = replace(covered("flap"), dead_spaces=(beads,))
    assert any("2 not accounted for" in line for line in trip_cautions(case))
    count = len(trip_cautions(case))
    assert caution_words(case).startswith(f"{count} caution")
    assert counts_words((), caution_words(case)).endswith("of the trips")
    assert caution_words(Case(side="right")) == ""


def test_a_low_pressure_gap_comes_first_and_is_trouble() -> None:
    course = covered("flap").course
    pain = replace(course.compartment, pressure_mmhg=52, diastolic_mmhg=78)
    case = replace(covered("flap"), course=replace(course, compartment=pain))
    answer = trips_for(case, now(LATER))
    assert answer.is_troubled
    assert next(answer.lines()).endswith("pressure gap 26 mmHg, under 30 (SF-02)")
    assert ward_sections(case, now(LATER))[0].id == "now"


def test_the_ward_is_told_of_the_vacuum_and_of_both_times_to_stop() -> None:
    case = change_course(covered("vacuum"), antibiotic_at=at("2026-03-28 20:30"))
    told = {one.id: " ".join(one.lines) for one in ward_sections(case, now(LATER))}
    assert "Vacuum, since Trip 2; pump on at ______ mmHg" in told["dressing"]
    assert "canister" in told["dressing"]
    case = replace(case, cover=(replace(case.cover[0], kind="flap"),))
    drugs = {one.id: " ".join(one.lines) for one in ward_sections(case, now(LATER))}["drugs"]
    assert drugs.index("counted from injury") < drugs.index("counted from cover")
    assert "local policy decides" in drugs


def test_irrigation_and_cement_are_judged() -> None:
    record = Debridement(
        id="debridement-1", trip="trip-1", irrigation_l=3, pressure="high", grade_after="IIIB"
    )
    space = DeadSpace(
        id="dead-space-1", trip="trip-1", device="beads", volume_ml=40, strand_mm=200, strands=3
    )
    told = {one.id for one in all_prompts(replace(covered("flap"), debridements=(record,)))}
    assert {"debridement.pressure", "debridement.volume"} <= told

    def filled(volume_ml: float) -> set[str]:
        spaces = (replace(space, volume_ml=volume_ml),)
        return {one.id for one in all_prompts(replace(covered("flap"), dead_spaces=spaces))}

    assert "space.filled" in filled(400)
    assert "space.full" in filled(2)


def test_notes_tell_what_is_late_as_of_the_printing() -> None:
    told = " ".join(trip_lines(covered("vacuum"), (), now(LATER)))
    assert "As of Mon 20 Apr 2026 12:00 BST (Europe/London)" in told
    assert "Definitive cover: Tue 31 Mar 21:00, late by 19 d 15 h" in told
    assert "2026 21:00" in short_in(
        now("2026-03-31 21:00"), "Europe/London", now("2027-01-01 09:00")
    )


def test_the_block_of_findings_names_the_cautions_of_the_trips() -> None:
    def text(beside: str) -> str:
        block = finding_blocks((), 200.0, 3.0, beside).open
        return " ".join(one.text for row in block.rows for one in row.words)

    assert "2 cautions of the trips" in text("2 cautions of the trips")
    assert text("") == "No stop or caution is open."
