"""A page of its own: side in large letters, the drawing, and sections in words beneath.

For the unit that receives the patient on A4, and as a tall picture that a telephone shows.
"""

from collections.abc import Sequence
from typing import NamedTuple

import msgspec

from fixplan.case.records import Case
from fixplan.notes.ghost import Groups, was_drawn
from fixplan.notes.identity import NOBODY, Identity
from fixplan.notes.scaled import scaled
from fixplan.notes.section import Section, Told
from fixplan.notes.sections import closing_lines
from fixplan.sheet.box import Box
from fixplan.sheet.flow import Flow
from fixplan.sheet.fonts import shortened, text_width_mm, wrapped
from fixplan.sheet.ink import BOLD, INK, SOFT_INK, TABLE_LAYER
from fixplan.sheet.paper import Page
from fixplan.sheet.picture import draw_picture
from fixplan.sheet.rows import LEADING, Block, Row, numbered_row, table_row, text_row
from fixplan.sheet.rows import Column as TableColumn
from fixplan.sheet.shapes import AnyShape, Line, Text
from fixplan.sheet.title_block import fracture_words, patient_field, side_word
from fixplan.sheet.view_plan import drawn_of, pin_lengths

LEFT_OUT = ("key", "legend", "dimensions")
WAS_WORDS = "Grey and dashed: as it was before"


class Size(NamedTuple):
    """Paper and text, mm. `picture_mm`: how high the drawing is; `columns` of words beneath.

    `shrunk`: the drawing is made for a larger sheet and shrunk, its letters with it. `label_mm`: a
    blank field for the patient's label at the upper right; 0: none.
    """

    width_mm: float
    height_mm: float
    margin_mm: float
    side_mm: float
    text_mm: float
    picture_mm: float
    columns: int
    shrunk: float = 1.0
    label_mm: tuple[float, float] = (0.0, 0.0)


A4 = Size(210.0, 297.0, 10.0, 12.0, 3.0, 100.0, 2, 0.7, label_mm=(62.0, 22.0))
PHONE = Size(108.0, 192.0, 5.0, 10.0, 3.9, 80.0, 1, 0.4)
PHONE_DPI = 254.0
"""A telephone's picture is 1080 dots wide and 1920 high; text is then 39 dots high."""


class Wanted(msgspec.Struct, frozen=True, kw_only=True, eq=False):
    """What stands on the page: its heading, the plan, sections, and an earlier case to compare."""

    heading: str
    told: Told
    sections: tuple[Section, ...]
    before: Case | None = None


def pages_of(wanted: Wanted, size: Size, *, most: int = 9) -> tuple[Page, ...]:
    """The pages; words that do not fit go on to further ones, `most` of which are given."""
    top, head = head_of(wanted, size)
    picture, bottom = _picture(wanted, size, top)
    flow = _flow(wanted, size, bottom)
    foot = _foot(wanted.told, size)
    count = min(flow.last_page + 1, most)
    made = []
    for number in range(count):
        groups: dict[str, tuple[AnyShape, ...]] = dict(picture) if number == 0 else {}
        groups["heading"] = head
        groups.update({owner: tuple(s) for owner, s in flow.pages.get(number, {}).items()})
        left_out = flow.last_page + 1 > most and number == most - 1
        groups["foot"] = (*foot, *_page_number(number, flow.last_page + 1, size, left_out))
        made.append(Page(size.width_mm, size.height_mm, groups))
    return tuple(made)


def head_of(wanted: Wanted, size: Size) -> tuple[float, tuple[AnyShape, ...]]:
    """The side, the heading, what is broken, and who it is for; where the drawing begins."""
    case = wanted.told.case
    left, room = size.margin_mm, size.width_mm - 2 * size.margin_mm
    side = side_word(case)
    y = size.margin_mm + 0.8 * size.side_mm
    shapes: list[AnyShape] = [_text(left, y, side, size.side_mm, bold=True)]
    beside = left + text_width_mm(side, size.side_mm, True) + 4.0
    wide, high = size.label_mm
    if wide:
        room -= wide + 3.0
        shapes += patient_field(Box(left + room + 3.0, size.margin_mm, wide, high))
    told = (wanted.heading, case.label, fracture_words(case), *_names(wanted.told.identity))
    line = size.margin_mm + size.text_mm
    for number, words in enumerate(part for part in told if part):
        width = left + room - beside
        for part in wrapped(words, size.text_mm, width, number == 0):
            shapes.append(_text(beside, line, part, size.text_mm, bold=number == 0))
            line += LEADING * size.text_mm
    bottom = max(y + 0.3 * size.side_mm, line - 0.5 * size.text_mm, size.margin_mm + high + 1.5)
    rule = ((left, bottom), (size.width_mm - size.margin_mm, bottom))
    shapes.append(Line(owner="heading", layer=TABLE_LAYER, points=rule, stroke=BOLD))
    return bottom + 2.0, tuple(shapes)


def _names(identity: Identity) -> tuple[str, ...]:
    return () if identity == NOBODY else ("; ".join(identity.lines()),)


def _picture(
    wanted: Wanted, size: Size, top: float
) -> tuple[dict[str, tuple[AnyShape, ...]], float]:
    """Front and side view, an earlier frame beneath in grey; and where the words begin."""
    case, findings = wanted.told.case, wanted.told.findings
    width = size.width_mm - 2 * size.margin_mm
    box = Box(0.0, 0.0, width / size.shrunk, size.picture_mm / size.shrunk)
    key = Box(box.right, box.y, 12.0, 30.0)
    drawing = draw_picture(drawn_of(case, findings, pin_lengths(case)), findings, box, key)
    groups = {owner: shapes for owner, shapes in drawing.groups.items() if owner not in LEFT_OUT}
    bottom = top + size.shrunk * max(frame.box.bottom for frame in drawing.views) + 2.0
    was: Groups = {}
    if wanted.before is not None:
        was = was_drawn(wanted.before, case, (box, key, drawing.views))
    placed = {
        owner: scaled(shapes, size.shrunk, (size.margin_mm, top))
        for owner, shapes in _beneath(groups, was).items()
    }
    if was:
        y = bottom + size.text_mm
        placed["was"] = (_text(size.margin_mm, y, WAS_WORDS, size.text_mm, colour=SOFT_INK),)
        bottom += LEADING * size.text_mm + 1.0
    return placed, bottom


def _beneath(
    groups: dict[str, tuple[AnyShape, ...]], was: Groups
) -> dict[str, tuple[AnyShape, ...]]:
    """The earlier frame above limb and regions, below the frame of now."""
    found: dict[str, tuple[AnyShape, ...]] = {}
    is_put = False
    for owner, shapes in groups.items():
        if not is_put and owner.startswith(("pin-", "bar-")):
            found.update(was)
            is_put = True
        found[owner] = shapes
    return found if is_put else {**found, **was}


def _flow(wanted: Wanted, size: Size, top: float) -> Flow:
    foot = _foot_mm(wanted.told, size)
    bottom = size.height_mm - size.margin_mm - foot - 2.0
    first = [(0, box) for box in _columns(size, top, bottom)]
    flow = Flow(first, lambda _: _columns(size, head_of(wanted, size)[0], bottom))
    width = first[0][1].width
    for section in wanted.sections:
        if section.lines or section.rows:
            flow.add(_block(section, width, size.text_mm))
    return flow


def _columns(size: Size, top: float, bottom: float) -> list[Box]:
    between = 5.0
    room = size.width_mm - 2 * size.margin_mm - between * (size.columns - 1)
    width = room / size.columns
    return [
        Box(size.margin_mm + n * (width + between), top, width, bottom - top)
        for n in range(size.columns)
    ]


def _block(section: Section, width_mm: float, size_mm: float) -> Block:
    owner = f"section:{section.heading}"
    rows: list[Row] = []
    for number, line in enumerate(section.lines, start=1):
        if section.is_counted:
            rows.append(numbered_row(str(number), line, width_mm, size_mm))
        else:
            indent = size_mm if line.startswith(" ") else 0.0
            rows.append(text_row(line.strip(), width_mm, size_mm, dx=indent))
    head = None
    if section.rows:
        columns = _table_columns(section, width_mm, size_mm)
        head = table_row(columns, [one.head for one in columns], size_mm, head=True)
        rows += [table_row(columns, row, size_mm) for row in section.rows]
    return Block(owner, section.heading.upper(), tuple(rows), head)


def _table_columns(section: Section, width_mm: float, size_mm: float) -> Sequence[TableColumn]:
    """Columns as wide as their words need; the widest takes what is left, and wraps."""
    widest = [
        max(text_width_mm(text, size_mm, True) for text in (column.head, *cells)) + 2.5
        for column, *cells in zip(section.columns, *section.rows, strict=True)
    ]
    widest_at = widest.index(max(widest))
    rest = width_mm - sum(widest) + widest[widest_at]
    widest[widest_at] = max(rest, 0.25 * width_mm)
    return [
        TableColumn(column.head, wide) for column, wide in zip(section.columns, widest, strict=True)
    ]


def _foot_lines(told: Told, size: Size) -> list[str]:
    room = size.width_mm - 2 * size.margin_mm
    return [part for line in closing_lines(told) for part in wrapped(line, _small(size), room)]


def _small(size: Size) -> float:
    return round(0.82 * size.text_mm, 1)


def _foot_mm(told: Told, size: Size) -> float:
    return LEADING * _small(size) * (len(_foot_lines(told, size)) + 1)


def _foot(told: Told, size: Size) -> tuple[AnyShape, ...]:
    """Cautions and versions, on every page."""
    lines = _foot_lines(told, size)
    top = size.height_mm - size.margin_mm - _foot_mm(told, size) + _small(size)
    return tuple(
        _text(size.margin_mm, top + LEADING * _small(size) * n, line, _small(size), colour=SOFT_INK)
        for n, line in enumerate(lines)
    )


def _page_number(number: int, count: int, size: Size, left_out: bool) -> tuple[AnyShape, ...]:
    if count == 1:
        return ()
    words = f"Page {number + 1} of {count}"
    if left_out:
        words = "More in the case notes: not all fits here"
    shown = shortened(words, _small(size), size.width_mm - 2 * size.margin_mm)
    y = size.height_mm - size.margin_mm
    return (_text(size.margin_mm, y, shown, _small(size), bold=True),)


def _text(
    x: float, y: float, text: str, size_mm: float, *, bold: bool = False, colour: str = INK
) -> Text:
    return Text(
        owner="heading",
        layer=TABLE_LAYER,
        at=(x, y),
        text=text,
        size_mm=size_mm,
        bold=bold,
        colour=colour,
    )
