"""The sheet for the theatre wall and the case notes: pages of shapes in page millimetres.

A3 lies, with the drawing on the left and the tables on the right; A4 stands, with the drawing
above the tables. What does not fit goes on to further pages, each with title block and cautions.
"""

from collections.abc import Mapping, Sequence
from functools import partial
from typing import NamedTuple

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.checks.rules import rule_set_version
from fixplan.frame.hold_words import sheet_lines
from fixplan.frame.kitlist import kit_list
from fixplan.frame.lengths import PinLength
from fixplan.frame.order import order_lines
from fixplan.sheet.care_block import care_blocks, care_lines
from fixplan.sheet.flow import Flow, height_of
from fixplan.sheet.header import header_shapes
from fixplan.sheet.hold_block import hold_blocks
from fixplan.sheet.layout import Layout, layouts_of, suitable, title_width_mm
from fixplan.sheet.paper import PAPERS, Page, Paper
from fixplan.sheet.picture import draw_picture
from fixplan.sheet.rows import Block
from fixplan.sheet.section_bars import bars_at
from fixplan.sheet.section_cut import Cut, SectionAt, cut_of
from fixplan.sheet.section_picture import SectionDrawing, draw_section
from fixplan.sheet.section_things import things_at
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
from fixplan.sheet.trips_block import trip_blocks, trip_lines
from fixplan.sheet.view_plan import drawn_length_mm, drawn_of, pin_lengths, room_for
from fixplan.sheet.views import ANEW, ViewFrame

__all__ = ["PAPERS", "Page", "Paper", "compose"]

Groups = dict[str, tuple[AnyShape, ...]]


class Content(NamedTuple):
    """What the tables are made from."""

    case: Case
    findings: Sequence[Finding]
    lengths: Mapping[str, PinLength]
    order: tuple[str, ...]
    kit: tuple[str, ...]
    hold: tuple[str, ...]
    care: tuple[str, ...]
    trips: tuple[str, ...]


class Blocks(NamedTuple):
    """The blocks at one width: pins above, building on the left, what was found on the right."""

    pins: Block
    building: tuple[Block, ...]
    finding: tuple[Block, ...]
    rest: tuple[Block, ...]


def _blocks(content: Content, layout: Layout) -> Blocks:
    case, width, size = content.case, layout.column_mm, layout.size_mm
    found = finding_blocks(content.findings, width, size)
    kit = kit_block(content.kit, width, size)
    return Blocks(
        pin_block(case, content.lengths, layout.tables.width, size),
        (bar_block(case, width, size), order_block(content.order, width, size)),
        (found[0], kit),
        (
            *hold_blocks(content.hold, width, size),
            *trip_blocks(content.trips, width, size),
            *care_blocks(content.care, width, size),
            *found[1:],
        ),
    )


class Arranged(NamedTuple):
    """A layout with its tables in place; `needed`: page 1 holds what it must of them."""

    number: int
    layout: Layout
    flow: Flow
    needed: bool

    @property
    def last_page(self) -> int:
        """The number of the last page, counted from 0."""
        spot = self.layout.section
        return max(self.flow.last_page, 0 if spot is None else spot.page)


def _arranged(number: int, layout: Layout, blocks: Blocks, kit: Block | None) -> Arranged:
    """Tables in the columns of as many pages as they need.

    In even arrangements what was found starts its own column, beside the building. `kit` is the
    kit made for the layout's slot, where it fits there.
    """
    wide = Flow([(0, layout.tables)], layout.more_wide)
    wide.add(blocks.pins)
    flow = Flow(layout.columns_below(wide), layout.more)
    flow.pages = wide.pages
    for block in blocks.building:
        flow.add(block)
    if number % 2 == 0:
        flow.next_column()
    for block in blocks.finding if kit is None else blocks.finding[:1]:
        flow.add(block)
    needed = flow.last_page == 0
    for block in blocks.rest:
        flow.add(block)
    if kit is not None and layout.slot is not None:
        flow.put_at(0, layout.slot, kit)
    return Arranged(number, layout, flow, needed)


def _kit_in_slot(content: Content, layout: Layout) -> Block | None:
    """The kit as a block for the layout's slot; None where there is none or it is too high."""
    if layout.slot is None:
        return None
    kit = kit_block(content.kit, layout.slot.width, layout.size_mm)
    return kit if height_of(kit, layout.slot.width) <= layout.slot.height else None


def _arrangement(
    content: Content, layouts: Sequence[Layout], numbers: Sequence[int], kept: int
) -> Arranged:
    """The first of the layouts with all tables on one page; else with what page 1 must hold.

    `numbers` are those of the layouts to be tried, each with both arrangements; `kept` is the
    number of an arrangement to be used as it is.
    """
    blocks: dict[tuple[float, float], Blocks] = {}
    tried = []
    for number in [kept] if kept != ANEW else [2 * n + k for n in numbers for k in (0, 1)]:
        layout = layouts[number // 2]
        at = (layout.column_mm, layout.size_mm)
        if at not in blocks:
            blocks[at] = _blocks(content, layout)
        arranged = _arranged(number, layout, blocks[at], _kit_in_slot(content, layout))
        if arranged.flow.last_page == 0 or number == kept:
            return arranged
        if not layout.is_for_all:
            tried.append(arranged)
    return next((arranged for arranged in tried if arranged.needed), tried[-1])


def _content(case: Case, findings: Sequence[Finding], hold: tuple[str, ...] | None) -> Content:
    kit = tuple(part.words for part in kit_list(case))
    lines = sheet_lines(case) if hold is None else hold
    lengths, order = pin_lengths(case), order_lines(case)
    return Content(
        case, findings, lengths, order, kit, lines, care_lines(case), trip_lines(case, findings)
    )


def compose(
    case: Case,
    findings: Sequence[Finding],
    paper: Paper,
    *,
    printed_at: str = "",
    views: tuple[ViewFrame, ...] = (),
    section_at: SectionAt | None = None,
    hold: tuple[str, ...] | None = None,
) -> tuple[Page, ...]:
    """The pages of a case's sheet.

    `printed_at` is the date as it is to be printed. `views` keeps the frames of an earlier first
    page of that paper, and its arrangement, so that nothing shifts while something is dragged.
    `section_at` is the pin or the (segment, level) that the section is shown at; by default the
    first pin with an open finding, else the first pin. `hold` are the lines about firmness and
    length, worked out anew when not given.
    """
    titles = Titles(counts_words(findings), rule_set_version(), printed_at)
    limb = limb_of_case(case)
    rows = title_rows(case, limb, titles)
    cut = cut_of(case, limb, findings, section_at)
    content = _content(case, findings, hold)
    drawn = drawn_of(case, findings, content.lengths)
    title_mm = title_height_mm(rows, title_width_mm(paper))
    layouts = layouts_of(paper, title_mm, with_section=cut is not None)
    before = views[0].arrangement if views else ANEW
    if not 0 <= before < 2 * len(layouts):
        before = ANEW
    numbers = suitable(layouts, partial(room_for, drawn)) if before == ANEW else ()
    arranged = _arrangement(content, layouts, numbers, before)
    layout = arranged.layout
    kept = tuple(frame._replace(arrangement=ANEW) for frame in views)
    drawing = draw_picture(drawn, findings, layout.drawing, layout.key, kept, cut)
    section = None if cut is None else _section(case, cut, content.lengths, layout)
    shown = tuple(frame._replace(arrangement=arranged.number) for frame in drawing.views)
    pages = []
    for index in range(arranged.last_page + 1):
        groups: Groups = dict(drawing.groups) if index == 0 else {}
        here = section if layout.section is not None and index == layout.section.page else None
        groups.update({} if here is None else here.groups)
        for owner, shapes in arranged.flow.pages.get(index, {}).items():
            groups[owner] = tuple(shapes)
        groups["header"] = header_shapes(case, layout.header_on(index))
        groups.update(_foot(numbered(rows, f"{index + 1} of {arranged.last_page + 1}"), layout))
        frame = None if here is None else here.frame
        pages.append(Page(*layout.paper_mm, groups, shown if index == 0 else (), frame))
    return tuple(pages)


def _section(
    case: Case, cut: Cut, lengths: Mapping[str, PinLength], layout: Layout
) -> SectionDrawing | None:
    """The section at its place in the layout."""
    if layout.section is None:
        return None
    limb = limb_of_case(case)
    lengths_mm = {name: drawn_length_mm(length) for name, length in lengths.items()}
    things = things_at(case, limb, cut, lengths_mm)
    return draw_section(
        cut, limb, case.side, layout.section, lengths_mm, things, bars_at(case, cut)
    )


def _foot(rows: Rows, layout: Layout) -> Groups:
    """Title block, cautions and the patient's field: the same on every page."""
    box = layout.title
    return {
        "title-block": title_shapes(rows, box.right, box.bottom, box.width),
        "cautions": caution_shapes(layout.cautions.x, layout.cautions.y, layout.cautions.width),
        "patient-field": patient_field(layout.patient),
    }
