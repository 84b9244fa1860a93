"""Charts of a class: marks in tens of percent, and how well each part was kept."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from fixplan.sheet.box import Box
from fixplan.sheet.fonts import shortened, wrapped
from fixplan.sheet.ink import FAINT_INK, INK, METAL, SMALL_MM, SOFT_INK, TABLE_LAYER, TEXT_MM
from fixplan.sheet.shapes import Align, AnyShape, Fill, Line, Point, Polygon, Stroke, Text
from fixplan.teach.class_figures import BIN_PERCENT, PartFigures

OWNER = "class"
LIGHT = "#c9d1d8"
ROW_MM = 6.8
BAR_MM = 44.0
NUMBER_MM = 16.0
LAST_MM = 20.0
AXIS = Stroke(SOFT_INK, 0.2)


def words(
    at: Point,
    text: str,
    size_mm: float = SMALL_MM,
    *,
    bold: bool = False,
    colour: str = INK,
    align: Align = "left",
) -> Text:
    """A line of text of the report."""
    return Text(
        owner=OWNER,
        layer=TABLE_LAYER,
        at=at,
        text=text,
        size_mm=size_mm,
        bold=bold,
        colour=colour,
        align=align,
    )


def histogram_shapes(counts: Sequence[int], pass_percent: float, box: Box) -> Iterator[AnyShape]:
    """A bar for each ten percent with its count, and the line from which an answer passes."""
    most = max((*counts, 1))
    width = box.width / len(counts)
    base, room = box.bottom - 9.0, box.height - 16.0
    for number, count in enumerate(counts):
        x, tall = box.x + number * width, room * count / most
        bar = Box(x + 0.1 * width, base - tall, 0.8 * width, tall)
        if count:
            yield _filled(bar, METAL)
            middle = bar.x + bar.width / 2
            yield words((middle, bar.y - 1.2), str(count), TEXT_MM, align="centre")
        yield words((x, base + 4.0), f"{number * BIN_PERCENT}", colour=SOFT_INK, align="centre")
    yield words((box.right, base + 4.0), "100 %", colour=SOFT_INK, align="centre")
    yield Line(owner=OWNER, layer=TABLE_LAYER, points=((box.x, base), (box.right, base)))
    x = box.x + box.width * pass_percent / 100
    stroke = Stroke(INK, 0.35, "dash")
    yield Line(
        owner=OWNER, layer=TABLE_LAYER, points=((x, box.y + 3.0), (x, base + 1.0)), stroke=stroke
    )
    yield words((x, box.y + 1.6), f"passes from {pass_percent:g} %", align="centre")


class Columns(NamedTuple):
    """Where the columns of the list of parts begin."""

    words: float
    bar: float
    numbers: tuple[float, float, float]
    words_mm: float


def columns_in(box: Box) -> Columns:
    """The columns in a box."""
    right = box.right
    numbers = (right - LAST_MM - NUMBER_MM, right - LAST_MM, right)
    bar = numbers[0] - NUMBER_MM - BAR_MM
    return Columns(box.x, bar, numbers, bar - box.x - 4.0)


def part_heads(columns: Columns, y: float) -> Iterator[AnyShape]:
    """The heads of the list of parts."""
    yield words((columns.words, y), "What counts", bold=True)
    yield words((columns.bar, y), "kept | in part | missed", bold=True)
    for x, text in zip(columns.numbers, ("mean", "points", "tells apart"), strict=True):
        yield words((x, y), text, bold=True, align="right")


def part_row(part: PartFigures, columns: Columns, y: float) -> Iterator[AnyShape]:
    """One part: kept, in part and missed as a bar; mean credit, points, and r with the rest."""
    first, *rest = wrapped(part.words, SMALL_MM, columns.words_mm)
    yield words((columns.words, y), first)
    if rest:
        second = shortened(" ".join(rest), SMALL_MM, columns.words_mm, False)
        yield words((columns.words, y + 3.0), second)
    x = columns.bar
    partly = max(1.0 - part.kept_share - part.none_share, 0.0)
    for share, tint in ((part.kept_share, METAL), (partly, LIGHT), (part.none_share, "#ffffff")):
        wide = BAR_MM * share
        if wide > 0.05:
            yield _filled(Box(x, y - 2.4, wide, 3.4), tint, Stroke(INK, 0.15))
        x += wide
    told = "" if part.with_rest is None else f"{part.with_rest:+.2f}"
    figures = (f"{100 * part.mean_credit:.0f} %", f"{part.weight:g}", told)
    for at, text in zip(columns.numbers, figures, strict=True):
        yield words((at, y), text, align="right")


def _filled(box: Box, tint: str, stroke: Stroke | None = None) -> Polygon:
    return Polygon(
        owner=OWNER, layer=TABLE_LAYER, points=box.corners, stroke=stroke, fill=Fill(tint)
    )


def rule_line(box: Box, y: float) -> Line:
    """A fine line across a box."""
    ends = ((box.x, y), (box.right, y))
    return Line(owner=OWNER, layer=TABLE_LAYER, points=ends, stroke=Stroke(FAINT_INK, 0.15))
