"""What the words of a sheet are made from, and its blocks at one width and size of text."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from typing import NamedTuple

from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.frame.lengths import PinLength
from fixplan.frame.order import BuildStep, build_order
from fixplan.sheet.blocks import BlockName, SheetBlocks
from fixplan.sheet.care_block import care_blocks, care_lines
from fixplan.sheet.hold_block import hold_blocks
from fixplan.sheet.ink import HEAD_MM
from fixplan.sheet.kit_blocks import KitTold, brief_block, other_blocks, tray_block
from fixplan.sheet.paper import Paper
from fixplan.sheet.pin_labels import Marked
from fixplan.sheet.rows import Block
from fixplan.sheet.statements import brief_findings, finding_blocks, open_stops, order_block
from fixplan.sheet.tables import bar_block, pin_block
from fixplan.sheet.theatre_blocks import (
    case_note_blocks,
    count_block,
    pause_block,
    signature_block,
    trip_block,
)
from fixplan.sheet.trips_block import trip_blocks, trip_lines
from fixplan.sheet.wall import wall_block
from fixplan.trips.open_prompts import caution_words


class Content(NamedTuple):
    """What the words are made from."""

    case: Case
    findings: Sequence[Finding]
    lengths: Mapping[str, PinLength]
    marks: Mapping[str, Marked]
    order: tuple[BuildStep, ...]
    kit: KitTold
    hold: tuple[str, ...]
    blocks: SheetBlocks
    now: datetime | None = None


def content_of(
    case: Case,
    findings: Sequence[Finding],
    lengths: Mapping[str, PinLength],
    marks: Mapping[str, Marked],
    kit: KitTold,
    hold: tuple[str, ...],
    blocks: SheetBlocks,
    now: datetime | None = None,
) -> Content:
    """The same with the build order worked out."""
    return Content(case, findings, lengths, marks, build_order(case), kit, hold, blocks, now)


class WallBlocks(NamedTuple):
    """The wall side: pins in large figures, the build order, what is open, what to open.

    `rest`, accepted findings and what was not assessed, may go on overleaf.
    """

    pins: Block
    building: tuple[Block, ...]
    finding: tuple[Block, ...]
    kit: tuple[Block, ...]
    rest: tuple[Block, ...]


def wall_blocks(
    content: Content,
    paper: Paper,
    width_mm: float,
    column_mm: float,
    size_mm: float,
    *,
    small: bool = False,
    brief: bool = False,
) -> WallBlocks:
    """The blocks of the wall side, as they were chosen; `small`: the figures of the pins.

    `brief`: what was found in a few words, and in full among the rest.
    """
    case = content.case
    marks = content.marks
    pins = wall_block(case, content.lengths, marks, paper, width_mm, size_mm, small=small)
    beside = caution_words(case, content.findings)
    found = finding_blocks(content.findings, column_mm, size_mm, beside)
    order = order_block(content.order, open_stops(content.findings), column_mm, size_mm)
    kit = brief_block(content.kit.brief, column_mm, size_mm)
    short = brief_findings(content.findings, column_mm, size_mm) if brief else None
    full = () if short is None else (found.open._replace(owner="table:open-full", aside="in full"),)
    return WallBlocks(
        _headed(pins, size_mm),
        (_headed(order, size_mm),) if content.blocks.has("order") else (),
        (_headed(short or found.open, size_mm),),
        (_headed(kit, size_mm),) if content.blocks.has("kit") else (),
        tuple(_headed(one, size_mm) for one in (*full, *found.accepted, *found.unassessed)),
    )


def wide_blocks(content: Content, width_mm: float, size_mm: float) -> tuple[Block, ...]:
    """The wide tables of the detail side."""
    if not content.blocks.has("pins"):
        return ()
    return (_headed(pin_block(content.case, content.lengths, width_mm, size_mm), size_mm),)


def detail_blocks(content: Content, width_mm: float, size_mm: float) -> tuple[Block, ...]:
    """The narrow blocks of the detail side, as they were chosen, in their order."""
    return tuple(
        _headed(block, size_mm)
        for name, block in _details(content, width_mm, size_mm)
        if content.blocks.has(name)
    )


def _details(
    content: Content, width_mm: float, size_mm: float
) -> Iterator[tuple[BlockName, Block]]:
    case, at = content.case, (width_mm, size_mm)
    yield "bars", bar_block(case, *at)
    yield "kit", tray_block(content.kit, *at)
    yield from (("other-kit", block) for block in other_blocks(content.kit.other, *at))
    yield from (("firmness", block) for block in hold_blocks(content.hold, *at))
    notes = finding_blocks(content.findings, *at).notes
    yield from (("rule-notes", block) for block in notes)
    due = trip_lines(case, content.findings, content.now)
    yield from (("due", block) for block in trip_blocks(due, *at))
    yield from (("care", block) for block in care_blocks(care_lines(case), *at))
    yield "trip", trip_block(case, *at)
    yield "pauses", pause_block(case, *at)
    yield "counts", count_block(case, *at)
    yield "signatures", signature_block(*at)
    yield from (("case-notes", block) for block in case_note_blocks(case.notes, *at))


def _headed(block: Block, size_mm: float) -> Block:
    """A block whose heading is larger than its text."""
    return block._replace(heading_mm=max(HEAD_MM, round(1.1 * size_mm, 1)))
