"""The plane of the section in front and side view, as a cutting plane in engineering drawings.

A fine dash-dot line with heavy ends; arrows point at it in the way of looking, from distal, and the
plane's letter stands behind them (ISO 128).
"""

import functools

from fixplan.sheet.box import Box, touches
from fixplan.sheet.ink import INK, LABEL_LAYER
from fixplan.sheet.marks import CAPITAL, arrow_head, plated_text
from fixplan.sheet.scene import ViewScene
from fixplan.sheet.shapes import AnyShape, Line, Point, Stroke
from fixplan.sheet.strips import unit_vector

OWNER = "section:line"
PLANE_LETTER = "S"
"""The letter of the section's plane; later fixation leaves it out."""
FINE = Stroke(INK, 0.18, "dash-dot")
HEAVY = Stroke(INK, 0.6)
SHAFT = Stroke(INK, 0.25)
HEAVY_MM = 4.0
ARROW_MM = 4.0
LETTER_MM = 3.6
LETTER_OFF_MM = 2.2
BEYOND_MM = 1.4
AROUND_MM = 12.0
STEP_MM = 1.5
STEPS = 24
LETTER_ROOM_MM = 2.2
ARROW_ROOM_MM = 1.6


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


def _end_mark(at: Point, along: Point, distal: Point) -> list[AnyShape]:
    """Heavy stroke, arrow and letter at one end.

    `along` leads inward on the line, `distal` away from it on the viewer's side; unit vectors.
    """
    start = _moved(at, distal, ARROW_MM)
    behind = _letter_at(at, distal)
    heavy = (at, _moved(at, along, HEAVY_MM))
    return [
        Line(owner=OWNER, layer=LABEL_LAYER, points=heavy, stroke=HEAVY),
        Line(owner=OWNER, layer=LABEL_LAYER, points=(at, start), stroke=SHAFT),
        arrow_head(OWNER, at, start),
        *plated_text(
            OWNER,
            (behind[0], behind[1] + 0.5 * CAPITAL * LETTER_MM),
            PLANE_LETTER,
            LETTER_MM,
            align="centre",
            bold=True,
        ),
    ]


def _moved(at: Point, way: Point, by_mm: float) -> Point:
    return at[0] + by_mm * way[0], at[1] + by_mm * way[1]


def _letter_at(at: Point, distal: Point) -> Point:
    return _moved(at, distal, ARROW_MM + LETTER_OFF_MM)


def _clear_end(end: Point, along: Point, distal: Point, taken: tuple[Box, ...]) -> Point:
    """The end, moved inward on the line until its arrow and letter touch nothing that is taken."""
    across = along[0] * end[1] - along[1] * end[0]
    lane_mm = ARROW_MM + LETTER_OFF_MM + 2 * LETTER_ROOM_MM
    taken = tuple(box for box in taken if _reaches(box, along, across, lane_mm))
    for step in range(STEPS):
        at = _moved(end, along, step * STEP_MM)
        letter, arrow = _letter_at(at, distal), _moved(at, distal, 0.5 * ARROW_MM)
        boxes = (_square(letter, LETTER_ROOM_MM), _square(arrow, ARROW_ROOM_MM))
        if not any(touches(box, other) for box in boxes for other in taken):
            return at
    return end


def _reaches(box: Box, along: Point, across: float, lane_mm: float) -> bool:
    """Whether a rectangle comes within a lane on either side of a line."""
    off_mm = along[0] * (box.y + 0.5 * box.height) - along[1] * (box.x + 0.5 * box.width) - across
    return abs(off_mm) <= lane_mm + 0.5 * (box.width + box.height)


def _square(centre: Point, half_mm: float) -> Box:
    return Box(centre[0] - half_mm, centre[1] - half_mm, 2 * half_mm, 2 * half_mm)


@functools.lru_cache(maxsize=256)
def reach_of(scene: ViewScene, segment: str, level_mm: float) -> tuple[float, float] | None:
    """The levels of the page between which line and letters stand; None where there is no line."""
    if not scene.shows_levels(segment):
        return None
    ys = [y for _, y in _ends(scene, segment, level_mm)]
    box = scene.frame.box
    if not all(box.y <= y <= box.bottom for y in ys):
        return None
    return min(ys) - AROUND_MM, max(ys) + AROUND_MM


@functools.lru_cache(maxsize=256)
def plane_line(
    scene: ViewScene, segment: str, level_mm: float, taken: tuple[Box, ...] = ()
) -> tuple[AnyShape, ...]:
    """The plane of a section in one view; nothing where that view does not show the level.

    `taken` is where balloons, letters and words stand.
    """
    if reach_of(scene, segment, level_mm) is None:
        return ()
    first, last = _ends(scene, segment, level_mm)
    along = unit_vector(first, last)
    distal, back = (-along[1], along[0]), (-along[0], -along[1])
    first = _clear_end(first, along, distal, taken)
    last = _clear_end(last, back, distal, taken)
    shapes: list[AnyShape] = [
        Line(owner=OWNER, layer=LABEL_LAYER, points=(first, last), stroke=FINE),
        *_end_mark(first, along, distal),
        *_end_mark(last, back, distal),
    ]
    return tuple(shapes)
