"""Prompts about drug in cement: each can be raised, and each can be silent."""

import pytest
from msgspec.structs import replace

from fixplan.case.dead_space_records import DeadSpace, DrugInCement, PatientAnswers
from fixplan.case.records import Case
from fixplan.trips.dead_space import filling_of
from fixplan.trips.drug_checks import QUESTIONS, drug_prompts
from fixplan.trips.prompts import Prompt

VANCOMYCIN = DrugInCement(drug="vancomycin", amount=2, form="powder")
TOBRAMYCIN = DrugInCement(drug="tobramycin", amount=2.4, form="powder")
NO = PatientAnswers(**{one.field: "no" for one in QUESTIONS})
SPACE = DeadSpace(
    id="dead-space-1",
    device="spacer",
    carrier="bone cement",
    bears_load="no",
    volume_ml=30,
    drugs=(VANCOMYCIN, TOBRAMYCIN),
)


def told(space: DeadSpace = SPACE, answers: PatientAnswers = NO) -> dict[str, Prompt]:
    case = Case(side="right", dead_spaces=(space,), answers=answers)
    found = list(drug_prompts(case, space, filling_of(case, space)))
    assert len({(one.id, one.text) for one in found}) == len(found)
    return {one.id: one for one in found}


def with_drug(**fields: object) -> DeadSpace:
    return replace(SPACE, drugs=(replace(VANCOMYCIN, **fields),))


def test_a_usual_mix_with_everything_answered_raises_nothing() -> None:
    assert told() == {}


@pytest.mark.parametrize(
    ("amount", "severity"), [(3.0, None), (3.2, "note"), (3.6, "note"), (3.7, "caution")]
)
def test_much_of_one_drug(amount: float, severity: str | None) -> None:
    found = told(with_drug(amount=amount)).get("drug.one")
    assert (found and found.severity) == severity


def test_more_than_eight_grams_may_not_set() -> None:
    def both(amount: float) -> DeadSpace:
        return replace(SPACE, drugs=(replace(VANCOMYCIN, amount=amount), TOBRAMYCIN))

    assert "drug.setting" not in told(both(5.6))
    assert told(both(5.7))["drug.setting"].evidence == ("LA-05",)


def test_cement_as_bought_counts_in_the_total() -> None:
    bought = DrugInCement(drug="gentamicin", amount=0.5, preloaded=True)
    space = replace(SPACE, bears_load="yes", drugs=(replace(VANCOMYCIN, amount=4.2),))
    assert "drug.bearing" not in told(space)
    assert "drug.bearing" in told(replace(space, drugs=(*space.drugs, bought)))


def test_bearing_cement_is_asked_about_only_where_it_matters() -> None:
    much = replace(SPACE, drugs=(replace(VANCOMYCIN, amount=3), replace(TOBRAMYCIN, amount=3)))
    assert told(replace(much, bears_load="yes"))["drug.bearing"].severity == "caution"
    assert told(replace(much, bears_load="not known"))["drug.bearing"].severity == "not assessed"
    assert "drug.bearing" not in told(much)
    assert "drug.bearing" not in told(replace(much, bears_load="yes", device="beads"))


@pytest.mark.parametrize(
    ("drug", "severity"),
    [
        ("vancomycin", None),
        ("meropenem", "note"),
        ("cefotaxime", "caution"),
        ("clindamycin", "not assessed"),
        ("colistin", "not assessed"),
    ],
)
def test_heat_of_setting(drug: str, severity: str | None) -> None:
    found = told(with_drug(drug=drug, amount=1)).get("drug.heat")
    assert (found and found.severity) == severity


def test_powder_or_solution() -> None:
    assert told(with_drug(form="solution"))["drug.form"].severity == "caution"
    assert told(with_drug(form="not known"))["drug.form"].severity == "not assessed"
    assert "drug.form" not in told(with_drug(form="not known", preloaded=True))


@pytest.mark.parametrize("asked", QUESTIONS, ids=lambda one: one.field)
def test_each_question_yes_no_and_not_known(asked) -> None:  # type: ignore[no-untyped-def]
    id_ = f"drug.{asked.field.replace('_', '-')}"
    yes = told(answers=replace(NO, **{asked.field: "yes"}))
    assert yes[id_].severity == asked.severity
    assert id_ not in told()
    unknown = told(answers=replace(NO, **{asked.field: "not known"}))["drug.unanswered"]
    assert unknown.severity == "not assessed"
    assert asked.words[1:] in unknown.text
    assert set(asked.evidence) <= set(unknown.evidence)


def test_allergy_to_one_family_says_nothing_of_another() -> None:
    allergic = replace(NO, aminoglycoside_allergy="yes")
    only = replace(SPACE, drugs=(VANCOMYCIN,))
    assert "drug.aminoglycoside-allergy" not in told(only, allergic)
    found = told(SPACE, allergic)["drug.aminoglycoside-allergy"]
    assert "tobramycin is in the cement" in found.text
    assert "vancomycin" not in found.text


def test_an_unlisted_drug_is_taken_for_any_family() -> None:
    other = replace(SPACE, drugs=(replace(VANCOMYCIN, drug="amikacin"),))
    assert "drug.aminoglycoside-allergy" in told(other, replace(NO, aminoglycoside_allergy="yes"))


def test_acrylate_allergy_stops_cement_without_a_drug_too() -> None:
    bare = replace(SPACE, drugs=())
    assert (
        told(bare, replace(NO, acrylate_allergy="yes"))["drug.acrylate-allergy"].severity == "stop"
    )
    assert told(bare)["drug.none"].severity == "not assessed"
