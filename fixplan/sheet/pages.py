"""The sheet for the theatre wall and the case notes: pages of shapes in page millimetres.

A3 lies, with the drawing on the left and the tables on the right; A4 stands, with the drawing
above the tables. What does not fit goes on to further pages, each with title block and cautions.
"""

from collections.abc import Sequence

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.checks.rules import rule_set_version
from fixplan.frame.kitlist import kit_list
from fixplan.frame.order import order_lines
from fixplan.sheet.flow import Flow
from fixplan.sheet.header import header_shapes
from fixplan.sheet.layout import Layout, layout_of
from fixplan.sheet.paper import PAPERS, Page, Paper
from fixplan.sheet.picture import draw_picture
from fixplan.sheet.rows import Block
from fixplan.sheet.shapes import AnyShape
from fixplan.sheet.statements import counts_words, finding_blocks, kit_block, order_block
from fixplan.sheet.tables import bar_block, pin_block
from fixplan.sheet.title_block import (
    Titles,
    caution_shapes,
    patient_field,
    title_height_mm,
    title_shapes,
)
from fixplan.sheet.views import ViewFrame

__all__ = ["PAPERS", "Page", "Paper", "compose"]

Groups = dict[str, tuple[AnyShape, ...]]


def _blocks(case: Case, findings: Sequence[Finding], width: float, size: float) -> list[Block]:
    """What stands in the narrow columns, most needed first."""
    kit = tuple(part.words for part in kit_list(case))
    found = finding_blocks(findings, width, size)
    return [
        bar_block(case, width, size),
        order_block(order_lines(case), width, size),
        *found[:1],
        kit_block(kit, width, size),
        *found[1:],
    ]


def _flowed(case: Case, findings: Sequence[Finding], layout: Layout) -> Flow:
    """All tables put into the columns of as many pages as they need."""
    limb = limb_of_case(case)
    wide = Flow([(0, layout.tables)], layout.more_wide)
    wide.add(pin_block(case, limb, layout.tables.width, layout.size_mm))
    flow = Flow(layout.columns_below(wide), layout.more)
    flow.pages = wide.pages
    for block in _blocks(case, findings, layout.column_mm, layout.size_mm):
        flow.add(block)
    return flow


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
    limb = limb_of_case(case)
    titles = Titles(counts_words(findings), rule_set_version(), printed_at, "1 of 1")
    layout = layout_of(paper, lambda width: title_height_mm(case, limb, titles, width))
    kept = (views[0], views[1]) if len(views) == 2 else None
    drawing = draw_picture(case, findings, layout.drawing, kept)
    flow = _flowed(case, findings, layout)
    count = flow.last_page + 1
    pages = []
    for index in range(count):
        groups: Groups = dict(drawing.groups) if index == 0 else {}
        for owner, shapes in flow.pages.get(index, {}).items():
            groups[owner] = tuple(shapes)
        groups["header"] = header_shapes(case, layout.header)
        numbered = titles._replace(page=f"{index + 1} of {count}")
        groups.update(_foot(case, numbered, layout))
        shown = drawing.views if index == 0 else ()
        pages.append(Page(*layout.paper_mm, groups, shown))
    return tuple(pages)


def _foot(case: Case, titles: Titles, layout: Layout) -> Groups:
    """Title block, cautions and the patient's field: the same on every page."""
    box = layout.title
    return {
        "title-block": title_shapes(
            case, limb_of_case(case), titles, box.right, box.bottom, box.width
        ),
        "cautions": caution_shapes(layout.cautions.x, layout.cautions.y, layout.cautions.width),
        "patient-field": patient_field(layout.patient),
    }
