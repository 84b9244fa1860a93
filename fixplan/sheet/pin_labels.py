"""Numbered balloons beside the limb, with leaders to the pins and the marks of their findings."""

import functools
from collections.abc import Iterable, Mapping, Sequence
from typing import Literal, NamedTuple

from fixplan.case.scalars import Severity
from fixplan.checks.finding import Finding
from fixplan.sheet.fonts import shortened, text_width_mm, wrapped
from fixplan.sheet.ink import LABEL_LAYER, SEVERITY_INK, SMALL_MM, SOFT
from fixplan.sheet.marks import BALLOON_RADIUS_MM, CAPITAL, balloon, plated_text, severity_mark
from fixplan.sheet.shapes import AnyShape, Line, Point, Text
from fixplan.sheet.spreading import spread
from fixplan.sheet.strips import along

APART_MM = 0.8
LEAST_RADIUS_MM = 2.0
MARK_RADIUS_MM = 1.7
MARK_INDENT_MM = 2 * MARK_RADIUS_MM + 1.0
MARK_LINES = 2
OFF_MM = 3.0
MOST_PINS = 2
"""A finding about more pins than this is about the frame: a mark at each would tell nothing."""
FRAME_OWNER = "frame-mark"
LINE_MM = 1.32 * SMALL_MM
SHOWN = ("stop", "caution")
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


def marked_pins(finding: Finding) -> tuple[str, ...]:
    """The pins that a finding is about; none for one about the frame or about something else.

    What applies to many pins at once stays in the list of findings and at the drawing's title.
    """
    return _few_pins(finding.subjects)


@functools.lru_cache(maxsize=1024)
def _few_pins(subjects: tuple[str, ...]) -> tuple[str, ...]:
    pins = tuple(one for one in subjects if one.startswith("pin-"))
    return pins if len(pins) <= MOST_PINS else ()


def marks_at(findings: Iterable[Finding]) -> dict[str, Marked]:
    """The worst stop or caution at each pin; an open one before an accepted one."""
    found: dict[str, Marked] = {}
    for finding in findings:
        if finding.severity not in SHOWN:
            continue
        mark = Marked(finding.severity, finding.is_open)
        for pin in marked_pins(finding):
            known = found.get(pin)
            if known is None or _rank(mark) < _rank(known):
                found[pin] = mark
    return found


def elsewhere(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Open stops and cautions that no pin is marked with, the worst first."""
    found = [f for f in findings if f.severity in SHOWN and f.is_open and not marked_pins(f)]
    return tuple(sorted(found, key=lambda f: WORST.index(f.severity)))


def mark_fits(severity: Severity, subjects: tuple[str, ...], room_mm: float) -> bool:
    """Whether the words of `frame_mark` have room whole."""
    lines = _mark_lines(severity, subjects, room_mm)
    return len(lines) <= MARK_LINES and " ".join(lines) == _mark_words(severity, subjects)


def _mark_words(severity: Severity, subjects: tuple[str, ...]) -> str:
    return f"{severity.capitalize()}: {', '.join(dict.fromkeys(subjects))}"


def _mark_lines(severity: Severity, subjects: tuple[str, ...], room_mm: float) -> tuple[str, ...]:
    return wrapped(_mark_words(severity, subjects), SMALL_MM, room_mm - MARK_INDENT_MM, True)


@functools.lru_cache(maxsize=64)
def frame_mark(
    severity: Severity, subjects: tuple[str, ...], x: float, baseline: float, room_mm: float
) -> tuple[AnyShape, ...]:
    """The mark at the drawing's title for findings that belong to no one pin, on two lines."""
    dx = MARK_INDENT_MM
    first, *rest = _mark_lines(severity, subjects, room_mm)
    lines = [first, *([shortened(" ".join(rest), SMALL_MM, room_mm - dx, True)] if rest else ())]
    centre = (x + MARK_RADIUS_MM, baseline - 0.5 * CAPITAL * SMALL_MM)
    texts = [
        Text(
            owner=FRAME_OWNER,
            layer=LABEL_LAYER,
            at=(x + dx, baseline + LINE_MM * k),
            text=line,
            size_mm=SMALL_MM,
            bold=True,
            colour=SEVERITY_INK[severity],
        )
        for k, line in enumerate(lines)
    ]
    return (*severity_mark(FRAME_OWNER, severity, centre, MARK_RADIUS_MM), *texts)


def _rank(mark: Marked) -> tuple[bool, int]:
    return (not mark.is_open, WORST.index(mark.severity))


@functools.lru_cache(maxsize=4096)
def _label(pin: Wanted, centre: Point, with_word: bool, radius_mm: float) -> tuple[AnyShape, ...]:
    """Leader, balloon and mark of one pin."""
    owner = f"{pin.pin}:label"
    turn = 1 if pin.edge == "right" else -1
    leader = Line(
        owner=owner,
        layer=LABEL_LAYER,
        stroke=SOFT,
        points=(pin.outer, along(centre, pin.outer, radius_mm)),
    )
    shapes: list[AnyShape] = [leader, *balloon(owner, pin.number, centre, radius_mm)]
    if pin.mark is not None:
        x = centre[0] + turn * (radius_mm + 0.7 + MARK_RADIUS_MM)
        shapes += severity_mark(
            owner, pin.mark.severity, (x, centre[1]), MARK_RADIUS_MM, pin.mark.is_open
        )
        if with_word:
            word_x = x + turn * (MARK_RADIUS_MM + 0.8)
            shapes += _word(owner, pin.mark, word_x, centre[1], turn)
    return tuple(shapes)


def _mark_word(mark: Marked) -> str:
    return mark.severity if mark.is_open else "accepted"


def _word(owner: str, mark: Marked, x: float, y: float, turn: int) -> tuple[AnyShape, ...]:
    return plated_text(
        owner,
        (x, y + 0.5 * CAPITAL * SMALL_MM),
        _mark_word(mark),
        SMALL_MM,
        SEVERITY_INK[mark.severity],
        "left" if turn > 0 else "right",
        bold=mark.is_open,
    )


def label_width_mm(marks: Iterable[Marked], *, with_word: bool) -> float:
    """Room that a column of balloons, some with these marks, needs beside the drawing."""
    words = [_mark_word(mark) for mark in marks]
    width = OFF_MM + 2 * BALLOON_RADIUS_MM + 1.0
    if not words:
        return width
    width += 2 * MARK_RADIUS_MM + 0.7
    widest = max(text_width_mm(word, SMALL_MM, True) for word in words)
    return width + (widest + 1.2 if with_word else 0.0)


def place_labels(
    pins: Sequence[Wanted], columns: Columns, with_word: bool
) -> Mapping[str, tuple[AnyShape, ...]]:
    """Balloons for the pins of one view, by pin id, in a column at either edge."""
    placed: dict[str, tuple[AnyShape, ...]] = {}
    for edge in ("left", "right"):
        column = sorted((pin for pin in pins if pin.edge == edge), key=lambda pin: pin.outer[1])
        step = OFF_MM + BALLOON_RADIUS_MM
        x = columns.left - step if edge == "left" else columns.right + step
        radius = _radius_mm(columns, len(column))
        pitches = [2 * radius + APART_MM] * len(column)
        middles = spread([pin.outer[1] for pin in column], pitches, columns.top, columns.bottom)
        for pin, y in zip(column, middles, strict=True):
            placed[pin.pin] = _label(pin, (x, y), with_word, radius)
    return placed


def _radius_mm(columns: Columns, count: int) -> float:
    """How large balloons may be for so many of them to find room in a column."""
    room = (columns.bottom - columns.top) / max(count, 1)
    return min(BALLOON_RADIUS_MM, max(0.5 * (room - APART_MM), LEAST_RADIUS_MM))
