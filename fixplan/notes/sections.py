"""The plan in words, section by section, in the usual order of an operation note's plan."""

from collections.abc import Callable

from fixplan import __version__
from fixplan.case.file import snapshot_id
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Injury, Plate, Wound
from fixplan.case.scalars import View
from fixplan.checks.candidate_table import candidate_rows
from fixplan.checks.finding import Finding
from fixplan.checks.grouping import grouped
from fixplan.checks.rules import rule_set_version
from fixplan.checks.texts import candidate_words, listed
from fixplan.notes.built import built_lines, film_lines
from fixplan.notes.frame_sections import (
    bars_section,
    firmness_section,
    kit_section,
    order_section,
    pins_section,
    procedure_section,
)
from fixplan.notes.places import place_words
from fixplan.notes.section import Section, Told
from fixplan.sheet.header import warning_lines
from fixplan.sheet.statements import counts_words
from fixplan.sheet.title_block import caution_text, fracture_words, size_words
from fixplan.trips.care_words import care_lines
from fixplan.trips.open_prompts import caution_words
from fixplan.trips.sheet_words import trip_lines

FACES = {
    ("front", "near"): "front",
    ("front", "far"): "back",
    ("side", "near"): "lateral side",
    ("side", "far"): "medial side",
}


def title_of(case: Case) -> str:
    """Side, limb and the case's own title."""
    return f"{case.side.upper()} {case.limb}: {case.label or 'plan without a title'}"


def sections_of(told: Told) -> tuple[Section, ...]:
    """Every section that has something to say, in order."""
    made = (make(told) for make in ORDER)
    return tuple(one for one in made if one.lines or one.rows)


def closing_lines(told: Told) -> tuple[str, ...]:
    """The cautions, and which plan by which rules and program."""
    dated = f", {told.dated}" if told.dated else ""
    versions = f"rules {rule_set_version()}, fixplan {__version__}{dated}"
    return caution_text(), f"Plan {snapshot_id(told.case)}, {versions}"


def _patient(told: Told) -> Section:
    return Section(heading="Patient", lines=told.identity.lines())


def _diagnosis(told: Told) -> Section:
    case = told.case
    lines = [
        f"Fracture: {fracture_words(case)}",
        *(f"Wound: {_wound_words(case, one)}" for one in case.wounds),
        *(f"Zone of injury: {_injury_words(case, one)}" for one in case.injuries),
        f"Limb size: {size_words(case, limb_of_case(case))}",
    ]
    return Section(heading="Diagnosis", lines=tuple(lines))


def _wound_words(case: Case, wound: Wound) -> str:
    where = FACES[wound.view, wound.face]
    drawn = (*wound.outline, *wound.line)
    note = f" ({wound.note})" if wound.note else ""
    return f"{wound.kind}, {where}, {place_words(case, wound.segment, wound.view, drawn)}{note}"


def _injury_words(case: Case, injury: Injury) -> str:
    view: View = "side" if injury.side else "front"
    note = f" ({injury.note})" if injury.note else ""
    drawn = injury.side or injury.front
    return f"{injury.grade}, {place_words(case, injury.segment, view, drawn)}{note}"


def _care(told: Told) -> Section:
    lines = tuple(care_lines(told.case))
    return Section(heading="Dead space, debridement and cover", lines=lines)


def _found(told: Told) -> Section:
    counts = f"Checked: {counts_words(told.findings, caution_words(told.case, told.findings))}"
    warned = " ".join(warning_lines(told.case))
    is_open = [finding_words(one) for one in grouped(told.findings) if one.is_open]
    return Section(heading="Checks", lines=(counts, *([warned] if warned else []), *is_open))


def _accepted(told: Told) -> Section:
    kept = [finding_words(one) for one in grouped(told.findings) if one.accepted is not None]
    return Section(heading="Accepted, with reasons", lines=tuple(kept))


def _rest(told: Told) -> Section:
    rest = [one for one in grouped(told.findings) if one.severity in ("not assessed", "note")]
    return Section(
        heading="Not assessed, and notes", lines=tuple(finding_words(one) for one in rest)
    )


def finding_words(one: Finding) -> str:
    """One finding in a line, with its state and its rule."""
    state = f" Accepted: {one.accepted}." if one.accepted is not None else ""
    reopened = f" Reopened: {one.reopened}." if one.reopened else ""
    message = one.message.rstrip(".")
    subject = "" if message.startswith(one.subject) else f"{one.subject}: "
    head = f"{one.severity.capitalize()}: {subject}{message}."
    return f"{head}{state}{reopened} [{one.rule}]"


def _afterwards(told: Told) -> Section:
    """What later fixation is intended, and where it needs room."""
    lines = []
    for candidate in told.case.candidates:
        plates = [part.side for part in candidate.parts if isinstance(part, Plate)]
        sides = f", {listed(plates)}" if plates else ""
        lines.append(f"Later fixation: {candidate_words(candidate)}{sides}")
    names = [candidate_words(one) for one in told.case.candidates]
    for pin, *cells in candidate_rows(told.case, told.findings):
        found = "; ".join(f"{name}: {cell}" for name, cell in zip(names, cells, strict=True))
        lines.append(f"Pin {pin} against them: {found}")
    return Section(heading="Afterwards", lines=tuple(lines))


def _talks(told: Told) -> Section:
    """With whom the plan was discussed."""
    lines = []
    for talk in told.case.talks:
        when = f", agreed at {talk.agreed_at}" if talk.agreed_at else ""
        what = f": {talk.agreed}" if talk.agreed else ""
        lines.append(f"Discussed with {talk.discussed_with}{when}{what}")
    return Section(heading="Discussed", lines=tuple(lines))


def _built(told: Told) -> Section:
    lines = (*built_lines(told.case), *film_lines(told.case))
    return Section(heading="As built", lines=lines)


def _trips(told: Told) -> Section:
    """Trips and what is due by when, where trips or times were entered."""
    return Section(
        heading="Trips and what is due", lines=trip_lines(told.case, told.findings, told.at)
    )


def _notes(told: Told) -> Section:
    return Section(heading="Notes", lines=tuple(told.case.notes.splitlines()))


ORDER: tuple[Callable[[Told], Section], ...] = (
    _patient,
    _diagnosis,
    procedure_section,
    kit_section,
    pins_section,
    bars_section,
    order_section,
    _care,
    firmness_section,
    _found,
    _accepted,
    _built,
    _afterwards,
    _trips,
    _talks,
    _notes,
    _rest,
)
