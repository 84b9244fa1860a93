"""The pins in figures that can be read from across the theatre: number, diameter, level."""

import functools
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Pin
from fixplan.checks.texts import number
from fixplan.frame.lengths import PinLength
from fixplan.frame.pin_words import at_skin_words, edge_of, place_lines, place_words
from fixplan.geometry.paths import pin_path
from fixplan.limb.anatomy import Limb
from fixplan.limb.kinds import limb_kind
from fixplan.sheet.fonts import text_width_mm, wrapped
from fixplan.sheet.paper import Paper
from fixplan.sheet.pin_labels import Marked
from fixplan.sheet.rows import LEADING, Block, Mark, Row, Words, text_row
from fixplan.sheet.tables import bar_sizes, entry_texts

OWNER = "table:wall"
HEADING = "PINS"
ASIDE = "number, diameter Ø, level, in mm;"
FIGURE_MM: dict[Paper, float] = {"A4": 13.9, "A3": 19.3}
"""Text size whose capitals are at least 10 mm high on A4 and 14 mm on A3 (font: 0.729 of it).

14 mm is 16 minutes of arc at 3 m, 10 mm at 2.1 m: the least character height of ISO 9241-3 and
NUREG-0700 (rev. 2, 1.3.1-4); see tests/validation/test_wall_figures.py.
"""
MOST_IN_FIGURES = 12
"""More pins than this cannot stand in large figures beside a drawing."""
MOST_IN_SMALL = 30
"""More than this cannot stand in small figures either."""
SMALL_SHARE = 0.6
"""Of the large figures, how large those of many pins are (ours)."""
SMALL_COLUMNS = 3
RAISED = 0.78
GAP_MM = 3.5
LEVEL_GAPS_EM = (0.55, 0.3)
"""Between diameter and level, as wanted and at the least: "\u00d85 4" must never read as 54."""
LEAST_ASIDE_MM = 28.0
ASIDE_EMS = 10.5
ASIDE_MM = 2.5
MARK_MM = 1.9
MARK_INDENT_MM = 2 * MARK_MM + 1.0
"""The mark of what was found at a pin leads its words, so that it is no other pin's."""
CELL_GAP_MM = 5.0


class Told(NamedTuple):
    """A pin as the wall shows it."""

    number: str
    diameter: str
    level: str
    where: str
    entry: str
    mark: Marked | None


def told_of(
    limb: Limb, pin: Pin, length: PinLength, mark: Marked | None, *, with_bone: bool
) -> Told:
    """A pin's figures, and what they mean in words; `with_bone` names the bone."""
    return _unmarked(limb, pin, length.stock_mm, with_bone)._replace(mark=mark)


@functools.lru_cache(maxsize=1024)
def _unmarked(limb: Limb, pin: Pin, stock: float | None, with_bone: bool) -> Told:
    path = pin_path(limb, pin)
    words = place_words(limb, pin)
    figure, _, where = words.partition(" mm ")
    if not where:
        figure, where = (words.removeprefix("level ").removesuffix(" mm"), "level of the segment")
        figure, where = ("0", words) if not figure.isdigit() else (figure, where)
    long = f"length {number(stock)}" if stock is not None else "no length stocked"
    lines = entry_texts(limb, pin).split("\n")
    texts = ", ".join(lines if edge_of(limb, pin) is None else lines[1:])
    told = (_imaged_of_plate(limb, pin), at_skin_words(path), texts, long)
    entry = "; ".join(text for text in told if text)
    where = f"{limb.bones[pin.bone].title}: {where}" if with_bone else where
    return Told(str(pin.number), f"Ø{pin.diameter_mm:g}", figure, where, entry, None)


def _imaged_of_plate(limb: Limb, pin: Pin) -> str:
    """Where a pin enters a plate as the image shows it, which is what such a pin is placed by."""
    lines = place_lines(limb, pin)
    return lines[-1] if limb.bones[pin.bone].is_plate and len(lines) > 2 else ""


@functools.lru_cache(maxsize=256)
def _widths(told: tuple[Told, ...], size_mm: float, gap_mm: float) -> tuple[float, float]:
    """Width of the numbers, and of a diameter with its level, the widest of each."""
    wide = functools.partial(text_width_mm, size_mm=size_mm, bold=True)
    first = max(wide(one.number) for one in told)
    last = max(wide(one.diameter) for one in told) + max(wide(one.level) for one in told)
    return first, last + gap_mm


class Lay(NamedTuple):
    """How the pins' cells are laid: widths of the figures, of the cell, and both sizes of text."""

    figures_mm: tuple[float, float]
    cell_mm: float
    size_mm: float
    text_mm: float

    @property
    def second_mm(self) -> float:
        """Where the diameters begin."""
        return self.figures_mm[0] + GAP_MM

    @property
    def third_mm(self) -> float:
        """Where the levels end."""
        return self.second_mm + self.figures_mm[1]

    @property
    def words_at(self) -> tuple[float, float]:
        """Upper left corner of the words: beside the figures where there is room, else beneath."""
        beside = self.third_mm + ASIDE_MM
        if self.cell_mm - beside >= max(LEAST_ASIDE_MM, ASIDE_EMS * self.text_mm):
            return beside, 0.0
        return 0.0, (RAISED + 0.12) * self.size_mm


@functools.lru_cache(maxsize=256)
def _cell(told: Told, lay: Lay) -> Row:
    """One pin: its figures, and words for them."""
    base, size = RAISED * lay.size_mm, lay.size_mm
    figures = (
        Words(0.0, base, told.number, size, True),
        Words(lay.second_mm, base, told.diameter, size, True),
        Words(lay.third_mm, base, told.level, size, True, align="right"),
    )
    dx, top = lay.words_at
    dx += MARK_INDENT_MM if told.mark is not None else 0.0
    room = lay.cell_mm - dx
    pitch = LEADING * lay.text_mm
    texts = [
        (line, is_bold)
        for text, is_bold in ((told.where, True), (told.entry, False))
        if text
        for line in wrapped(text, lay.text_mm, room, is_bold)
    ]
    words = tuple(
        Words(dx, top + lay.text_mm + pitch * k, line, lay.text_mm, is_bold)
        for k, (line, is_bold) in enumerate(texts)
    )
    marks: tuple[Mark, ...] = ()
    if told.mark is not None:
        at = (dx - MARK_INDENT_MM + MARK_MM, top + MARK_MM + 0.2)
        marks = (Mark(*at, told.mark.severity, MARK_MM, told.mark.is_open),)
    height = max(base + 1.0, top + pitch * len(texts)) + 2.0
    return Row(height, (*figures, *words), marks)


def _joined(cells: Sequence[Row], step_mm: float) -> Row:
    """Cells side by side as one row."""
    words = tuple(
        w._replace(dx=w.dx + k * step_mm) for k, cell in enumerate(cells) for w in cell.words
    )
    marks = tuple(
        m._replace(dx=m.dx + k * step_mm) for k, cell in enumerate(cells) for m in cell.marks
    )
    return Row(max(cell.height_mm for cell in cells), words, marks)


@functools.lru_cache(maxsize=64)
def _rows(
    told: tuple[Told, ...], width_mm: float, size_mm: float, text_mm: float
) -> tuple[Row, ...]:
    """Two pins a row where they fit, the first half of them in the left column."""
    half_mm = 0.5 * width_mm - CELL_GAP_MM
    for gap_em in LEVEL_GAPS_EM:
        lay = Lay(_widths(told, size_mm, gap_em * size_mm), half_mm, size_mm, text_mm)
        if lay.third_mm <= half_mm:
            break
    else:
        wide = Lay(_widths(told, size_mm, LEVEL_GAPS_EM[0] * size_mm), 0.0, size_mm, text_mm)
        wide = wide._replace(cell_mm=width_mm - CELL_GAP_MM)
        return tuple(_cell(one, wide) for one in told)
    cells = [_cell(one, lay) for one in told]
    half = (len(cells) + 1) // 2
    return tuple(
        _joined([cells[k], *cells[half + k : half + k + 1]], lay.cell_mm + CELL_GAP_MM)
        for k in range(half)
    )


@functools.lru_cache(maxsize=16)
def _small_rows(
    told: tuple[Told, ...], width_mm: float, size_mm: float, text_mm: float
) -> tuple[Row, ...]:
    """Many pins in three columns of small figures, each with the place that its level is told from.

    They run down the first column, then down the next.
    """
    step = width_mm / SMALL_COLUMNS
    widths = _widths(told, size_mm, LEVEL_GAPS_EM[0] * size_mm)
    lay = Lay(widths, step - CELL_GAP_MM, size_mm, text_mm)
    cells = [_cell(one._replace(entry=""), lay) for one in told]
    count = -(-len(cells) // SMALL_COLUMNS)
    return tuple(_joined(cells[k::count], step) for k in range(count))


def bar_line(case: Case) -> str:
    """Every bar in brief: its number, diameter, length and how far off the skin it runs."""
    told = []
    for bar in case.bars:
        diameter, length, off = bar_sizes(case, bar)
        words = f"{bar.number}: \u00d8{diameter}, {length.partition(',')[0]}"
        words += f", {off} off the skin" if off else ""
        told.append(words.replace(" ", "\u00a0"))
    return "Bars, mm: " + " \u00b7 ".join(told)


def _many_rows(
    told: tuple[Told, ...], paper: Paper, width_mm: float, text_mm: float
) -> tuple[Row, ...]:
    """More pins than have room in large figures: what it costs is said above them."""
    if len(told) > MOST_IN_SMALL:
        return (text_row(f"{len(told)} pins: see the pin table.", width_mm, 2 * text_mm),)
    words = f"{len(told)} pins: figures smaller than the wall asks for; entry sides and "
    head = text_row(f"{words}lengths stand in the pin table.", width_mm, text_mm)
    return (head, *_small_rows(told, width_mm, SMALL_SHARE * FIGURE_MM[paper], text_mm))


def wall_block(
    case: Case,
    lengths: Mapping[str, PinLength],
    marks: Mapping[str, Marked],
    paper: Paper,
    width_mm: float,
    text_mm: float,
    *,
    small: bool = False,
) -> Block:
    """The pins in large figures; `lengths` holds the pins that can be drawn, `marks` by pin id.

    `small`: in smaller figures, as when there are too many pins for large ones.
    """
    limb = limb_of_case(case)
    known = [pin for pin in case.pins if pin.id in lengths]
    several = len({pin.bone for pin in known}) > 1
    named = several and not limb_kind(limb.kind).has_both_sides
    told = tuple(
        told_of(limb, pin, lengths[pin.id], marks.get(pin.id), with_bone=named) for pin in known
    )
    bones = "" if several or not known else f" all in the {limb.bones[known[0].bone].title}"
    rows: tuple[Row, ...]
    if not told:
        rows = (text_row("No pin is drawn.", width_mm, text_mm),)
    elif small or len(told) > MOST_IN_FIGURES:
        rows = _many_rows(told, paper, width_mm, text_mm)
    else:
        rows = _rows(told, width_mm, FIGURE_MM[paper], text_mm)
    if case.bars:
        rows = (*rows, text_row(bar_line(case), width_mm, text_mm))
    return Block(OWNER, HEADING, rows, aside=f"{ASIDE}{bones}".rstrip(";"))
