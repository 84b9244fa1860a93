"""The sheet for the theatre wall and the case notes: pages of shapes in page millimetres.

A3 lies, with the drawing on the left and the tables on the right; A4 stands, with the drawing
above the tables. What does not fit goes on to further pages, each with title block and cautions.
"""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.checks.rules import rule_set_version
from fixplan.frame.kitlist import kit_list
from fixplan.frame.lengths import PinLength
from fixplan.frame.order import order_lines
from fixplan.sheet.flow import Flow
from fixplan.sheet.header import header_shapes
from fixplan.sheet.layout import Layout, layouts_of
from fixplan.sheet.paper import PAPERS, Page, Paper
from fixplan.sheet.picture import draw_picture, pin_lengths
from fixplan.sheet.rows import Block
from fixplan.sheet.shapes import AnyShape
from fixplan.sheet.statements import counts_words, finding_blocks, kit_block, order_block
from fixplan.sheet.tables import bar_block, pin_block
from fixplan.sheet.title_block import (
    Rows,
    Titles,
    caution_shapes,
    numbered,
    patient_field,
    title_height_mm,
    title_rows,
    title_shapes,
)
from fixplan.sheet.views import ViewFrame

__all__ = ["PAPERS", "Page", "Paper", "compose"]

Groups = dict[str, tuple[AnyShape, ...]]


class Blocks(NamedTuple):
    """What stands in the narrow columns: the building on the left, what was found on the right."""

    building: tuple[Block, ...]
    finding: tuple[Block, ...]
    rest: tuple[Block, ...]


def _blocks(case: Case, findings: Sequence[Finding], width: float, size: float) -> Blocks:
    kit = tuple(part.words for part in kit_list(case))
    found = finding_blocks(findings, width, size)
    return Blocks(
        (bar_block(case, width, size), order_block(order_lines(case), width, size)),
        tuple(found[:1]),
        (kit_block(kit, width, size), *found[1:]),
    )


class Filled(NamedTuple):
    """A layout with its tables in place; `needed` tells whether page 1 holds what it must."""

    layout: Layout
    flow: Flow
    needed: bool


class Content(NamedTuple):
    """What the tables are made from."""

    case: Case
    findings: Sequence[Finding]
    lengths: Mapping[str, PinLength]


def _filled(content: Content, layout: Layout, *, parted: bool) -> Filled:
    """Tables in the columns of as many pages as they need.

    Parted: what was found starts its own column, beside the building.
    """
    case, findings, lengths = content
    wide = Flow([(0, layout.tables)], layout.more_wide)
    wide.add(pin_block(case, lengths, layout.tables.width, layout.size_mm))
    flow = Flow(layout.columns_below(wide), layout.more)
    flow.pages = wide.pages
    blocks = _blocks(case, findings, layout.column_mm, layout.size_mm)
    for block in blocks.building:
        flow.add(block)
    if parted:
        flow.next_column()
    for block in blocks.finding:
        flow.add(block)
    needed = flow.last_page == 0
    for block in blocks.rest:
        flow.add(block)
    return Filled(layout, flow, needed)


def _best(content: Content, layouts: Sequence[Layout], views: tuple[ViewFrame, ...]) -> Filled:
    """The roomiest layout with all on one page; else with what page 1 must hold."""
    lowest = max((frame.box.bottom for frame in views), default=0.0)
    possible = [layout for layout in layouts if layout.drawing.bottom >= lowest] or list(layouts)
    tried = []
    for layout in possible:
        for parted in (True, False):
            filled = _filled(content, layout, parted=parted)
            if filled.flow.last_page == 0:
                return filled
            tried.append(filled)
    return next((filled for filled in tried if filled.needed), tried[-1])


def compose(
    case: Case,
    findings: Sequence[Finding],
    paper: Paper,
    *,
    printed_at: str = "",
    views: tuple[ViewFrame, ...] = (),
) -> tuple[Page, ...]:
    """The pages of a case's sheet.

    `printed_at` is the date as it is to be printed. `views` keeps the frames of an earlier first
    page, so that nothing shifts while something is dragged.
    """
    titles = Titles(counts_words(findings), rule_set_version(), printed_at)
    rows = title_rows(case, limb_of_case(case), titles)
    layouts = layouts_of(paper, lambda width: title_height_mm(rows, width))
    lengths = pin_lengths(case)
    layout, flow, _ = _best(Content(case, findings, lengths), layouts, views)
    kept = (views[0], views[1]) if len(views) == 2 else None
    drawing = draw_picture(case, findings, lengths, layout.drawing, kept)
    count = flow.last_page + 1
    pages = []
    for index in range(count):
        groups: Groups = dict(drawing.groups) if index == 0 else {}
        for owner, shapes in flow.pages.get(index, {}).items():
            groups[owner] = tuple(shapes)
        groups["header"] = header_shapes(case, layout.header)
        groups.update(_foot(numbered(rows, f"{index + 1} of {count}"), layout))
        shown = drawing.views if index == 0 else ()
        pages.append(Page(*layout.paper_mm, groups, shown))
    return tuple(pages)


def _foot(rows: Rows, layout: Layout) -> Groups:
    """Title block, cautions and the patient's field: the same on every page."""
    box = layout.title
    return {
        "title-block": title_shapes(rows, box.right, box.bottom, box.width),
        "cautions": caution_shapes(layout.cautions.x, layout.cautions.y, layout.cautions.width),
        "patient-field": patient_field(layout.patient),
    }
