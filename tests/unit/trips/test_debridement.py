"""Debridement: verdicts on muscle, prompts, and what goes on to the plan."""

import math

import pytest
from msgspec.structs import replace

from fixplan.case.dead_space_records import DeadSpace
from fixplan.case.debridement_records import Debridement, MuscleSigns
from fixplan.case.records import Case, Fracture, Injury
from fixplan.case.trip_records import Moment, Trip
from fixplan.errors import EditError
from fixplan.trips.debridement import (
    bone_defect_ml,
    carried_on,
    compartment_id,
    compartment_words,
    compartments,
    debridement_prompts,
    verdict,
)

ALIVE = MuscleSigns(
    compartment="leg-anterior",
    colour="alive",
    consistency="alive",
    contraction="alive",
    bleeding="alive",
)
DONE = Debridement(
    id="debridement-1",
    muscles=(ALIVE,),
    bone_ends="yes",
    fragments_out="yes",
    irrigation_l=9,
    irrigant="saline",
    pressure="low",
    samples=3,
    look_again="no",
)
CASE = Case(
    side="right",
    fractures=(Fracture(id="fracture-1", bone="tibia", from_mm=180, to_mm=220),),
    injuries=(
        Injury(id="injury-1", segment="leg", front=((-20, 170), (20, 170), (20, 230), (-20, 230))),
    ),
)


def ids(record: Debridement) -> list[str]:
    return [one.id for one in debridement_prompts(CASE, record)]


@pytest.mark.parametrize(
    ("fields", "found"),
    [
        ({}, "alive"),
        ({"colour": "dead"}, "doubtful"),
        ({"bleeding": "doubtful"}, "doubtful"),
        ({"colour": "not judged"}, "doubtful"),
        (dict.fromkeys(("colour", "consistency", "contraction", "bleeding"), "dead"), "dead"),
        (
            dict.fromkeys(("colour", "consistency", "contraction", "bleeding"), "not judged"),
            "not judged",
        ),
        ({"bleeding": "dead", "taken_out": "yes"}, "taken out"),
    ],
)
def test_four_signs_make_one_verdict(fields: dict[str, str], found: str) -> None:
    assert verdict(replace(ALIVE, **fields)) == found


def test_a_complete_record_of_living_tissue_asks_nothing() -> None:
    assert ids(DONE) == []


@pytest.mark.parametrize(
    ("fields", "prompt"),
    [
        ({"muscles": ()}, "debridement.muscle"),
        ({"bone_ends": "no"}, "debridement.bone-ends"),
        ({"bone_ends": "not known"}, "debridement.bone-ends"),
        ({"fragments_out": "no"}, "debridement.fragments"),
        ({"irrigation_l": None}, "debridement.irrigation"),
        ({"irrigant": "soap"}, "debridement.irrigant"),
        ({"samples": 0}, "debridement.samples"),
        ({"look_again": "not decided"}, "debridement.look"),
        ({"muscles": (replace(ALIVE, colour="dead"),)}, "debridement.look"),
        ({"muscles": (replace(ALIVE, colour="dead"),)}, "debridement.doubtful-muscle"),
    ],
)
def test_what_is_open_is_asked(fields: dict[str, object], prompt: str) -> None:
    assert prompt in ids(replace(DONE, **fields))


def test_compartments_have_words() -> None:
    leg = next(one for one in compartments(CASE) if one.segment == "leg")
    assert len(leg.names) == 4
    assert compartment_words(compartment_id("leg", "deep posterior")) == "deep posterior (leg)"


def test_bone_defect_grows_with_length_and_share() -> None:
    whole = replace(DONE, bone="tibia", defect_mm=40, defect_percent=100)
    found = bone_defect_ml(CASE, whole)
    assert found is not None
    assert 12 < found < 40
    half = bone_defect_ml(CASE, replace(whole, defect_percent=50))
    assert half == pytest.approx(found / 2)
    assert bone_defect_ml(CASE, replace(whole, bone="keel")) is None
    assert bone_defect_ml(CASE, replace(whole, defect_mm=None)) is None


def test_grade_injury_and_volume_go_on_to_the_plan() -> None:
    case = replace(CASE, dead_spaces=(DeadSpace(id="dead-space-1", device="beads"),))
    record = replace(
        DONE,
        fracture="fracture-1",
        grade_after="IIIB",
        injury="injury-1",
        injury_further_mm=15,
        space_ml=42.0,
    )
    after = carried_on(case, record)
    assert after.fractures[0].open_grade == "IIIB"
    assert after.dead_spaces[0].volume_ml == 42
    levels = [v for _, v in after.injuries[0].front]
    assert (min(levels), max(levels)) == (pytest.approx(155), pytest.approx(245))
    assert all(math.isfinite(u) for u, _ in after.injuries[0].front)


def test_a_size_that_was_given_is_kept() -> None:
    given = DeadSpace(id="dead-space-1", device="beads", volume_ml=10)
    case = replace(CASE, dead_spaces=(given,))
    with pytest.raises(EditError, match="changes nothing in the plan"):
        carried_on(case, replace(DONE, space_ml=42.0))


def test_the_grade_is_settled_only_once_its_trip_has_been_done() -> None:
    at = Moment(utc="2030-01-02T10:00Z", zone="Europe/London")
    done = Trip(id="trip-1", what=("debridement",), done_at=at)
    record = replace(DONE, fracture="fracture-1", grade_after="II", trip="trip-1")
    case = replace(CASE, debridements=(record,))
    settled = carried_on(replace(case, trips=(done,)), record)
    planned = carried_on(replace(case, trips=(replace(done, done_at=None),)), record)
    assert settled.course.grade_settled_at == "trip-1"
    assert planned.course.grade_settled_at is None
    assert planned.fractures[0].open_grade == "II"
