"""The head of the drawing: the side in very large letters, the case, and what nobody checked."""

import functools

from fixplan.case.records import Case
from fixplan.checks.not_assessed import partly_assessed_pins, unassessed_pins
from fixplan.checks.texts import pins_words
from fixplan.sheet.box import Box
from fixplan.sheet.fonts import shortened, text_width_mm, wrapped
from fixplan.sheet.ink import BOLD, INK, PAPER, SOFT_INK, TABLE_LAYER, THIN
from fixplan.sheet.rows import LEADING
from fixplan.sheet.shapes import AnyShape, Fill, Polygon, Text
from fixplan.sheet.title_block import fracture_words, side_word

OWNER = "header"
SIDE_MM = 15.0
WARNING_MM = 4.4
WARNING = "NERVES AND VESSELS"
NOT_ASSESSED = "NOT ASSESSED:"
IN_PART = "ASSESSED IN PART:"
MOST_MM = 76.0
HEADER_MM = 17.0
SCHEMATIC = "Schematic, do not measure"
SCHEMATIC_MM = 3.2


def _text(x: float, y: float, text: str, size_mm: float, bold: bool, colour: str = INK) -> Text:
    return Text(
        owner=OWNER,
        layer=TABLE_LAYER,
        at=(x, y),
        text=text,
        size_mm=size_mm,
        bold=bold,
        colour=colour,
    )


def warning_lines(case: Case) -> tuple[str, ...]:
    """The large warning: which pins nobody looked at nerves and vessels for; empty: none.

    Where naming the pins takes more room than there is, how many they are.
    """
    partly = partly_assessed_pins(case)
    wholly = [pin for pin in unassessed_pins(case) if pin not in partly]
    if not wholly and not partly:
        return ()
    named = _named(pins_words(wholly) if wholly else "", pins_words(partly) if partly else "")
    if text_width_mm(named, WARNING_MM, True) > MOST_MM:
        named = _named(_counted(len(wholly)), _counted(len(partly)))
    return WARNING, named


def _counted(count: int) -> str:
    return f"{count} pin{'' if count == 1 else 's'}" if count else ""


def _named(wholly: str, partly: str) -> str:
    """In capitals: "not assessed: pin 1", "assessed in part: pin 6", both with the word once."""
    if not wholly:
        return f"{IN_PART} {partly}".upper()
    numbers = partly.removeprefix("Pins ").removeprefix("Pin ")
    return f"{NOT_ASSESSED} {wholly}{f', in part {numbers}' if partly else ''}".upper()


def _warning(lines: tuple[str, ...], right: float, y: float) -> tuple[list[AnyShape], float]:
    """The large warning, if any, with the small one beneath, in a box at the right; its left edge.

    The box is as large as its words.
    """
    widths = [text_width_mm(line, WARNING_MM, True) for line in lines]
    width = max(*widths, text_width_mm(SCHEMATIC, SCHEMATIC_MM, False), 0.0) + 4.0
    large = LEADING * WARNING_MM * len(lines)
    box = Box(right - width, y, width, large + LEADING * SCHEMATIC_MM + 1.6)
    stroke = BOLD if lines else THIN
    shapes: list[AnyShape] = [
        Polygon(owner=OWNER, layer=TABLE_LAYER, points=box.corners, stroke=stroke, fill=Fill(PAPER))
    ]
    for index, line in enumerate(lines):
        level = y + 0.8 + WARNING_MM + LEADING * WARNING_MM * index
        shapes.append(_text(box.x + 2.0, level, line, WARNING_MM, True))
    shapes.append(_text(box.x + 2.0, box.bottom - 1.6, SCHEMATIC, SCHEMATIC_MM, False))
    return shapes, box.x


def _in_rows(lines: tuple[str, ...], most: int) -> tuple[str, ...]:
    """Lines in at most so many rows; what is over goes on in the last one, to be shortened."""
    return (*lines[: most - 1], " ".join(lines[most - 1 :])) if len(lines) > most else lines


@functools.lru_cache(maxsize=32)
def _header(
    side: str, title: str, below: str, lines: tuple[str, ...], box: Box
) -> tuple[AnyShape, ...]:
    shapes, edge = _warning(lines, box.right, box.y)
    shapes.append(_text(box.x, box.y + 0.76 * SIDE_MM, side, SIDE_MM, True))
    x = box.x + text_width_mm(side, SIDE_MM, True) + 6.0
    room = edge - x - 4.0
    lines = wrapped(title, 4.2, room, True)[:2]
    y = box.y + 4.2
    for line in lines:
        shapes.append(_text(x, y, line, 4.2, True))
        y += LEADING * 4.2
    for line in _in_rows(wrapped(below, 2.8, room), 3 - len(lines)):
        shapes.append(_text(x, y - 0.8, shortened(line, 2.8, room), 2.8, False, SOFT_INK))
        y += LEADING * 2.8
    return tuple(shapes)


def header_shapes(case: Case, box: Box) -> tuple[AnyShape, ...]:
    """The head of a page across a box of `HEADER_MM`."""
    title = case.label or "Plan without a title"
    return _header(side_word(case), title, fracture_words(case), warning_lines(case), box)
