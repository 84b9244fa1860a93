"""The plan in words, section by section, in the usual order of an operation note's plan."""

from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

import msgspec

from fixplan import __version__
from fixplan.case.file import snapshot_id
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Injury, Pin, Plate, Wound
from fixplan.checks.candidate_table import candidate_rows
from fixplan.checks.finding import Finding
from fixplan.checks.rules import rule_set_version
from fixplan.checks.texts import candidate_words, listed, number
from fixplan.errors import TraysError
from fixplan.frame.hold_words import sheet_lines
from fixplan.frame.lengths import PinLength
from fixplan.frame.order import order_lines
from fixplan.geometry.paths import PinPath, pin_path
from fixplan.kit.answer import kit_for
from fixplan.kit.parts import needs_of
from fixplan.kit.tray_files import house_trays
from fixplan.limb.words import level_words
from fixplan.notes.built import built_lines, film_lines
from fixplan.notes.identity import NOBODY, Identity
from fixplan.sheet.header import warning_lines
from fixplan.sheet.statements import counts_words
from fixplan.sheet.tables import bar_cells, entry_texts, length_text, level_texts
from fixplan.sheet.title_block import caution_text, fracture_words, size_words
from fixplan.sheet.view_plan import pin_lengths
from fixplan.trips.care_words import care_lines
from fixplan.trips.sheet_words import trip_lines

FACES = {
    ("front", "near"): "front",
    ("front", "far"): "back",
    ("side", "near"): "lateral side",
    ("side", "far"): "medial side",
}


class Column(NamedTuple):
    """A column of a table: its head, and how a cell of it is told in a sentence."""

    head: str
    told: str = "{}"


PIN_COLUMNS = (
    Column("No."),
    Column("Bone and level"),
    Column("Enters from", "enters from {}"),
    Column("Skin to tip, mm", "skin to tip, mm: {}"),
    Column("\u00d8, mm", "{} mm thick"),
    Column("Length, mm", "length {} mm"),
)
BAR_COLUMNS = (
    Column("No."),
    Column("Holds", "holds {}"),
    Column("\u00d8, mm", "{} mm thick"),
    Column("Length, mm", "length {} mm"),
    Column("Off the skin, mm", "{} mm off the skin"),
)


class Section(msgspec.Struct, frozen=True, kw_only=True):
    """A heading with lines, or with a table of these columns. `is_counted`: steps."""

    heading: str
    lines: tuple[str, ...] = ()
    columns: tuple[Column, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    is_counted: bool = False


class Told(msgspec.Struct, frozen=True, kw_only=True, eq=False):
    """What the sections are made from; `dated`: the date as it is to be written."""

    case: Case
    findings: tuple[Finding, ...]
    identity: Identity = NOBODY
    dated: str = ""


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
    levels = [level for _, level in (*wound.outline, *wound.line)]
    note = f" ({wound.note})" if wound.note else ""
    return f"{wound.kind}, {where}, {_range_words(case, wound.segment, levels)}{note}"


def _injury_words(case: Case, injury: Injury) -> str:
    levels = [level for _, level in (*injury.front, *injury.side)]
    note = f" ({injury.note})" if injury.note else ""
    return f"{injury.grade}, {_range_words(case, injury.segment, levels)}{note}"


def _range_words(case: Case, segment: str, levels_mm: Sequence[float]) -> str:
    """From where to where along a segment, by landmarks that a hand can feel."""
    limb = limb_of_case(case)
    if not levels_mm or segment not in limb.segments:
        return segment
    ends = [level_words(limb, segment, level) for level in (min(levels_mm), max(levels_mm))]
    return f"from {ends[0]} to {ends[1]}"


def _procedure(told: Told) -> Section:
    case = told.case
    counts = [(len(case.pins), "pin"), (len(case.bars), "bar")]
    frame = listed([f"{n} {word}{'' if n == 1 else 's'}" for n, word in counts])
    supports = [support.kind for support in case.supports]
    lines = [f"Temporary external frame: {frame}{', '.join(['', *supports])}."]
    if case.length.correction_mm is not None:
        lines.append(f"Length wanted at the fracture: {number(case.length.correction_mm)} mm.")
    if case.length.rotation_deg is not None:
        lines.append(f"Turn wanted of the distal part: {number(case.length.rotation_deg)}\u00b0.")
    return Section(heading="Procedure planned", lines=tuple(lines if case.pins else ()))


def _kit(told: Told) -> Section:
    """Trays to open; the parts alone where the trays cannot be read."""
    try:
        trays = house_trays()
    except TraysError as problem:
        parts = [f"{need.count} \u00d7 {need.part.name}" for need in needs_of(told.case)]
        return Section(heading="Kit to open", lines=(f"Trays not known: {problem}", *parts))
    if not told.case.pins:
        return Section(heading="Kit to open")
    return Section(heading="Kit to open", lines=kit_for([told.case], trays).lines())


def _pins(told: Told) -> Section:
    lengths = pin_lengths(told.case)
    return Section(heading="Pins", columns=PIN_COLUMNS, rows=tuple(_pin_rows(told.case, lengths)))


def _pin_rows(case: Case, lengths: dict[str, PinLength]) -> Iterator[tuple[str, ...]]:
    limb = limb_of_case(case)
    for pin in case.pins:
        if pin.id not in lengths:
            yield f"Pin {pin.number}", f"{pin.bone} is not a bone of this limb", "", "", "", ""
            continue
        path = pin_path(limb, pin)
        yield (
            f"Pin {pin.number}",
            f"{limb.bones[pin.bone].title}, {_flat(level_texts(limb, path))}",
            _flat(entry_texts(limb, pin)),
            _depth_words(pin, path),
            f"{pin.diameter_mm:g}",
            _flat(length_text(lengths[pin.id])),
        )


def _depth_words(pin: Pin, path: PinPath) -> str:
    """From the skin to the tip; a through-pin's far end is skin again."""
    if not path.skin_known:
        return "skin not known"
    through = ", skin to skin" if pin.kind == "through" else ""
    return f"{number(path.depth_from_skin_mm)}{through}"


def _flat(text: str) -> str:
    return ", ".join(text.split("\n"))


def _bars(told: Told) -> Section:
    rows = []
    for bar in told.case.bars:
        _, *cells = bar_cells(told.case, bar)
        rows.append((f"Bar {bar.number}", *cells))
    return Section(heading="Bars", columns=BAR_COLUMNS, rows=tuple(rows))


def _order(told: Told) -> Section:
    return Section(heading="Build order", lines=order_lines(told.case), is_counted=True)


def _care(told: Told) -> Section:
    lines = tuple(care_lines(told.case))
    return Section(heading="Dead space, debridement and cover", lines=lines)


def _firmness(told: Told) -> Section:
    return Section(heading="How firmly it holds", lines=sheet_lines(told.case, with_advice=False))


def _found(told: Told) -> Section:
    counts = f"Checked: {counts_words(told.findings)}"
    warned = " ".join(warning_lines(told.case))
    is_open = [finding_words(one) for one in told.findings if one.is_open]
    return Section(heading="Checks", lines=(counts, *([warned] if warned else []), *is_open))


def _accepted(told: Told) -> Section:
    kept = [finding_words(one) for one in told.findings if one.accepted is not None]
    return Section(heading="Accepted, with reasons", lines=tuple(kept))


def _rest(told: Told) -> Section:
    rest = [one for one in told.findings if one.severity in ("not assessed", "note")]
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
    return Section(heading="Trips and what is due", lines=trip_lines(told.case, told.findings))


def _notes(told: Told) -> Section:
    return Section(heading="Notes", lines=tuple(told.case.notes.splitlines()))


ORDER: tuple[Callable[[Told], Section], ...] = (
    _patient,
    _diagnosis,
    _procedure,
    _kit,
    _pins,
    _bars,
    _order,
    _care,
    _firmness,
    _found,
    _accepted,
    _built,
    _afterwards,
    _trips,
    _talks,
    _notes,
    _rest,
)
