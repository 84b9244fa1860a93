"""Printed text as rows: each row knows its height and what stands in it, before it has a place.

A block is a heading and its rows; rows are never cut, so a block can go on in the next column.
"""

import functools
from collections.abc import Sequence
from typing import NamedTuple

import msgspec
from msgspec.structs import replace

from fixplan.case.scalars import Severity
from fixplan.sheet.fonts import text_width_mm, wrapped
from fixplan.sheet.ink import HEAD_MM, INK, SMALL_MM, SOFT_INK, TABLE_LAYER, TABLE_RULE
from fixplan.sheet.marks import severity_mark
from fixplan.sheet.shapes import Align, AnyShape, Line, Text

LEADING = 1.32
"""Line pitch as a share of the text size."""


class Words(NamedTuple):
    """One line of text, from the row's upper left corner to its baseline, mm."""

    dx: float
    dy: float
    text: str
    size_mm: float
    bold: bool = False
    italic: bool = False
    colour: str = INK
    align: Align = "left"


class Mark(NamedTuple):
    """A severity mark, from the row's upper left corner to its centre, mm."""

    dx: float
    dy: float
    severity: Severity
    radius_mm: float
    is_open: bool = True


class Row(msgspec.Struct, frozen=True, eq=False):
    """Something that is never cut by the end of a column; `rule` draws a fine line beneath it.

    Compared by identity, so that placed rows are found again quickly: rows are remembered.
    """

    height_mm: float
    words: tuple[Words, ...] = ()
    marks: tuple[Mark, ...] = ()
    rule: bool = False


class Block(NamedTuple):
    """A heading, a head row that is repeated where the block goes on, and the rows."""

    owner: str
    heading: str
    rows: tuple[Row, ...]
    head: Row | None = None
    aside: str = ""
    heading_mm: float = HEAD_MM


class Column(NamedTuple):
    """A column of a table: its head, width and alignment."""

    head: str
    width_mm: float
    align: Align = "left"
    bold: bool = False


@functools.lru_cache(maxsize=1024)
def text_row(
    text: str,
    width_mm: float,
    size_mm: float,
    *,
    dx: float = 0.0,
    bold: bool = False,
    italic: bool = False,
    colour: str = INK,
    gap_mm: float = 0.6,
) -> Row:
    """A wrapped text as one row, `dx` from the left edge."""
    pitch = LEADING * size_mm
    lines = wrapped(text, size_mm, width_mm - dx, bold)
    words = tuple(
        Words(dx, pitch * k + size_mm, line, size_mm, bold, italic, colour)
        for k, line in enumerate(lines)
    )
    return Row(pitch * len(lines) + gap_mm, words)


def numbered_row(number: str, text: str, width_mm: float, size_mm: float) -> Row:
    """A numbered line of an order."""
    row = text_row(text, width_mm, size_mm, dx=2.2 * size_mm, gap_mm=0.3)
    return replace(row, words=(Words(0.0, size_mm, number, size_mm, bold=True), *row.words))


def stacked(rows: Sequence[Row]) -> Row:
    """Rows beneath each other as one that is never cut."""
    words: list[Words] = []
    marks: list[Mark] = []
    height = 0.0
    for row in rows:
        words += [w._replace(dy=w.dy + height) for w in row.words]
        marks += [m._replace(dy=m.dy + height) for m in row.marks]
        height += row.height_mm
    return Row(height, tuple(words), tuple(marks))


def marked_row(
    severity: Severity,
    is_open: bool,
    lead: str,
    aside: str,
    texts: Sequence[str],
    width_mm: float,
    size_mm: float,
) -> Row:
    """A finding: its mark, what it is about in bold with a quiet aside, and texts beneath."""
    radius, dx = 0.62 * size_mm, 2.0 * size_mm
    pitch, height = LEADING * size_mm, 0.0
    words: list[Words] = []
    for index, text in enumerate((lead, *texts)):
        for line in wrapped(text, size_mm, width_mm - dx, index == 0):
            words.append(Words(dx, height + size_mm, line, size_mm, index == 0))
            height += pitch
    after = dx + text_width_mm(lead, size_mm, True) + 1.6
    if after + text_width_mm(aside, SMALL_MM) <= width_mm:
        words.append(Words(after, size_mm, aside, SMALL_MM, colour=SOFT_INK))
    else:
        words.append(Words(dx, height + size_mm, aside, SMALL_MM, colour=SOFT_INK))
        height += pitch
    mark = Mark(radius + 0.2, 0.68 * size_mm, severity, radius, is_open)
    return Row(height + 0.8, tuple(words), (mark,))


def _cell(column: Column, x: float, text: str, size_mm: float, head: bool) -> list[Words]:
    bold = head or column.bold
    inner = column.width_mm - 1.6
    dx = x + {"left": 0.0, "centre": 0.5 * inner, "right": inner}[column.align]
    colour = SOFT_INK if head else INK
    return [
        Words(
            dx,
            LEADING * size_mm * k + size_mm,
            line,
            size_mm,
            bold,
            colour=colour,
            align=column.align,
        )
        for k, line in enumerate(wrapped(text, size_mm, inner, bold))
    ]


def table_row(
    columns: Sequence[Column], cells: Sequence[str], size_mm: float, head: bool = False
) -> Row:
    """One row of a table; each cell wraps in its column."""
    words: list[Words] = []
    x = 0.0
    for column, text in zip(columns, cells, strict=True):
        words += _cell(column, x, text, size_mm, head)
        x += column.width_mm
    lowest = max((w.dy for w in words), default=size_mm)
    return Row(lowest + 0.45 * size_mm, tuple(words), rule=True)


@functools.lru_cache(maxsize=64)
def head_row(columns: tuple[Column, ...], size_mm: float) -> Row:
    """The head of a table."""
    return table_row(columns, [column.head for column in columns], size_mm, head=True)


@functools.lru_cache(maxsize=512)
def heading_row(text: str, aside: str, width_mm: float, size_mm: float = HEAD_MM) -> Row:
    """A block's heading, with a quieter text after it."""
    first = text_row(text, width_mm, size_mm, bold=True, gap_mm=0.8)
    if not aside:
        return first
    small = round(0.82 * size_mm, 1)
    dx = text_width_mm(text, size_mm, True) + 2.0
    if len(first.words) == 1 and dx + text_width_mm(aside, small) <= width_mm:
        beside = Words(dx, size_mm, aside, small, colour=SOFT_INK)
        return replace(first, words=(*first.words, beside))
    under = text_row(aside, width_mm, small, colour=SOFT_INK)
    moved = tuple(w._replace(dy=w.dy + first.height_mm) for w in under.words)
    return Row(first.height_mm + under.height_mm, first.words + moved)


@functools.lru_cache(maxsize=4096)
def placed(owner: str, row: Row, x: float, y: float, width_mm: float) -> tuple[AnyShape, ...]:
    """The shapes of a row whose upper left corner is put at (x, y) on the page."""
    shapes: list[AnyShape] = [
        Text(
            owner=owner,
            layer=TABLE_LAYER,
            at=(x + w.dx, y + w.dy),
            text=w.text,
            size_mm=w.size_mm,
            bold=w.bold,
            italic=w.italic,
            colour=w.colour,
            align=w.align,
        )
        for w in row.words
        if w.text
    ]
    for m in row.marks:
        shapes += severity_mark(owner, m.severity, (x + m.dx, y + m.dy), m.radius_mm, m.is_open)
    if row.rule:
        level = y + row.height_mm - 0.2
        shapes.append(
            Line(
                owner=owner,
                layer=TABLE_LAYER,
                stroke=TABLE_RULE,
                points=((x, level), (x + width_mm, level)),
            )
        )
    return tuple(shapes)
