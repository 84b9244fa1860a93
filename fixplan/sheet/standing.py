"""Where words, balloons and letters stand on the page, as rectangles."""

import functools
from collections.abc import Iterable
from math import inf

from fixplan.sheet.box import Box
from fixplan.sheet.fonts import text_width_mm
from fixplan.sheet.marks import CAPITAL
from fixplan.sheet.shapes import AnyShape, Disc, Text

BELOW = 0.2
"""How far letters reach below the baseline, as a share of the text size."""
FIGURES = frozenset("0123456789\u00d8.")
"""What stands on the baseline: a text of these alone does not reach below it."""
SMALLEST_DISC_MM = 1.5
"""Smaller discs are dots of a drawing, not balloons."""


@functools.lru_cache(maxsize=1024)
def text_box(text: Text) -> Box:
    """The rectangle of a line of text; one that is turned by a right angle stands on its end."""
    size = text.size_mm
    width = text_width_mm(text.text, size, text.bold, text.italic)
    before = {"left": 0.0, "centre": 0.5, "right": 1.0}[text.align] * width
    x, y = text.at
    above, below = CAPITAL * size, (0.05 if FIGURES.issuperset(text.text) else BELOW) * size
    turn = text.turn_deg % 360.0
    if turn == 90.0:
        return Box(x - below, y - before, above + below, width)
    if turn == 270.0:
        return Box(x - above, y + before - width, above + below, width)
    return Box(x - before, y - above, width, above + below)


def standing(shapes: Iterable[AnyShape], top: float = -inf, bottom: float = inf) -> list[Box]:
    """The rectangles of words and balloons among some shapes, those anchored between two levels."""
    boxes = []
    for shape in shapes:
        if type(shape) is Text:
            if top <= shape.at[1] <= bottom and shape.text.strip():
                boxes.append(text_box(shape))
        elif type(shape) is Disc:
            (x, y), radius = shape.centre, shape.radius_mm
            if radius >= SMALLEST_DISC_MM and top <= y <= bottom:
                boxes.append(Box(x - radius, y - radius, 2 * radius, 2 * radius))
    return boxes
