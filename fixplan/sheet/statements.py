"""Findings, build order and kit as blocks of rows."""

import functools
from collections.abc import Iterable, Sequence

from fixplan.case.scalars import Severity
from fixplan.checks.finding import Finding
from fixplan.checks.hidden import are_hidden
from fixplan.sheet.rows import Block, Row, marked_row, numbered_row, text_row

HIDDEN_WORDS = "Hidden until the exercise is handed in"
LAST: tuple[Severity, ...] = ("not assessed", "note")


@functools.lru_cache(maxsize=1024)
def _finding_row(finding: Finding, width_mm: float, size_mm: float) -> Row:
    """Mark, severity and subject in bold, then the message with its evidence, then the rule."""
    message = finding.message.rstrip(".")
    texts = [f"{message}."]
    if finding.reopened:
        texts.append(f"Reopened: {finding.reopened}")
    if finding.accepted is not None:
        texts.append(f"Accepted: {finding.accepted}")
    if finding.advice and finding.is_open:
        texts[0] += f" {finding.advice[:1].upper()}{finding.advice[1:].rstrip('.')}."
    lead = f"{finding.severity.capitalize()} · {finding.subject}"
    return marked_row(
        finding.severity, finding.is_open, lead, finding.rule, texts, width_mm, size_mm
    )


def _block(
    owner: str, heading: str, rows: Sequence[Row], none: str, width_mm: float, size_mm: float
) -> Block:
    shown = tuple(rows) or (text_row(none, width_mm, size_mm),)
    return Block(owner, heading, shown)


def _count(found: Sequence[Finding], severity: Severity) -> int:
    return sum([finding.severity == severity for finding in found])


def counts_words(findings: Iterable[Finding]) -> str:
    """Open stops and cautions, and what was not assessed, counted in words."""
    found = tuple(findings)
    if are_hidden(found):
        return HIDDEN_WORDS
    is_open = [finding for finding in found if finding.is_open]
    stops, cautions = _count(is_open, "stop"), _count(is_open, "caution")
    missing = _count(found, "not assessed")
    return (
        f"{stops} stop{'' if stops == 1 else 's'} and {cautions} "
        f"caution{'' if cautions == 1 else 's'} open, {missing} not assessed"
    )


def finding_blocks(findings: Sequence[Finding], width_mm: float, size_mm: float) -> list[Block]:
    """Open stops and cautions, accepted ones, then what was not assessed and the notes."""
    rows = functools.partial(_finding_row, width_mm=width_mm, size_mm=size_mm)
    is_open = [rows(f) for f in findings if f.is_open]
    accepted = [rows(f) for f in findings if f.severity in ("stop", "caution") and not f.is_open]
    rest = [rows(f) for severity in LAST for f in findings if f.severity == severity]
    block = functools.partial(_block, width_mm=width_mm, size_mm=size_mm)
    none = HIDDEN_WORDS if are_hidden(findings) else "No stop or caution is open."
    blocks = [block("table:open", "OPEN FINDINGS", is_open, none)]
    if accepted:
        blocks.append(block("table:accepted", "ACCEPTED, WITH REASON", accepted, ""))
    if rest:
        title = "NOT ASSESSED, AND NOTES" if _count(findings, "not assessed") else "NOTES"
        blocks.append(block("table:rest", title, rest, ""))
    return blocks


@functools.lru_cache(maxsize=64)
def order_block(lines: tuple[str, ...], width_mm: float, size_mm: float) -> Block:
    """The build order."""
    rows = [
        numbered_row(str(index), line, width_mm, size_mm) for index, line in enumerate(lines, 1)
    ]
    return _block("table:order", "BUILD ORDER", rows, "No frame is drawn.", width_mm, size_mm)


@functools.lru_cache(maxsize=64)
def kit_block(lines: tuple[str, ...], width_mm: float, size_mm: float) -> Block:
    """The parts, counted."""
    joined = " · ".join(line.replace(" ", "\u00a0", 2) for line in lines)
    rows = [text_row(joined, width_mm, size_mm)] if lines else []
    return _block("table:kit", "KIT TO OPEN", rows, "No part is needed.", width_mm, size_mm)
