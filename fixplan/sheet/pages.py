"""The sheet for the theatre wall and the case notes: pages of shapes in page millimetres.

The first page is the wall side and works alone; further pages are the detail side, each with title
block and cautions.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.checks.rules import rule_set_version
from fixplan.frame.hold_words import sheet_lines
from fixplan.frame.lengths import PinLength
from fixplan.sheet.arranging import Arranged, arranged_as, arrangement, arrangement_in
from fixplan.sheet.blocks import ALL, SheetBlocks
from fixplan.sheet.contents import Content, content_of
from fixplan.sheet.header import header_shapes
from fixplan.sheet.held_views import held_in
from fixplan.sheet.kit_blocks import KitTold, kit_told
from fixplan.sheet.layout import (
    Layout,
    choice_of,
    is_choice,
    layout_of,
    places_on,
    title_width_mm,
)
from fixplan.sheet.legend import OVERLEAF
from fixplan.sheet.paper import PAPERS, Page, Paper
from fixplan.sheet.picture import draw_picture
from fixplan.sheet.section_bars import bars_at
from fixplan.sheet.section_cut import Cut, SectionAt, cut_of
from fixplan.sheet.section_halves import other_bone
from fixplan.sheet.section_picture import SectionDrawing, draw_section
from fixplan.sheet.section_things import things_at
from fixplan.sheet.shapes import AnyShape
from fixplan.sheet.statements import counts_words
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
from fixplan.sheet.view_plan import Drawn, drawn_length_mm, drawn_of, pin_lengths
from fixplan.sheet.views import ANEW, ViewFrame
from fixplan.trips.open_prompts import caution_words

__all__ = ["PAPERS", "Page", "Paper", "compose"]

Groups = dict[str, tuple[AnyShape, ...]]


def compose(
    case: Case,
    findings: Sequence[Finding],
    paper: Paper,
    *,
    printed_at: str = "",
    views: tuple[ViewFrame, ...] = (),
    held: tuple[ViewFrame, ...] = (),
    section_at: SectionAt | None = None,
    hold: tuple[str, ...] | None = None,
    kit: KitTold | None = None,
    blocks: SheetBlocks = ALL,
    later: tuple[Page, ...] = (),
    now: datetime | None = None,
) -> tuple[Page, ...]:
    """The pages of a case's sheet.

    `printed_at` is the date as it is to be printed. `views` keeps the frames of an earlier first
    page of that paper, and its arrangement, so that nothing shifts while something is dragged.
    `held` keeps scale and place of the limb alone, as long as all that is planned finds room.
    `section_at` is the pin or the (segment, level) that the section is shown at; by default the
    pin of the worst open finding, else the first pin. `hold` are the lines about firmness and
    length, `kit` what is to be opened, both worked out anew when not given. `blocks` are those to
    be shown beside what stands on every sheet. `later` are pages of an earlier sheet that stand
    for all but the first one, for as long as nobody sees them; kept only with `views`. What is due
    is late as of `now`.
    """
    titles = Titles(
        counts_words(findings, caution_words(case, findings)), rule_set_version(), printed_at
    )
    limb = limb_of_case(case)
    rows = title_rows(case, limb, titles)
    cut = cut_of(case, limb, findings, section_at) if blocks.has("section") else None
    lengths = pin_lengths(case)
    drawn = drawn_of(case, findings, lengths)
    if paper == "A4" and cut is not None:
        drawn = drawn._replace(legend=(*drawn.legend, OVERLEAF))
    content = content_of(
        case,
        findings,
        lengths,
        drawn.marks,
        kit_told(case) if kit is None else kit,
        sheet_lines(case) if hold is None else hold,
        blocks,
        now,
    )
    title_mm = title_height_mm(rows, title_width_mm(paper))
    with_section = cut is not None
    arranged = _kept(content, paper, title_mm, views, with_section=with_section, later=later)
    if arranged is None and held:
        arranged, views = _held(content, drawn, paper, title_mm, held, with_section=with_section)
    if arranged is None:
        arranged = arrangement(content, drawn, paper, title_mm, with_section=with_section)
        later = ()
    return _pages(content, drawn, arranged, rows, views, cut, later)


def _kept(
    content: Content,
    paper: Paper,
    title_mm: float,
    views: tuple[ViewFrame, ...],
    *,
    with_section: bool,
    later: tuple[Page, ...],
) -> Arranged | None:
    """The arrangement that kept views were made for; None where there is none."""
    if not views or views[0].arrangement == ANEW:
        return None
    choice = choice_of(views[0].arrangement)
    if not is_choice(paper, choice, with_section=with_section):
        return None
    return arranged_as(content, paper, title_mm, choice, with_details=not later)


def _held(
    content: Content,
    drawn: Drawn,
    paper: Paper,
    title_mm: float,
    held: tuple[ViewFrame, ...],
    *,
    with_section: bool,
) -> tuple[Arranged | None, tuple[ViewFrame, ...]]:
    """An arrangement round a limb that keeps scale and place, and its frames; None if none can."""
    before = choice_of(held[0].arrangement)
    for place in places_on(paper, before.place, with_section=with_section):
        box = layout_of(paper, title_mm, before._replace(place=place)).drawing
        frames = held_in(drawn, box, held)
        if frames is not None:
            return arrangement_in(content, paper, title_mm, place, before.drawing), frames
    return None, ()


def _pages(
    content: Content,
    drawn: Drawn,
    arranged: Arranged,
    rows: Rows,
    views: tuple[ViewFrame, ...],
    cut: Cut | None,
    later: tuple[Page, ...],
) -> tuple[Page, ...]:
    case, layout = content.case, arranged.layout
    kept = tuple(frame._replace(arrangement=ANEW) for frame in views)
    drawing = draw_picture(drawn, content.findings, layout.drawing, layout.key, kept, cut)
    last_page = len(later) or arranged.last_page
    spot = layout.section
    is_seen = spot is not None and (spot.page == 0 or not later)
    section = _section(case, cut, content.lengths, layout) if cut is not None and is_seen else None
    number = arranged.choice.number
    shown = tuple(frame._replace(arrangement=number) for frame in drawing.views)
    pages = []
    for index in range(1 if later else last_page + 1):
        groups: Groups = dict(drawing.groups) if index == 0 else {}
        here = section if layout.section is not None and index == layout.section.page else None
        groups.update({} if here is None else here.groups)
        for owner, shapes in arranged.flow.pages.get(index, {}).items():
            groups[owner] = tuple(shapes)
        groups["header"] = header_shapes(case, layout.header_on(index))
        groups.update(_foot(numbered(rows, f"{index + 1} of {last_page + 1}"), layout))
        frame = None if here is None else here.frame
        pages.append(Page(*layout.paper_mm, groups, shown if index == 0 else (), frame))
    return (*pages, *later)


def _section(
    case: Case, cut: Cut, lengths: Mapping[str, PinLength], layout: Layout
) -> SectionDrawing | None:
    """The section at its place in the layout."""
    if layout.section is None:
        return None
    limb = limb_of_case(case)
    lengths_mm = {name: drawn_length_mm(length) for name, length in lengths.items()}
    things = things_at(case, limb, cut, lengths_mm)
    other = other_bone(limb, cut.bone, cut.level_mm, case.side)
    far = cut._replace(segment=limb.bones[other].segment, bone=other, pin=None) if other else None
    beside = things_at(case, limb, far, lengths_mm) if far is not None else None
    bars = bars_at(case, cut)
    return draw_section(cut, limb, case.side, layout.section, lengths_mm, things, bars, beside)


def _foot(rows: Rows, layout: Layout) -> Groups:
    """Title block, cautions and the patient's field: the same on every page."""
    box = layout.title
    return {
        "title-block": title_shapes(rows, box.right, box.bottom, box.width),
        "cautions": caution_shapes(layout.cautions.x, layout.cautions.y, layout.cautions.width),
        "patient-field": patient_field(layout.patient),
    }
