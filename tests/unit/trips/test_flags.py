"""Prompts: what raises them, and that nothing given is not assessed."""

from datetime import UTC, datetime

import pytest

from fixplan.case.records import Case, Fracture
from fixplan.case.scalars import OpenGrade
from fixplan.case.trip_records import (
    Compartment,
    Course,
    Resuscitation,
    Vascular,
)
from fixplan.trips.flags import Flag, flags_of, pause_lines
from fixplan.trips.schools import early_met, strict_reasons

NOW = datetime(2026, 4, 1, 12, tzinfo=UTC)


def flag(name: str, grade: OpenGrade = "II", **course: object) -> Flag:
    broken = Fracture(id="fracture-1", bone="tibia", from_mm=100, to_mm=140, open_grade=grade)
    case = Case(side="right", fractures=(broken,), course=Course(**course))
    return next(one for one in flags_of(case, NOW) if one.id == name)


def words(told: Flag) -> str:
    return " ".join(told.lines)


def test_nothing_given_raises_no_flag_but_the_tetanus_question() -> None:
    case = Case(
        side="right",
        fractures=(Fracture(id="fracture-1", bone="tibia", from_mm=1, to_mm=9, open_grade="I"),),
    )
    assert [one.id for one in flags_of(case, NOW) if one.is_raised] == ["tetanus"]


def test_pain_on_stretch_raises_the_compartment_flag() -> None:
    told = flag("compartment", compartment=Compartment(pain_on_stretch="yes"))
    assert told.is_raised
    assert "look again at about 48 h" in words(told)


@pytest.mark.parametrize(
    ("vascular", "is_raised", "said"),
    [
        (Vascular(signs=("no pulse",)), True, "Hard sign: no pulse"),
        (Vascular(index=0.89), True, "Index 0.89, under 0.9 (SF-07); image the artery"),
        (Vascular(index=0.9), False, "Index 0.9, not under 0.9"),
        (Vascular(soft_signs="yes"), True, "measure the index"),
        (Vascular(), False, "No hard sign given"),
    ],
)
def test_the_artery(vascular: Vascular, is_raised: bool, said: str) -> None:
    told = flag("vascular", vascular=vascular)
    assert (told.is_raised, said in words(told)) == (is_raised, True)


@pytest.mark.parametrize(
    ("told", "met"),
    [
        (Resuscitation(), None),
        (Resuscitation(lactate_mmol_per_l=3.9), True),
        (Resuscitation(lactate_mmol_per_l=4.0), False),
        (Resuscitation(lactate_mmol_per_l=5.0, ph=7.25), True),
        (Resuscitation(base_excess_mmol_per_l=-5.5), True),
        (Resuscitation(base_excess_mmol_per_l=-5.6), False),
    ],
)
def test_early_care_wants_any_one_value(told: Resuscitation, met: bool | None) -> None:
    assert early_met(told) is met


@pytest.mark.parametrize(
    ("told", "said"),
    [
        (Resuscitation(lactate_mmol_per_l=2.6), "lactate 2.6, over 2.5"),
        (Resuscitation(platelets_e9_per_l=100), "platelets 100, under 110"),
        (Resuscitation(platelets_e9_per_l=80), "platelets 80, under 90"),
        (Resuscitation(temperature_c=34), "temperature 34, under 35"),
        (Resuscitation(temperature_c=32), "temperature 32, under 33"),
        (Resuscitation(injury_score=41), "injury score 41, over 40"),
        (Resuscitation(injury_score=25, chest_score=3), "injury score 25, over 20, with chest 3"),
        (Resuscitation(pelvis_or_abdomen="yes", systolic_mmhg=85), "systolic 85, under 90"),
        (Resuscitation(both_lungs_bruised="yes"), "both lungs bruised"),
    ],
)
def test_the_stricter_school_names_its_reason(told: Resuscitation, said: str) -> None:
    assert said in "; ".join(strict_reasons(told))


def test_the_schools_disagree_and_both_are_shown() -> None:
    told = flag("resuscitation", resuscitation=Resuscitation(lactate_mmol_per_l=3.0))
    assert "one is met" in words(told)
    assert "holds back for: lactate 3" in words(told)


@pytest.mark.parametrize(
    ("day", "is_raised", "said"),
    [
        (None, True, "Last dose: not given"),
        ("2010-01-01", True, "booster due"),
        ("2020-01-01", False, "no booster due"),
    ],
)
def test_tetanus(day: str | None, is_raised: bool, said: str) -> None:
    told = flag("tetanus", last_tetanus=day)
    assert (told.is_raised, said in words(told)) == (is_raised, True)


def test_a_closed_fracture_asks_no_tetanus() -> None:
    with pytest.raises(StopIteration):
        flag("tetanus", grade="closed")


def test_there_are_three_pauses() -> None:
    assert len(pause_lines()) == 3
    assert "beads counted in and out" in pause_lines()[2]
