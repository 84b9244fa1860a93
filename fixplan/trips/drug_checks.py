"""Prompts about drug in cement: limits by amount, the patient's answers, form, carrier, counts."""

from collections.abc import Iterator
from typing import NamedTuple

from fixplan.case.dead_space_records import DeadSpace, PatientAnswers
from fixplan.case.records import Case
from fixplan.case.scalars import Severity
from fixplan.trips.dead_space import Filling
from fixplan.trips.drugs import Limits, antibiotics, drug_name, drug_of
from fixplan.trips.packets import Load
from fixplan.trips.prompts import Prompt

_SLIGHT_G = 1e-9


class Asked(NamedTuple):
    """One question about the patient: its field, words, and what yes means."""

    field: str
    words: str
    family: str
    severity: Severity
    text: str
    evidence: tuple[str, ...]


QUESTIONS: tuple[Asked, ...] = (
    Asked(
        "kidney_disease",
        "Kidney disease or dehydration",
        "",
        "caution",
        "kidney disease or dehydration: check creatinine, fewer packets or less drug",
        ("LA-18",),
    ),
    Asked(
        "aminoglycoside_allergy",
        "Allergy to aminoglycosides",
        "aminoglycoside",
        "stop",
        "allergy to aminoglycosides, and {drugs} is in the cement",
        ("LA-19",),
    ),
    Asked(
        "glycopeptide_allergy",
        "Allergy to glycopeptides",
        "glycopeptide",
        "stop",
        "allergy to glycopeptides, and {drugs} is in the cement",
        ("LA-19",),
    ),
    Asked(
        "acrylate_allergy",
        "Allergy to acrylate",
        "",
        "stop",
        "allergy to acrylate: no bone cement",
        ("LA-19",),
    ),
    Asked(
        "other_allergy",
        "Allergy to another antibiotic",
        "",
        "caution",
        "another allergy: compare it with {drugs}",
        ("LA-19",),
    ),
    Asked(
        "pregnant",
        "Pregnant or breastfeeding",
        "",
        "caution",
        "pregnant or breastfeeding: an aminoglycoside can harm the ear and kidney of the unborn",
        ("LA-20",),
    ),
    Asked(
        "weak_muscles",
        "Myasthenia, or muscle relaxants tonight",
        "aminoglycoside",
        "caution",
        "{drugs} can deepen weakness with myasthenia or muscle relaxants: tell anaesthesia",
        ("LA-20",),
    ),
    Asked(
        "light",
        "Light body, or a child",
        "",
        "caution",
        "a light body or a child: no published limit by weight; ask the pharmacy",
        ("DS-09",),
    ),
    Asked(
        "aminoglycoside_by_vein",
        "Aminoglycoside by vein",
        "aminoglycoside",
        "caution",
        "an aminoglycoside by vein adds to {drugs} in the cement: follow levels and creatinine",
        ("DS-08", "LA-18"),
    ),
    Asked(
        "vancomycin_by_vein",
        "Vancomycin by vein",
        "glycopeptide",
        "caution",
        "vancomycin by vein adds to {drugs} in the cement: follow levels and creatinine",
        ("DS-08", "LA-18"),
    ),
)


def drug_prompts(case: Case, space: DeadSpace, filling: Filling | None) -> Iterator[Prompt]:
    """Everything that is asked about the drug in one dead space."""
    if space.carrier == "absorbable":
        text = "an absorbable carrier: amounts, release and volume are not worked out for it"
        yield Prompt("drug.carrier", "not assessed", space.id, text, ("LA-01",))
        return
    if space.carrier == "not asked":
        text = "bone cement or an absorbable carrier is not told; counted as bone cement"
        yield Prompt("drug.carrier", "not assessed", space.id, text, ("LA-01",))
    if not space.drugs:
        text = "no drug is named, that in the cement as bought included"
        yield Prompt("drug.none", "not assessed", space.id, text, ("LA-02",))
        yield from _acrylate(case.answers, space)
        return
    if filling is not None:
        yield from load_prompts(space, filling.load)
    yield from _drug_by_drug(space)
    yield from _answers(case.answers, space)


def load_prompts(space: DeadSpace, load: Load) -> Iterator[Prompt]:
    """What the amounts in 40 g of powder say (LA-04, LA-05, LA-18)."""
    limits = antibiotics().limits
    total = load.per_40_g
    per = f"per {limits.per_powder_g:g} g of powder"
    if total > limits.setting_g + _SLIGHT_G:
        text = f"{total:.3g} g of drug {per}, limit {limits.setting_g:g} g: it may not set"
        yield Prompt("drug.setting", "caution", space.id, text, limits.setting_evidence)
    yield from _bearing(space, limits, total, per)
    for one in load.drugs:
        if one.per_40_g > limits.one_drug_g + _SLIGHT_G:
            text = f"{one.per_40_g:.3g} g of {one.name} {per}, limit {limits.one_drug_g:g} g"
            yield Prompt("drug.one", "caution", space.id, text, limits.one_drug_evidence)
        elif one.per_40_g > limits.one_drug_from_g + _SLIGHT_G:
            text = f"{one.per_40_g:.3g} g of {one.name} {per}: the risk to the kidney rises there"
            yield Prompt("drug.one", "note", space.id, text, limits.one_drug_evidence)


def _bearing(space: DeadSpace, limits: Limits, total: float, per: str) -> Iterator[Prompt]:
    if space.device == "beads" or space.bears_load == "no":
        return
    over = total > limits.bearing_g + _SLIGHT_G
    if space.bears_load == "yes" and over:
        text = f"{total:.3g} g of drug {per} in cement that bears load, limit {limits.bearing_g:g}"
        yield Prompt("drug.bearing", "caution", space.id, f"{text} g", limits.bearing_evidence)
    elif space.bears_load == "not known" and over:
        text = (
            f"whether the cement bears load is not known; above {limits.bearing_g:g} g it is weak"
        )
        yield Prompt("drug.bearing", "not assessed", space.id, text, limits.bearing_evidence)


def _drug_by_drug(space: DeadSpace) -> Iterator[Prompt]:
    for one in space.drugs:
        name, known = drug_name(one.drug), drug_of(one.drug)
        if known is None:
            text = f"{name} is not listed: heat and published range are not known here"
            yield Prompt("drug.heat", "not assessed", space.id, text, ("LA-06",))
        elif known.heat == "not known":
            text = f"how {name} bears the heat of setting was not found"
            yield Prompt("drug.heat", "not assessed", space.id, text, ("LA-06",))
        elif known.heat != "stable":
            text = f"{name}, a {known.family}, {known.heat} in the heat of setting"
            severity: Severity = "caution" if known.heat == "decays" else "note"
            yield Prompt("drug.heat", severity, space.id, text, known.heat_evidence)
        if one.preloaded:
            continue
        if one.form == "solution":
            text = f"{name} as a solution: water in the mix weakens the cement; take powder"
            yield Prompt("drug.form", "caution", space.id, text, ("LA-07",))
        elif one.form == "not known":
            text = f"powder or solution of {name} is not told"
            yield Prompt("drug.form", "not assessed", space.id, text, ("LA-07",))


def _answers(answers: PatientAnswers, space: DeadSpace) -> Iterator[Prompt]:
    open_: list[Asked] = []
    for asked in QUESTIONS:
        drugs, answer = _named(space, asked.family), getattr(answers, asked.field)
        if asked.family and not drugs:
            continue
        if answer == "yes":
            id_ = f"drug.{asked.field.replace('_', '-')}"
            text = asked.text.format(drugs=drugs)
            yield Prompt(id_, asked.severity, space.id, text, asked.evidence)
        elif answer == "not known":
            open_.append(asked)
    if open_:
        words = "; ".join(f"{one.words[:1].lower()}{one.words[1:]}" for one in open_)
        ids = tuple(dict.fromkeys(id_ for one in open_ for id_ in one.evidence))
        text = f"ask before the cement is mixed: {words}"
        yield Prompt("drug.unanswered", "not assessed", space.id, text, ids)


def _acrylate(answers: PatientAnswers, space: DeadSpace) -> Iterator[Prompt]:
    """Without a drug in it, cement still asks for one allergy."""
    asked = next(one for one in QUESTIONS if one.field == "acrylate_allergy")
    if answers.acrylate_allergy == "yes":
        yield Prompt("drug.acrylate-allergy", "stop", space.id, asked.text, asked.evidence)


def _named(space: DeadSpace, family: str) -> str:
    """The drugs of a family in a dead space, in words; all drugs for no family."""
    found = [
        drug_name(one.drug)
        for one in space.drugs
        if not family or (known := drug_of(one.drug)) is None or known.family == family
    ]
    return " and ".join(dict.fromkeys(found))
