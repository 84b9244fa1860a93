"""After theatre: built as drawn, or otherwise with the changes against the plan."""

import pytest
from msgspec.structs import replace

from fixplan.case import edits
from fixplan.case.built_records import PartUsed
from fixplan.case.file import decode, encode, snapshot_id
from fixplan.case.records import Case
from fixplan.errors import CaseFileError, EditError
from fixplan.kit.parts import needs_of
from fixplan.kit.trays import shipped_trays
from fixplan.notes.built import (
    built_changes,
    built_lines,
    marked,
    planned_parts,
    unmarked,
)

PARTS = (PartUsed(name="half-pin 5 mm, 150 mm", planned=4, opened=5, used=4, wasted=1),)


def mark(case: Case, *, is_as_drawn: bool = True) -> Case:
    return marked(case, PARTS, "2030-01-02 03:04", is_as_drawn=is_as_drawn)


def test_the_count_begins_with_what_the_plan_takes(tibia: Case) -> None:
    parts = planned_parts(tibia, shipped_trays())
    needed = sum(need.count for need in needs_of(tibia))
    assert sum(part.planned for part in parts) == needed
    assert all(part.planned == part.opened == part.used for part in parts)


def test_built_as_drawn_says_so_with_the_plan(tibia: Case) -> None:
    built = mark(tibia)
    assert list(built_lines(built)) == [
        f"Built as drawn: plan {snapshot_id(tibia)}, told 2030-01-02 03:04"
    ]
    assert built.built is not None
    assert built.built.plan == tibia


def test_a_drawing_changed_since_lists_the_changes_against_the_plan(tibia: Case) -> None:
    built = edits.slide_pin(mark(tibia, is_as_drawn=False), "pin-2", 12.0)
    assert built_changes(built)[0].words == "Pin 2: 12 mm further distal"
    lines = list(built_lines(built))
    assert lines[0].startswith(f"Built otherwise than plan {snapshot_id(tibia)}")
    assert lines[1] == "  Pin 2: 12 mm further distal"


def test_as_drawn_and_yet_changed_is_not_hidden(tibia: Case) -> None:
    built = edits.slide_pin(mark(tibia), "pin-2", 12.0)
    assert "the drawing was changed since" in next(iter(built_lines(built)))


def test_marking_again_keeps_the_first_plan(tibia: Case) -> None:
    built = edits.slide_pin(mark(tibia), "pin-2", 12.0)
    again = mark(built, is_as_drawn=False)
    assert again.built is not None
    assert again.built.plan == tibia
    assert len(built_changes(again)) >= 1


def test_a_case_without_a_frame_cannot_be_built() -> None:
    with pytest.raises(EditError, match="There is no frame"):
        mark(Case(side="left"))


def test_it_can_be_taken_back(tibia: Case) -> None:
    assert unmarked(mark(tibia)) == tibia
    assert list(built_lines(tibia)) == []


def test_a_built_case_is_written_and_read_alike(tibia: Case) -> None:
    built = edits.slide_pin(mark(tibia, is_as_drawn=False), "pin-2", 12.0)
    assert decode(encode(built), "x.json") == built


@pytest.mark.parametrize(
    ("parts", "told"),
    [
        (replace(PARTS[0], used=5, wasted=1), "5 used with 1 wasted are more"),
        (None, "is counted 2 times"),
    ],
)
def test_counts_that_make_no_sense_are_refused(tibia: Case, parts, told: str) -> None:
    counted = (PARTS[0], PARTS[0]) if parts is None else (parts,)
    with pytest.raises(EditError, match=told):
        marked(tibia, counted, "", is_as_drawn=True)


def test_a_plan_within_the_plan_is_refused(tibia: Case) -> None:
    built = mark(tibia)
    nested = replace(built, built=replace(built.built, plan=built))
    with pytest.raises(CaseFileError, match="holds a plan of its own"):
        decode(encode(nested), "x.json")
