"""The ward page: one standing A4 in large letters, two columns of boxes, room to write."""

from collections.abc import Sequence
from datetime import datetime

from fixplan.case.file import snapshot_id
from fixplan.case.records import Case
from fixplan.sheet.box import Box
from fixplan.sheet.flow import Flow, height_of
from fixplan.sheet.header import SIDE_MM
from fixplan.sheet.ink import BOLD, INK, SMALL_MM, SOFT_INK, TABLE_LAYER, THIN
from fixplan.sheet.paper import MARGIN_MM, PAPERS, Page
from fixplan.sheet.rows import Block, text_row
from fixplan.sheet.shapes import AnyShape, Line, Text
from fixplan.sheet.title_block import caution_lines, caution_shapes, patient_field, side_word
from fixplan.trips.ward import Told, ward_sections

OWNER = "ward"
SIZES_MM = (3.6, 3.4, 3.2, 3.0, 2.8, 2.6)
GAP_MM = 6.0
HEAD_MM = 30.0
PATIENT_MM = 62.0
LINE_MM = 3.6


def ward_pages(case: Case, now: datetime, printed_at: str = "") -> tuple[Page, ...]:
    """The page for a case, in the largest letters that leave it on one page.

    More pages only where not even the smallest letters do. Raises LibraryError, and TripsError for
    a time zone that is not known.
    """
    width, height = PAPERS["A4"]
    foot = height - MARGIN_MM - LINE_MM * len(caution_lines(width - 2 * MARGIN_MM)) - 6.0
    room = Box(MARGIN_MM, MARGIN_MM + HEAD_MM, width - 2 * MARGIN_MM, foot - MARGIN_MM - HEAD_MM)
    flow = _fitting(ward_sections(case, now), room)
    dated = f", printed {printed_at}" if printed_at else ""
    pages = []
    for number in range(flow.last_page + 1):
        words = f"Plan {snapshot_id(case)}{dated}, page {number + 1} of {flow.last_page + 1}"
        groups: dict[str, tuple[AnyShape, ...]] = {
            "header": _head(case, width),
            "patient-field": patient_field(
                Box(width - MARGIN_MM - PATIENT_MM, MARGIN_MM, PATIENT_MM, HEAD_MM - 5.0)
            ),
            "rule": (_rule(room),),
            "title-block": (_text(MARGIN_MM, foot + 2.0, words, SMALL_MM, colour=SOFT_INK),),
            "cautions": caution_shapes(MARGIN_MM, foot + 3.5, width - 2 * MARGIN_MM),
        }
        for owner, shapes in flow.pages.get(number, {}).items():
            groups[owner] = tuple(shapes)
        pages.append(Page(width, height, groups))
    return tuple(pages)


def _fitting(told: Sequence[Told], room: Box) -> Flow:
    """The boxes in two columns, the letters as large as they can be."""
    flow = _flow(told, room, SIZES_MM[0])
    for size in SIZES_MM[1:]:
        if flow.last_page == 0:
            break
        flow = _flow(told, room, size)
    return flow


def _rule(room: Box) -> Line:
    middle = room.x + room.width / 2
    points = ((middle, room.y), (middle, room.bottom))
    return Line(owner=OWNER, layer=TABLE_LAYER, points=points, stroke=THIN)


def _flow(told: Sequence[Told], room: Box, size_mm: float) -> Flow:
    column = (room.width - GAP_MM) / 2
    left = Box(room.x, room.y, column, room.height)
    right = Box(room.x + column + GAP_MM, room.y, column, room.height)
    flow = Flow([(0, left), (0, right)], lambda _: [left, right])
    blocks = [_block(one, column, size_mm) for one in told]
    half = sum(height_of(block, column) for block in blocks) / 2
    used, is_left = 0.0, True
    for block in blocks:
        if is_left and used + height_of(block, column) / 2 > half:
            flow.next_column()
            is_left = False
        used += height_of(block, column)
        flow.add(block, whole=True)
    return flow


def _block(one: Told, width_mm: float, size_mm: float) -> Block:
    rows = tuple(text_row(line, width_mm, size_mm, gap_mm=0.45 * size_mm) for line in one.lines)
    return Block(f"ward:{one.id}", one.title.upper(), rows)


def _head(case: Case, width: float) -> tuple[AnyShape, ...]:
    top = MARGIN_MM + SIDE_MM
    level = MARGIN_MM + HEAD_MM - 3.0
    return (
        _text(MARGIN_MM, top, f"{side_word(case)} {case.limb}".upper(), 11.0, bold=True),
        _text(MARGIN_MM, top + 8.0, "For the ward: limb in a frame", 5.0, bold=True),
        Line(
            owner=OWNER,
            layer=TABLE_LAYER,
            points=((MARGIN_MM, level), (width - MARGIN_MM, level)),
            stroke=BOLD,
        ),
    )


def _text(
    x: float, y: float, text: str, size_mm: float, *, bold: bool = False, colour: str = INK
) -> Text:
    return Text(
        owner=OWNER,
        layer=TABLE_LAYER,
        at=(x, y),
        text=text,
        size_mm=size_mm,
        bold=bold,
        colour=colour,
    )
