"""Debridements, dead spaces and covers in the case: ids, links, and reading back."""

import pytest
from msgspec.structs import replace

from fixplan.case.care_edits import (
    add_care,
    change_answers,
    change_care,
    forgetting_trip,
    remove_care,
)
from fixplan.case.dead_space_records import Cover, DeadSpace, DrugInCement
from fixplan.case.debridement_records import Debridement, MuscleSigns
from fixplan.case.edits import remove
from fixplan.case.file import case_problems, decode, encode
from fixplan.case.records import Case, Fracture, Injury
from fixplan.case.trip_edits import add_trip, remove_trip
from fixplan.case.trip_records import Trip
from fixplan.errors import EditError

OUTLINE = ((0.0, 100.0), (30.0, 100.0), (30.0, 150.0))
CASE = Case(
    side="left",
    fractures=(Fracture(id="fracture-1", bone="tibia", from_mm=100, to_mm=130),),
    injuries=(Injury(id="injury-1", segment="leg", front=OUTLINE),),
)


def test_ids_are_counted_by_kind_and_not_given_twice() -> None:
    case = CASE
    for record in (DeadSpace(id="x"), Debridement(id="x"), Cover(id="x"), DeadSpace(id="x")):
        case = add_care(case, record)
    assert [one.id for one in case.dead_spaces] == ["dead-space-1", "dead-space-2"]
    case = add_care(remove_care(case, "dead-space-2"), DeadSpace(id="x"))
    assert [one.id for one in case.dead_spaces] == ["dead-space-1", "dead-space-3"]
    with pytest.raises(EditError, match="dead-space-2 is not in the case"):
        remove_care(case, "dead-space-2")


def test_records_read_back_as_they_were_written() -> None:
    case = add_care(
        CASE,
        DeadSpace(
            id="x",
            device="beads",
            drawn="injury-1",
            depth_mm=12,
            drugs=(DrugInCement(drug="vancomycin", amount=2),),
        ),
    )
    signs = MuscleSigns(compartment="leg-anterior", bleeding="alive")
    case = add_care(case, Debridement(id="x", muscles=(signs,), fracture="fracture-1"))
    case = change_answers(add_care(case, Cover(id="x", kind="flap")), pregnant="no")
    assert decode(encode(case), "again") == case


def test_a_removed_thing_leaves_its_records_standing() -> None:
    case = add_care(CASE, DeadSpace(id="x", drawn="injury-1", depth_mm=5))
    case = add_care(case, Debridement(id="x", fracture="fracture-1", injury="injury-1"))
    after = remove(remove(case, "injury-1"), "fracture-1")
    assert after.dead_spaces[0].drawn is None
    assert (after.debridements[0].fracture, after.debridements[0].injury) == (None, None)


def test_a_forgotten_trip_leaves_its_records_standing() -> None:
    case = replace(
        CASE,
        dead_spaces=(DeadSpace(id="dead-space-1", trip="trip-1", out_trip="trip-2"),),
        debridements=(Debridement(id="debridement-1", trip="trip-1"),),
        cover=(Cover(id="cover-1", trip="trip-2"),),
    )
    after = forgetting_trip(case, "trip-1")
    assert (after.dead_spaces[0].trip, after.dead_spaces[0].out_trip) == (None, "trip-2")
    assert after.debridements[0].trip is None
    assert after.cover == case.cover


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"drawn": "wound-9"}, "takes its area from wound-9"),
        ({"volume_ml": 3.0, "drawn": "injury-1"}, "typed volume and a drawn outline"),
        ({"drugs": (DrugInCement(drug="vancomycin", amount=1),) * 2}, "vancomycin 2 times mixed"),
    ],
)
def test_a_dead_space_that_makes_no_sense(fields: dict[str, object], words: str) -> None:
    space = DeadSpace(id="dead-space-1", **fields)  # type: ignore[arg-type]
    assert words in "; ".join(case_problems(replace(CASE, dead_spaces=(space,))))


def test_a_dead_space_is_not_emptied_at_the_trip_that_filled_it() -> None:
    case = add_care(add_trip(CASE, Trip(id="x")), DeadSpace(id="x"))
    with pytest.raises(EditError, match="goes in and comes out at trip-1"):
        change_care(case, "dead-space-1", trip="trip-1", out_trip="trip-1")


def test_a_debridement_that_makes_no_sense() -> None:
    twice = (MuscleSigns(compartment="leg-anterior"),) * 2
    record = Debridement(id="debridement-1", muscles=twice, fracture="fracture-7")
    told = "; ".join(case_problems(replace(CASE, debridements=(record,))))
    assert "judges the leg-anterior compartment 2 times" in told
    assert "the fracture fracture-7, which is not in the case" in told


def test_records_name_trips_that_there_are() -> None:
    case = add_trip(CASE, Trip(id="x", what=("debridement", "beads in")))
    case = add_care(case, DeadSpace(id="x", trip="trip-1"))
    case = add_care(
        add_care(case, Debridement(id="x", trip="trip-1")), Cover(id="x", trip="trip-1")
    )
    gone = remove_trip(case, "trip-1")
    assert (gone.dead_spaces[0].trip, gone.debridements[0].trip, gone.cover[0].trip) == (None,) * 3
    with pytest.raises(EditError, match="cover-1 names trip-7, which is not in the case"):
        change_care(case, "cover-1", trip="trip-7")
