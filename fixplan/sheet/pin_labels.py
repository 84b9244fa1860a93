"""Numbered balloons beside the limb, with leaders to the pins and the marks of their findings."""

import functools
from collections.abc import Iterable, Mapping, Sequence
from typing import Literal, NamedTuple

from fixplan.case.records import Severity
from fixplan.checks.finding import Finding
from fixplan.sheet.fonts import text_width_mm
from fixplan.sheet.ink import LABEL_LAYER, SEVERITY_INK, SMALL_MM, SOFT
from fixplan.sheet.marks import BALLOON_RADIUS_MM, CAPITAL, balloon, plated_text, severity_mark
from fixplan.sheet.shapes import AnyShape, Line, Point
from fixplan.sheet.spreading import spread
from fixplan.sheet.strips import along

PITCH_MM = 2 * BALLOON_RADIUS_MM + 0.8
MARK_RADIUS_MM = 1.7
OFF_MM = 3.0
WORST: tuple[Severity, ...] = ("stop", "caution", "not assessed", "note")
Edge = Literal["left", "right"]


class Marked(NamedTuple):
    """The finding shown at a pin: its severity and whether it is still open."""

    severity: Severity
    is_open: bool


class Wanted(NamedTuple):
    """A balloon to be placed: the pin's id and number, where its leader ends, what marks it."""

    pin: str
    number: int
    outer: Point
    edge: Edge
    mark: Marked | None


class Columns(NamedTuple):
    """Where balloons may stand in one view: outer edges of what is drawn, upper and lower end."""

    left: float
    right: float
    top: float
    bottom: float


def marks_at(findings: Iterable[Finding]) -> dict[str, Marked]:
    """The worst stop or caution at each subject; an open one before an accepted one.

    What applies to many pins at once stays in the list of findings: a mark at every pin would tell
    nothing about any of them.
    """
    found: dict[str, Marked] = {}
    for finding in findings:
        if finding.severity not in ("stop", "caution"):
            continue
        mark = Marked(finding.severity, finding.is_open)
        for subject in finding.subjects:
            known = found.get(subject)
            if known is None or _rank(mark) < _rank(known):
                found[subject] = mark
    return found


def _rank(mark: Marked) -> tuple[bool, int]:
    return (not mark.is_open, WORST.index(mark.severity))


@functools.lru_cache(maxsize=4096)
def _label(pin: Wanted, centre: Point, with_word: bool) -> tuple[AnyShape, ...]:
    """Leader, balloon and mark of one pin."""
    owner = f"{pin.pin}:label"
    turn = 1 if pin.edge == "right" else -1
    leader = Line(
        owner=owner,
        layer=LABEL_LAYER,
        stroke=SOFT,
        points=(pin.outer, along(centre, pin.outer, BALLOON_RADIUS_MM)),
    )
    shapes: list[AnyShape] = [leader, *balloon(owner, pin.number, centre)]
    if pin.mark is not None:
        x = centre[0] + turn * (BALLOON_RADIUS_MM + 0.7 + MARK_RADIUS_MM)
        shapes += severity_mark(
            owner, pin.mark.severity, (x, centre[1]), MARK_RADIUS_MM, pin.mark.is_open
        )
        if with_word:
            word_x = x + turn * (MARK_RADIUS_MM + 0.8)
            shapes += _word(owner, pin.mark, word_x, centre[1], turn)
    return tuple(shapes)


def _word(owner: str, mark: Marked, x: float, y: float, turn: int) -> tuple[AnyShape, ...]:
    return plated_text(
        owner,
        (x, y + 0.5 * CAPITAL * SMALL_MM),
        mark.severity if mark.is_open else "accepted",
        SMALL_MM,
        SEVERITY_INK[mark.severity],
        "left" if turn > 0 else "right",
        bold=mark.is_open,
    )


def label_width_mm(*, with_word: bool) -> float:
    """Room that a column of balloons with marks needs beside the drawing."""
    width = OFF_MM + 2 * BALLOON_RADIUS_MM + 2 * MARK_RADIUS_MM + 1.7
    return width + (text_width_mm("accepted", SMALL_MM) + 1.0 if with_word else 0.0)


def place_labels(
    pins: Sequence[Wanted], columns: Columns, with_word: bool
) -> Mapping[str, tuple[AnyShape, ...]]:
    """Balloons for the pins of one view, by pin id, in a column at either edge."""
    placed: dict[str, tuple[AnyShape, ...]] = {}
    for edge in ("left", "right"):
        column = sorted((pin for pin in pins if pin.edge == edge), key=lambda pin: pin.outer[1])
        step = OFF_MM + BALLOON_RADIUS_MM
        x = columns.left - step if edge == "left" else columns.right + step
        middles = spread(
            [pin.outer[1] for pin in column], [PITCH_MM] * len(column), columns.top, columns.bottom
        )
        for pin, y in zip(column, middles, strict=True):
            placed[pin.pin] = _label(pin, (x, y), with_word)
    return placed
