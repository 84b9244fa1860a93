"""The ward page: one A4, everything the ward is told, places filled from the case."""

from datetime import UTC, datetime
from pathlib import Path

import pytest
from msgspec.structs import replace

from fixplan.case.file import read_case
from fixplan.case.records import Case
from fixplan.case.trip_edits import change_course
from fixplan.case.trip_records import PinSite
from fixplan.sheet.shapes import Text
from fixplan.sheet.ward_page import ward_pages

ROOT = Path(__file__).parents[3]
CASES = sorted((ROOT / "sample_cases").glob("*.json"))
NOW = datetime(2026, 3, 29, 19, 0, tzinfo=UTC)


def words(case: Case) -> str:
    pages = ward_pages(case, NOW)
    return " ".join(one.text for page in pages for one in page.shapes() if isinstance(one, Text))


def tibia() -> Case:
    return read_case(ROOT / "sample_cases" / "open-tibial-shaft.json")


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_every_sample_is_one_page_with_all_on_it(path: Path) -> None:
    (page,) = ward_pages(read_case(path), NOW)
    lowest = max(one.at[1] for one in page.shapes() if isinstance(one, Text))
    assert (page.width_mm, page.height_mm) == (210.0, 297.0)
    assert lowest < 290


def test_it_names_what_the_ward_must_know() -> None:
    told = words(tibia())
    for heading in (
        "NEXT TRIP TO THEATRE",
        "WEIGHT-BEARING",
        "ELEVATION",
        "OBSERVATIONS",
        "RING AT ONCE",
        "FOOT AT 90°",
        "HEEL FREE",
        "PIN CARE",
        "DRESSING",
        "DRUGS DUE",
        "CLOT PREVENTION",
        "MAGNETIC SCANNER",
        "SPANNER",
        "WHOM TO RING",
    ):
        assert heading in told
    assert "RIGHT LEG" in told
    assert "Trip 2, Tue 31 Mar 2026 08:30 BST" in told


def test_the_next_trip_is_left_open_without_one() -> None:
    case = tibia()
    course = replace(case.course, grade_settled_at=None)
    none = replace(case, trips=(), kept_plans=(), course=course)
    assert "None is planned: ____" in words(none)


def test_an_arm_has_no_heel() -> None:
    told = words(Case(side="left", limb="arm"))
    assert "USE OF THE ARM" in told
    assert "HEEL" not in told
    assert "PIN CARE" not in told


def test_the_log_is_told() -> None:
    case = change_course(tibia(), pin_sites=(PinSite(pin="pin-2", day="2026-03-30", state="wet"),))
    assert "pin 2 wet" in words(case)


def test_no_line_is_left_out_where_there_are_many_pins() -> None:
    case = tibia()
    many = tuple(replace(case.pins[0], id=f"pin-{k}", number=k) for k in range(1, 121))
    case = replace(case, pins=many, bars=(), supports=(), acceptances=(), last_number=120)
    told = words(case)
    assert "pin 120 ________" in told
    assert "Ward doctor" in told
