"""The four words round the section: medial and lateral beside it, the others above and below.

Each stands close to the skin, moved along it as far as leaders, the pin and letters ask for.
"""

import functools
from collections.abc import Sequence

from fixplan.sheet.box import Box, touches
from fixplan.sheet.crossing import crosses
from fixplan.sheet.fonts import text_width_mm
from fixplan.sheet.ink import LABEL_LAYER, SMALL_MM
from fixplan.sheet.marks import CAPITAL
from fixplan.sheet.section_frame import RING_MM, SectionFrame
from fixplan.sheet.shapes import Line, Point, Text
from fixplan.sheet.standing import text_box

OWNER = "section:words"
OFF_MM = RING_MM + 0.4
MOVES_MM = (0.0, 3.0, -3.0, 6.0, -6.0, 9.0, -9.0, 12.0, -12.0, 16.0, -16.0, 20.0, -20.0)
UPWARD_DEG = 270.0

Segment = tuple[Point, Point]


def side_words(sides: tuple[str, str, str, str], mirror: int) -> tuple[str, str, str, str]:
    """The words above, at the right, below and at the left of the section."""
    grows, up, falls, down = sides
    return (up, grows, down, falls) if mirror > 0 else (up, falls, down, grows)


def _text(at: Point, word: str, turn_deg: float = 0.0) -> Text:
    return Text(
        owner=OWNER,
        layer=LABEL_LAYER,
        at=at,
        text=word,
        size_mm=SMALL_MM,
        italic=True,
        align="centre",
        turn_deg=turn_deg,
    )


def _moves(room_mm: float, word: str) -> list[float]:
    """How far a word may be moved along a side of that length."""
    most = max(0.5 * (room_mm - text_width_mm(word, SMALL_MM, False, True)), 0.0)
    return [move for move in MOVES_MM if abs(move) <= most] or [0.0]


def _clear(tried: Sequence[Text], boxes: Sequence[Box], lines: Sequence[Segment]) -> Text:
    """The first of some texts that touches nothing, else the one that touches least."""
    boxes, lines = _beside(tried[0], boxes, lines)
    least, found = len(boxes) + len(lines) + 1, tried[0]
    for text in tried:
        own = text_box(text)
        hits = sum([touches(own, box) for box in boxes])
        hits += sum([crosses(own, line) for line in lines])
        if hits < least:
            least, found = hits, text
        if hits == 0:
            break
    return found


def _beside(
    text: Text, boxes: Sequence[Box], lines: Sequence[Segment]
) -> tuple[Sequence[Box], Sequence[Segment]]:
    """What a word can meet when it is moved along its side: all that reaches into its lane."""
    lane = text_box(text)
    axis = 0 if text.turn_deg else 1
    low, high = lane[axis], lane[axis] + lane[axis + 2]
    return (
        [box for box in boxes if box[axis] <= high and box[axis] + box[axis + 2] >= low],
        [
            (a, b)
            for a, b in lines
            if min(a[axis], b[axis]) <= high and max(a[axis], b[axis]) >= low
        ],
    )


@functools.lru_cache(maxsize=256)
def word_shapes(
    frame: SectionFrame,
    skin: Box,
    sides: tuple[str, str, str, str],
    boxes: tuple[Box, ...],
    lines: tuple[Segment, ...],
) -> tuple[Text, ...]:
    """Four words, `sides` being those of bearings 0, 90, 180 and 270; `skin` is its rectangle.

    `boxes` and `lines` are where letters and the pin stand, and leaders run.
    """
    above, right, below, left = side_words(sides, frame.mirror)
    x, y = skin.x + 0.5 * skin.width, skin.y + 0.5 * skin.height
    tall = CAPITAL * SMALL_MM
    across = _moves(frame.inner.width, above)
    down = _moves(frame.inner.height, right)
    tries = (
        [_text((x + move, skin.y - OFF_MM), above) for move in across],
        [_text((skin.right + OFF_MM + tall, y + move), right, UPWARD_DEG) for move in down],
        [_text((x + move, skin.bottom + OFF_MM + tall), below) for move in across],
        [_text((skin.x - OFF_MM, y + move), left, UPWARD_DEG) for move in down],
    )
    return tuple(_clear(tried, boxes, lines) for tried in tries)


def segments_of(lines: Sequence[Line]) -> tuple[Segment, ...]:
    """The straight pieces of some lines."""
    return tuple(
        (a, b) for line in lines for a, b in zip(line.points, line.points[1:], strict=False)
    )
