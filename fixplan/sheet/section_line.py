"""The plane of the section in front and side view, as a cutting plane in engineering drawings.

A fine dash-dot line with heavy ends; arrows point at it in the way of looking, from distal, and the
plane's letter stands behind them (ISO 128).
"""

import functools

from fixplan.sheet.clipping import clipped_lines
from fixplan.sheet.ink import INK, LABEL_LAYER
from fixplan.sheet.marks import CAPITAL, arrow_head, plated_text
from fixplan.sheet.scene import ViewScene
from fixplan.sheet.shapes import AnyShape, Line, Point, Stroke
from fixplan.sheet.strips import unit_vector

OWNER = "section:line"
FINE = Stroke(INK, 0.18, "dash-dot")
HEAVY = Stroke(INK, 0.6)
SHAFT = Stroke(INK, 0.25)
HEAVY_MM = 4.0
ARROW_MM = 4.0
LETTER_MM = 3.6
LETTER_OFF_MM = 2.2
BEYOND_MM = 1.4


def _ends(scene: ViewScene, segment: str, level_mm: float) -> tuple[Point, Point]:
    """Page points of the line's ends, at the left and right edge of what is drawn."""
    a, b = scene.drawn(segment, [(0.0, level_mm), (1.0, level_mm)])
    if abs(b[1] - a[1]) > abs(b[0] - a[0]):
        return _ends_of_steep(scene, a, b)
    if a[0] > b[0]:
        a, b = b, a
    slope = (b[1] - a[1]) / (b[0] - a[0])
    left, right = scene.frame.limits
    xs = (left - BEYOND_MM, right + BEYOND_MM)
    first, last = ((x, a[1] + slope * (x - a[0])) for x in xs)
    return first, last


def _ends_of_steep(scene: ViewScene, a: Point, b: Point) -> tuple[Point, Point]:
    """The same for a segment that lies across the page: from its upper to its lower edge."""
    lean = (b[0] - a[0]) / (b[1] - a[1])
    ys = (scene.frame.box.y, scene.frame.box.bottom)
    first, last = ((a[0] + lean * (y - a[1]), y) for y in ys)
    return first, last


def _end_mark(letter: str, at: Point, along: Point, distal: Point) -> list[AnyShape]:
    """Heavy stroke, arrow and letter at one end.

    `along` leads inward on the line, `distal` away from it on the viewer's side; unit vectors.
    """
    start = _moved(at, distal, ARROW_MM)
    behind = _moved(at, distal, ARROW_MM + LETTER_OFF_MM)
    heavy = (at, _moved(at, along, HEAVY_MM))
    return [
        Line(owner=OWNER, layer=LABEL_LAYER, points=heavy, stroke=HEAVY),
        Line(owner=OWNER, layer=LABEL_LAYER, points=(at, start), stroke=SHAFT),
        arrow_head(OWNER, at, start),
        *plated_text(
            OWNER,
            (behind[0], behind[1] + 0.5 * CAPITAL * LETTER_MM),
            letter,
            LETTER_MM,
            align="centre",
            bold=True,
        ),
    ]


def _moved(at: Point, way: Point, by_mm: float) -> Point:
    return at[0] + by_mm * way[0], at[1] + by_mm * way[1]


@functools.lru_cache(maxsize=256)
def plane_line(
    scene: ViewScene, segment: str, level_mm: float, letter: str
) -> tuple[AnyShape, ...]:
    """The plane of a section in one view; nothing where that view does not show the level."""
    if not scene.shows_levels(segment):
        return ()
    first, last = _ends(scene, segment, level_mm)
    box = scene.frame.box
    if not all(box.y <= y <= box.bottom for _, y in (first, last)):
        return ()
    wide = box._replace(x=first[0] - 1.0, width=last[0] - first[0] + 2.0)
    shapes: list[AnyShape] = [
        Line(owner=OWNER, layer=LABEL_LAYER, points=tuple(piece), stroke=FINE)
        for piece in clipped_lines([first, last], wide, closed=False)
    ]
    along = unit_vector(first, last)
    distal = (-along[1], along[0])
    shapes += _end_mark(letter, first, along, distal)
    shapes += _end_mark(letter, last, (-along[0], -along[1]), distal)
    return tuple(shapes)
