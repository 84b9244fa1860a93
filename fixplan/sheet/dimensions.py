"""Distances from landmarks: one running dimension line for each landmark, beside the front view.

As in ISO 129 a ring marks the landmark, arrows mark the pins, each distance is at its arrow.
"""

import functools
from collections.abc import Sequence
from typing import NamedTuple

from fixplan.sheet.fonts import wrapped
from fixplan.sheet.ink import HAIR, INK, LABEL_LAYER, PAPER, SMALL_MM, SOFT_INK, THIN
from fixplan.sheet.marks import CAPITAL, arrow_head
from fixplan.sheet.rows import LEADING
from fixplan.sheet.shapes import AnyShape, Disc, Fill, Line, Point, Stroke, Text
from fixplan.sheet.spreading import spread

OWNER = "dimensions"
NAME_MM = 20.0
VALUE_MM = 3.4
FIGURES_MM = 8.0
"""Room for the distances, between the names and the line: three figures."""
WIDTH_MM = NAME_MM + FIGURES_MM + 3.2


class Measured(NamedTuple):
    """One distance: where the pin is on the page, and the distance in words."""

    at: Point
    text: str


class Running(NamedTuple):
    """All distances from one landmark; `at` is the landmark on the page."""

    name: str
    at: Point
    measured: tuple[Measured, ...]


class _Label(NamedTuple):
    y: float
    lines: tuple[str, ...]
    is_name: bool
    is_quiet: bool = False

    @property
    def height_mm(self) -> float:
        """Room it takes in the column."""
        return LEADING * (SMALL_MM if self.is_name else VALUE_MM) * len(self.lines) + 0.3


@functools.lru_cache(maxsize=256)
def _line_shapes(
    running: Running, x: float, top: float, bottom: float, turn: int
) -> tuple[AnyShape, ...]:
    """Dimension line, ring at the landmark, arrows and the fine lines to both.

    Where the landmark lies beyond the window, the line is broken off at its edge.
    """
    if not running.measured:
        return ()
    start = min(max(running.at[1], top), bottom)
    ys = [start, *[one.at[1] for one in running.measured]]
    ends = ((x, min(ys)), (x, max(ys)))
    shapes: list[AnyShape] = [Line(owner=OWNER, layer=LABEL_LAYER, points=ends, stroke=THIN)]
    shapes += _origin(running, x, turn) if start == running.at[1] else _broken_off(x, start)
    for one in running.measured:
        shapes += _arrow(one.at, x, start, turn)
    return tuple(shapes)


@functools.lru_cache(maxsize=1024)
def _arrow(at: Point, x: float, start: float, turn: int) -> tuple[AnyShape, ...]:
    """The fine line to a pin and the arrow on the dimension line, which comes from `start`."""
    y = at[1]
    return (
        Line(owner=OWNER, layer=LABEL_LAYER, points=((x - turn, y), at), stroke=HAIR),
        arrow_head(OWNER, (x, y), (x, start)),
    )


def _origin(running: Running, x: float, turn: int) -> list[AnyShape]:
    """A ring at the landmark and one on the dimension line, joined by a fine line."""
    y = running.at[1]
    shapes: list[AnyShape] = [
        Line(owner=OWNER, layer=LABEL_LAYER, points=((x - turn, y), running.at), stroke=HAIR)
    ]
    for centre, radius in (((x, y), 0.7), (running.at, 0.8)):
        shapes.append(
            Disc(
                owner=OWNER,
                layer=LABEL_LAYER,
                centre=centre,
                radius_mm=radius,
                stroke=Stroke(INK, 0.2),
                fill=Fill(PAPER),
            )
        )
    return shapes


def _broken_off(x: float, y: float) -> list[AnyShape]:
    """Two slanting strokes: the line goes on beyond the window."""
    return [
        Line(
            owner=OWNER,
            layer=LABEL_LAYER,
            points=((x - 1.2, y + shift + 0.5), (x + 1.2, y + shift - 0.5)),
            stroke=THIN,
        )
        for shift in (-0.5, 0.5)
    ]


def _labels(runs: Sequence[Running], top: float, bottom: float) -> list[_Label]:
    labels = []
    for running in runs:
        lines = wrapped(running.name, SMALL_MM, NAME_MM)
        level = min(max(running.at[1], top), bottom)
        labels.append(_Label(level, lines, True, not running.measured))
        labels += [_Label(one.at[1], (one.text,), False) for one in running.measured]
    return sorted(labels)


@functools.lru_cache(maxsize=1024)
def _label_shapes(label: _Label, x: float, middle: float, turn: int) -> tuple[AnyShape, ...]:
    size = SMALL_MM if label.is_name else VALUE_MM
    pitch = LEADING * size
    first = middle - 0.5 * pitch * (len(label.lines) - 1) + 0.5 * CAPITAL * size
    end = x - turn * (2.4 + (FIGURES_MM if label.is_name else 0.0))
    shapes: list[AnyShape] = [
        Text(
            owner=OWNER,
            layer=LABEL_LAYER,
            at=(end, first + pitch * k),
            text=line,
            size_mm=size,
            bold=not label.is_name,
            italic=label.is_quiet,
            colour=SOFT_INK if label.is_quiet else INK,
            align="right" if turn > 0 else "left",
        )
        for k, line in enumerate(label.lines)
    ]
    if label.is_name or abs(middle - label.y) > 0.4:
        bent = ((end + 0.6 * turn, middle), (x - 1.8 * turn, label.y), (x - turn, label.y))
        shapes.append(Line(owner=OWNER, layer=LABEL_LAYER, points=bent, stroke=HAIR))
    return tuple(shapes)


def draw_dimensions(
    runs: Sequence[Running], x: float, top: float, bottom: float, *, turn: int = 1
) -> tuple[AnyShape, ...]:
    """Running dimensions with their line at page `x`; distances left of it, names left of those.

    With `turn` -1 they stand right of it.
    Names and distances have a column each, so that no distance is pushed beside another landmark.
    """
    shapes: list[AnyShape] = []
    for running in runs:
        shapes += _line_shapes(running, x, top, bottom, turn)
    labels = _labels(runs, top, bottom)
    for column in ([a for a in labels if a.is_name], [a for a in labels if not a.is_name]):
        heights = [label.height_mm for label in column]
        middles = spread([label.y for label in column], heights, top, bottom)
        for label, middle in zip(column, middles, strict=True):
            shapes += _label_shapes(label, x, middle, turn)
    return tuple(shapes)
