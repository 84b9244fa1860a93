"""Whether growth plates are open is asked of a small patient, until the case tells it."""

import pytest
from msgspec.structs import replace

from fixplan.case.growing import growth_plates, growth_problems, with_growth_plates
from fixplan.case.records import Case, LimbSize
from fixplan.checks.run import check_only
from fixplan.frame.growing import asked_below_cm, asks_growth, is_asked
from fixplan.frame.order import order_lines
from tests.unit.frame.conftest import case_with, tibia_pin

ASKED = frozenset({"rule.growth-plates.asked"})
CHILD = case_with(tibia_pin(1, 120), size=LimbSize(stature_mm=1200))


@pytest.mark.parametrize("told", ["not told", "open", "closed"])
def test_what_is_told_is_kept(told) -> None:
    assert growth_plates(with_growth_plates(CHILD, told)) == told
    assert growth_problems(with_growth_plates(CHILD, told)) == ()


def test_open_and_closed_at_once_is_an_error_of_meaning() -> None:
    both = replace(CHILD, open_growth_plates=True, closed_growth_plates=True)
    assert growth_problems(both) == (
        "growth plates are told as open and as closed; tell one of them",
    )


def test_it_is_asked_under_the_stature_of_the_data_alone() -> None:
    limit_mm = 10 * asked_below_cm()
    assert [is_asked(one) for one in (None, limit_mm - 1, limit_mm)] == [False, True, False]


@pytest.mark.parametrize(
    ("told", "is_open"), [("not told", True), ("open", False), ("closed", False)]
)
def test_until_it_is_told_it_is_an_open_caution_and_the_first_step(told, is_open) -> None:
    case = with_growth_plates(CHILD, told)
    found = check_only(case, ASKED)
    assert [one.severity for one in found] == ["caution"] * is_open
    assert order_lines(case)[0].startswith("Growth plates open or closed?") is is_open
    assert asks_growth(case) is is_open


def test_nothing_is_asked_of_a_grown_patient_or_one_of_unknown_size() -> None:
    for size in (LimbSize(), LimbSize(stature_mm=1700)):
        case = replace(CHILD, size=size)
        assert check_only(case, ASKED) == ()
        assert not asks_growth(case)
    assert not asks_growth(Case(side="right"))
