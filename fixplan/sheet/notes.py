"""The plan as plain text for the case notes: what the sheet says, without the drawing."""

from collections.abc import Iterator, Sequence
from textwrap import wrap

from fixplan import __version__
from fixplan.case.file import snapshot_id
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case
from fixplan.checks.candidate_table import candidate_rows
from fixplan.checks.finding import Finding
from fixplan.checks.rules import rule_set_version
from fixplan.checks.texts import candidate_words, number
from fixplan.frame.lengths import PinLength
from fixplan.frame.order import order_lines
from fixplan.geometry.paths import pin_path
from fixplan.sheet.header import warning_lines
from fixplan.sheet.kit_blocks import kit_told
from fixplan.sheet.statements import counts_words
from fixplan.sheet.tables import bar_cells, entry_texts, length_text, level_texts
from fixplan.sheet.title_block import caution_text, fracture_words, size_words
from fixplan.sheet.view_plan import pin_lengths
from fixplan.trips.care_words import care_lines
from fixplan.trips.sheet_words import trip_lines

WIDTH = 88


def _flat(text: str, joint: str = "; ") -> str:
    return joint.join(text.split("\n"))


def _pin_lines(case: Case, lengths: dict[str, PinLength]) -> Iterator[str]:
    limb = limb_of_case(case)
    for pin in case.pins:
        if pin.id not in lengths:
            yield f"Pin {pin.number}: {pin.bone} is not a bone of this limb."
            continue
        path = pin_path(limb, pin)
        yield (
            f"Pin {pin.number}: {limb.bones[pin.bone].title}, {_flat(level_texts(limb, path))}; "
            f"enters {_flat(entry_texts(limb, pin), ', ')}; "
            f"skin to {'skin' if pin.kind == 'through' else 'tip'} "
            f"{number(path.depth_from_skin_mm)} mm; {pin.diameter_mm:g} mm thick; length "
            f"{_flat(length_text(lengths[pin.id]), ', ')} mm."
        )


def _bar_lines(case: Case) -> Iterator[str]:
    for bar in case.bars:
        _, held, diameter, length, off = bar_cells(case, bar)
        yield f"Bar {bar.number}: {held}; {diameter} mm thick; length {length}; off the skin {off}."


def _later_lines(case: Case, findings: Sequence[Finding]) -> Iterator[str]:
    """What each pin is in the way of, while several candidates stand side by side."""
    names = [candidate_words(one) for one in case.candidates]
    for number_words, *cells in candidate_rows(case, findings):
        told = "; ".join(f"{name}: {cell}" for name, cell in zip(names, cells, strict=True))
        yield f"Pin {number_words}: {told}."


def _finding_lines(findings: Sequence[Finding]) -> Iterator[str]:
    for finding in findings:
        state = f" Accepted: {finding.accepted}." if finding.accepted is not None else ""
        reopened = f" Reopened: {finding.reopened}." if finding.reopened else ""
        message = finding.message.rstrip(".")
        yield (
            f"{finding.severity.capitalize()}, {finding.subject}: {message}."
            f"{state}{reopened} [{finding.rule}]"
        )


def _head(case: Case, findings: Sequence[Finding]) -> Iterator[str]:
    limb = limb_of_case(case)
    yield f"{case.side.upper()} {case.limb}: {case.label or 'plan without a title'}"
    yield f"Fracture: {fracture_words(case)}"
    yield f"Limb size: {size_words(case, limb)}"
    yield f"Checked: {counts_words(findings)}"
    if lines := warning_lines(case):
        yield " ".join(lines)


def _paragraphs(case: Case, findings: Sequence[Finding]) -> Iterator[tuple[str, list[str]]]:
    lengths = pin_lengths(case)
    yield "PINS", list(_pin_lines(case, lengths))
    yield "BARS", list(_bar_lines(case))
    yield "LATER FIXATION", list(_later_lines(case, findings))
    yield "BUILD ORDER", [f"{k}. {line}" for k, line in enumerate(order_lines(case), 1)]
    kit = kit_told(case)
    yield "KIT", [*kit.brief, *(f"{lead}: {text}" for lead, text in kit.trays if text)]
    yield "TRIPS AND WHAT IS DUE", list(trip_lines(case, findings))
    yield "DEAD SPACE, DEBRIDEMENT AND COVER", list(care_lines(case))
    yield "FINDINGS", list(_finding_lines(findings))
    yield "NOTES", case.notes.splitlines()


def summary(case: Case, findings: Sequence[Finding], *, printed_at: str = "") -> str:
    """The plan as text of at most 88 characters a line, ending with cautions and versions.

    `printed_at` is the date as it is to be written.
    """
    lines = list(_head(case, findings))
    for heading, paragraph in _paragraphs(case, findings):
        if paragraph:
            lines += ["", heading, *paragraph]
    lines += ["", caution_text()]
    dated = f", {printed_at}" if printed_at else ""
    lines.append(
        f"Plan {snapshot_id(case)}, rules {rule_set_version()}, fixplan {__version__}{dated}"
    )
    wrapped = [wrap(line, WIDTH, subsequent_indent="  ") or [""] for line in lines]
    return "\n".join(part for line in wrapped for part in line) + "\n"
