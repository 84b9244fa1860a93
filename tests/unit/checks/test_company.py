"""Whether a moved pin comes too near to a neighbour, asked of that pin alone and of the case."""

import pytest
from msgspec.structs import replace

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Pin
from fixplan.checks.fragments import stands_closer
from fixplan.checks.rules import rules
from fixplan.checks.run import check_only

SPACING = next(rule for rule in rules() if rule.kind == "pin-spacing")


def _case(*levels_mm: float) -> Case:
    pins = tuple(
        Pin(
            id=f"pin-{n}",
            number=n,
            bone="tibia",
            level_mm=level,
            bearing_deg=100.0,
            diameter_mm=5.0,
        )
        for n, level in enumerate(levels_mm, 1)
    )
    return Case(side="right", pins=pins)


def _pairs(case: Case) -> set[frozenset[str]]:
    return {frozenset(one.subjects) for one in check_only(case, frozenset({SPACING.id}))}


@pytest.mark.parametrize("level_mm", [110.0, 128.0, 140.0, 172.0, 175.0, 188.0, 205.0, 260.0])
@pytest.mark.parametrize("pin_id", ["pin-1", "pin-2", "pin-3"])
def test_asked_of_one_pin_it_is_what_the_rule_finds_anew(pin_id: str, level_mm: float) -> None:
    case = _case(120.0, 180.0, 200.0)
    moved = next(replace(pin, level_mm=level_mm) for pin in case.pins if pin.id == pin_id)
    after = replace(case, pins=tuple(moved if p.id == pin_id else p for p in case.pins))
    anew = any(pin_id in pair for pair in _pairs(after) - _pairs(case))
    assert stands_closer(SPACING, limb_of_case(case), case.pins, moved) is anew


def test_both_answers_are_given() -> None:
    case = _case(120.0, 180.0, 260.0)
    first = case.pins[0]
    told = {
        level: stands_closer(SPACING, limb_of_case(case), case.pins, replace(first, level_mm=level))
        for level in (100.0, 170.0)
    }
    assert told == {100.0: False, 170.0: True}
