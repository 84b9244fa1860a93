"""Findings and build order as blocks of rows."""

import functools
import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from msgspec.structs import replace

from fixplan.case.scalars import Severity
from fixplan.checks.finding import Finding
from fixplan.checks.grouping import grouped
from fixplan.checks.hidden import are_hidden
from fixplan.checks.texts import listed
from fixplan.frame.order import BuildStep
from fixplan.sheet.rows import Block, Mark, Row, marked_row, numbered_row, text_row

_EVIDENCE = re.compile(r" \([^()]*\)$")
OPEN_OWNER = "table:open"
HIDDEN_WORDS = "Hidden until the exercise is handed in"


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


@functools.lru_cache(maxsize=1024)
def _brief_row(finding: Finding, width_mm: float, size_mm: float) -> Row:
    """Mark and message alone, without its evidence: which is told in full elsewhere."""
    radius, dx = 0.62 * size_mm, 2.0 * size_mm
    row = text_row(brief_words(finding), width_mm, size_mm, dx=dx, gap_mm=0.3)
    mark = Mark(radius + 0.2, 0.68 * size_mm, finding.severity, radius, True)
    return replace(row, marks=(mark,))


def brief_words(finding: Finding) -> str:
    """What a finding says, less the evidence in brackets that ends it."""
    return _EVIDENCE.sub("", finding.message.rstrip("."))


def _block(
    owner: str, heading: str, rows: Sequence[Row], none: str, width_mm: float, size_mm: float
) -> Block:
    shown = tuple(rows) or (text_row(none, width_mm, size_mm),)
    return Block(owner, heading, shown)


def _count(found: Sequence[Finding], severity: Severity) -> int:
    return sum([finding.severity == severity for finding in found])


def counts_words(findings: Iterable[Finding], beside: str = "") -> str:
    """Open stops and cautions, and what was not assessed, counted; `beside`: those of the trips."""
    found = tuple(findings)
    if are_hidden(found):
        return HIDDEN_WORDS
    is_open = [finding for finding in found if finding.is_open]
    stops, cautions = _count(is_open, "stop"), _count(is_open, "caution")
    missing = _count(found, "not assessed")
    also = f"; and {beside}" if beside else ""
    return (
        f"{stops} stop{'' if stops == 1 else 's'} and {cautions} "
        f"caution{'' if cautions == 1 else 's'} open, {missing} not assessed{also}"
    )


class FindingBlocks(NamedTuple):
    """Open stops and cautions; accepted ones; what was not assessed; notes. Each may be empty."""

    open: Block
    accepted: tuple[Block, ...]
    unassessed: tuple[Block, ...]
    notes: tuple[Block, ...]


def finding_blocks(
    findings: Sequence[Finding], width_mm: float, size_mm: float, beside: str = ""
) -> FindingBlocks:
    """What was found, in four blocks; `beside` counts the cautions of the trips."""
    rows = functools.partial(_finding_row, width_mm=width_mm, size_mm=size_mm)
    told = grouped(findings)
    is_open = [rows(f) for f in told if f.is_open]
    accepted = [rows(f) for f in told if f.severity in ("stop", "caution") and not f.is_open]
    unassessed = [rows(f) for f in told if f.severity == "not assessed"]
    notes = [rows(f) for f in told if f.severity == "note"]
    none = HIDDEN_WORDS if are_hidden(findings) else "No stop or caution is open."
    if beside and not are_hidden(findings):
        none = f"No stop or caution of the frame is open; {beside}, told there."
        is_open = is_open and [*is_open, text_row(f"And {beside}.", width_mm, size_mm)]
    return FindingBlocks(
        Block(OPEN_OWNER, "OPEN FINDINGS", tuple(is_open) or (text_row(none, width_mm, size_mm),)),
        _some("table:accepted", "ACCEPTED, WITH REASON", accepted),
        _some("table:unassessed", "NOT ASSESSED", unassessed),
        _some("table:rest", "NOTES", notes),
    )


def brief_findings(findings: Sequence[Finding], width_mm: float, size_mm: float) -> Block | None:
    """Open stops and cautions in a few words; None where there is none."""
    told = [one for one in grouped(findings) if one.is_open]
    if not told:
        return None
    rows = tuple(_brief_row(one, width_mm, size_mm) for one in told)
    return Block(OPEN_OWNER, "OPEN FINDINGS", rows, aside="in brief")


def _some(owner: str, heading: str, rows: Sequence[Row]) -> tuple[Block, ...]:
    return (Block(owner, heading, tuple(rows)),) if rows else ()


@functools.lru_cache(maxsize=64)
def order_block(
    steps: tuple[BuildStep, ...],
    stops: tuple[frozenset[str], ...],
    width_mm: float,
    size_mm: float,
) -> Block:
    """The build order; `stops` are the subjects of each open stop, which bars its step."""
    rows: list[Row] = []
    for index, step in enumerate(steps, 1):
        above, below = stop_sentences(steps, index - 1, stops)
        rows += [_stop_row(above, width_mm, size_mm)] if above else []
        rows.append(numbered_row(str(index), step.text, width_mm, size_mm))
        rows += [_stop_row(below, width_mm, size_mm)] if below else []
    return _block("table:order", "BUILD ORDER", rows, "No frame is drawn.", width_mm, size_mm)


def open_stops(findings: Iterable[Finding]) -> tuple[frozenset[str], ...]:
    """The subjects of every open stop."""
    return tuple(frozenset(f.subjects) for f in findings if f.severity == "stop" and f.is_open)


def stop_sentences(
    steps: Sequence[BuildStep], at: int, stops: Iterable[frozenset[str]]
) -> tuple[str, str]:
    """What bars a step, from 0: by what no step puts on, told at the first; by what it puts on."""
    stops = tuple(stops)
    known = {one for step in steps for one in step.subjects}
    elsewhere = at == 0 and any(not known & stop for stop in stops)
    barred = sorted({one for stop in stops for one in _barred(steps, at, stop)})
    return (
        _stop_words("the frame or the limb") if elsewhere else "",
        _stop_words(_things_words(barred)) if barred else "",
    )


def _barred(steps: Sequence[BuildStep], at: int, stop: frozenset[str]) -> frozenset[str]:
    """What a stop bars at a step; a stop about several bars is told once, at the first of them."""
    here = stop.intersection(steps[at].subjects)
    if not here or not all(one.startswith("bar-") for one in stop):
        return here
    earlier = any(stop.intersection(step.subjects) for step in steps[:at])
    return frozenset() if earlier else stop


def _stop_words(about: str) -> str:
    return f"Stop at {about}: settle it first"


def _things_words(ids: Sequence[str]) -> str:
    """Pins and bars by their printed numbers: "pins 1 and 3, bar 2"."""
    told = []
    for word in ("pin", "bar"):
        numbers = sorted(int(one.rpartition("-")[2]) for one in ids if one.startswith(f"{word}-"))
        if numbers:
            plural = "s" if len(numbers) > 1 else ""
            told.append(f"{word}{plural} {listed([str(one) for one in numbers])}")
    return ", ".join(told)


def _stop_row(sentence: str, width_mm: float, size_mm: float) -> Row:
    """The bar to a step: a stop's mark and what it is about, under the step's text."""
    dx = 2.2 * size_mm
    row = marked_row("stop", True, sentence, "", (), width_mm - dx, size_mm)
    return replace(
        row,
        words=tuple(w._replace(dx=w.dx + dx) for w in row.words if w.text),
        marks=tuple(m._replace(dx=m.dx + dx) for m in row.marks),
    )
