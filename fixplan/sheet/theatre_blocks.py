"""The trip to theatre as blocks of rows: order, pauses, counts, signatures, the case's notes."""

import functools

from msgspec.structs import replace

from fixplan.case.records import Case
from fixplan.sheet.rows import (
    Block,
    Column,
    Row,
    Words,
    head_row,
    numbered_row,
    stacked,
    table_row,
    text_row,
)
from fixplan.sheet.trip_order import Pause, TripStep, pauses, trip_steps

BOX = "\u25a1"
_COUNTS = (("", 0.25), ("Planned", 0.21), ("Opened", 0.2), ("In limb", 0.19), ("Back", 0.15))
_SIGNED = ("Surgeon", "Scrub", "Anaesthesia", "Contact for this plan")


def _cited(text: str, evidence: tuple[str, ...]) -> str:
    """A text with the ids of its evidence; our own choices have none worth printing."""
    shown = [one for one in evidence if not one.startswith("OWN-")]
    return f"{text} ({', '.join(shown)})" if shown else text


@functools.lru_cache(maxsize=64)
def _trip(steps: tuple[TripStep, ...], width_mm: float, size_mm: float) -> Block:
    rows = [
        numbered_row(str(k), _cited(f"{one.title}: {one.text}", one.evidence), width_mm, size_mm)
        for k, one in enumerate(steps, 1)
    ]
    return Block("table:trip", "ORDER OF THE TRIP", tuple(rows), aside="local policy decides")


def trip_block(case: Case, width_mm: float, size_mm: float) -> Block:
    """The whole order of the trip, the frame as one of its steps."""
    return _trip(trip_steps(case), width_mm, size_mm)


def _ticked_row(text: str, width_mm: float, size_mm: float) -> Row:
    row = text_row(text, width_mm, size_mm, dx=1.8 * size_mm, gap_mm=0.4)
    return replace(row, words=(Words(0.0, size_mm, BOX, size_mm), *row.words))


@functools.lru_cache(maxsize=64)
def _pauses(told: tuple[Pause, ...], width_mm: float, size_mm: float) -> Block:
    rows: list[Row] = []
    for one in told:
        lead = _cited(f"{one.name}, {one.moment}", one.evidence)
        first = text_row(lead, width_mm, size_mm, bold=True, gap_mm=0.3)
        items = [_ticked_row(item, width_mm, size_mm) for item in one.items]
        rows.append(stacked((first, *items)))
    aside = "added to the local list, not instead of it"
    return Block("table:pauses", "SAFETY PAUSES", tuple(rows), aside=aside)


def pause_block(case: Case, width_mm: float, size_mm: float) -> Block:
    """The three safety pauses with what a frame adds to them."""
    return _pauses(pauses(case), width_mm, size_mm)


@functools.lru_cache(maxsize=64)
def _counts(counted: tuple[tuple[str, str], ...], width_mm: float, size_mm: float) -> Block:
    columns = tuple(Column(head, share * width_mm) for head, share in _COUNTS)
    rows = tuple(
        table_row(columns, (name, planned, "", "", ""), size_mm) for name, planned in counted
    )
    rows = tuple(replace(row, height_mm=row.height_mm + 0.8 * size_mm) for row in rows)
    return Block("table:counts", "COUNTED IN AND OUT", rows, head_row(columns, size_mm))


def count_block(case: Case, width_mm: float, size_mm: float) -> Block:
    """Pins and bars as planned, beads, each with blanks to be filled in by hand."""
    through = sum(pin.kind == "through" for pin in case.pins)
    counted = [("Half-pins", str(len(case.pins) - through))]
    counted += [("Through-pins", str(through))] if through else []
    counted += [("Bars", str(len(case.bars))), ("Beads", "")]
    return _counts(tuple(counted), width_mm, size_mm)


@functools.lru_cache(maxsize=16)
def signature_block(width_mm: float, size_mm: float) -> Block:
    """Blank fields for a contact and for signatures."""
    columns = (
        Column("", 0.34 * width_mm),
        Column("Name, signature, telephone", 0.44 * width_mm),
        Column("Date, time", 0.22 * width_mm),
    )
    rows = tuple(table_row(columns, (who, "", ""), size_mm) for who in _SIGNED)
    tall = tuple(replace(row, height_mm=row.height_mm + 1.4 * size_mm) for row in rows)
    head = head_row(columns, size_mm)
    return Block("table:signatures", "CONTACT AND SIGNATURES", tall, head)


@functools.lru_cache(maxsize=64)
def case_note_blocks(notes: str, width_mm: float, size_mm: float) -> tuple[Block, ...]:
    """What the user wrote about the case; none where nothing was written."""
    if not notes.strip():
        return ()
    rows = tuple(text_row(line, width_mm, size_mm) for line in notes.strip().splitlines())
    return (Block("table:case-notes", "CASE NOTES", rows),)
