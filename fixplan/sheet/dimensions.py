"""Distances from landmarks: one running dimension line for each landmark, beside the front view.

Lines that would run over each other stand side by side.
As in ISO 129 a ring marks the landmark, arrows mark the pins, each distance is at its arrow.
"""

import functools
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from fixplan.sheet.fonts import wrapped
from fixplan.sheet.ink import (
    FAINT_INK,
    HAIR,
    INK,
    LABEL_LAYER,
    LANDMARK_LAYER,
    PAPER,
    SMALL_MM,
    SOFT_INK,
    THIN,
)
from fixplan.sheet.marks import CAPITAL, arrow_head
from fixplan.sheet.rows import LEADING
from fixplan.sheet.shapes import AnyShape, Disc, Fill, Line, Point, Stroke, Text
from fixplan.sheet.spreading import spread

OWNER = "dimensions"
FAINT = Stroke(FAINT_INK, 0.13)
NAME_MM = 20.0
VALUE_MM = 3.4
FIGURES_MM = 8.0
"""Room for the distances, between the names and the line: three figures."""
WIDTH_MM = NAME_MM + FIGURES_MM + 3.2
LANE_MM = 2.0
"""Between dimension lines that stand side by side."""
APART_MM = 1.5
"""Least way between the ends of two dimension lines in one upright."""


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
    upright: float
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
        return _to_imaged_line(running, x, top, bottom, turn)
    start = min(max(running.at[1], top), bottom)
    upper, lower = _ends(running, top, bottom)
    ends = ((x, upper), (x, lower))
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


def _to_imaged_line(
    running: Running, x: float, top: float, bottom: float, turn: int
) -> tuple[AnyShape, ...]:
    """From a name without distances to the line that it names."""
    y = running.at[1]
    if not top <= y <= bottom:
        return ()
    ends = ((x - turn, y), running.at)
    return (Line(owner=OWNER, layer=LANDMARK_LAYER, points=ends, stroke=FAINT),)


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


def _ends(running: Running, top: float, bottom: float) -> tuple[float, float]:
    """Upper and lower end of a dimension line."""
    start = min(max(running.at[1], top), bottom)
    ys = [start, *[one.at[1] for one in running.measured]]
    return min(ys), max(ys)


def _lanes(runs: Sequence[Running], top: float, bottom: float) -> list[list[Running]]:
    """The lines that can share an upright, the shortest nearest to the drawing."""
    lanes: list[list[Running]] = []
    ends = {running: _ends(running, top, bottom) for running in runs}
    for running in sorted(runs, key=lambda one: ends[one][1] - ends[one][0]):
        low, high = ends[running]
        for lane in lanes:
            if all(
                high + APART_MM < ends[other][0] or ends[other][1] + APART_MM < low
                for other in lane
                if other.measured and running.measured
            ):
                lane.append(running)
                break
        else:
            lanes.append([running])
    return lanes


def dimensions_width_mm(runs: Sequence[Running], top: float, bottom: float) -> float:
    """Room for names, distances and lines, between the drawing's edge and the nearest line, mm."""
    return WIDTH_MM + LANE_MM * max(len(_lanes(runs, top, bottom)) - 1, 0)


def _labels(
    runs: Sequence[Running], uprights: Mapping[Running, float], top: float, bottom: float
) -> list[_Label]:
    """Names and distances with the upright that each belongs to, by level."""
    labels = []
    for running in runs:
        lines = wrapped(running.name, SMALL_MM, NAME_MM)
        level = min(max(running.at[1], top), bottom)
        upright = uprights[running]
        labels.append(_Label(level, upright, lines, True, not running.measured))
        labels += [_Label(one.at[1], upright, (one.text,), False) for one in running.measured]
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
    if label.is_name or abs(middle - label.y) > 0.4 or label.upright != x:
        straight = (label.upright - turn, label.y)
        bent = ((end + 0.6 * turn, middle), (x - 1.8 * turn, label.y), straight)
        shapes.append(Line(owner=OWNER, layer=LABEL_LAYER, points=bent, stroke=HAIR))
    return tuple(shapes)


def draw_dimensions(
    runs: Sequence[Running], x: float, top: float, bottom: float, *, turn: int = 1
) -> tuple[AnyShape, ...]:
    """Running dimensions with their line at page `x`; distances left of it, names left of those.

    Lines that would run over each other stand side by side. With `turn` -1 they stand right of it.
    Names and distances have a column each, so that no distance is pushed beside another landmark.
    """
    shapes: list[AnyShape] = []
    lanes = _lanes(runs, top, bottom)
    uprights = {one: x - turn * LANE_MM * k for k, lane in enumerate(lanes) for one in lane}
    for running in runs:
        shapes += _line_shapes(running, uprights[running], top, bottom, turn)
    labels = _labels(runs, uprights, top, bottom)
    beside = x - turn * LANE_MM * max(len(lanes) - 1, 0)
    for column in ([a for a in labels if a.is_name], [a for a in labels if not a.is_name]):
        heights = [label.height_mm for label in column]
        middles = spread([label.y for label in column], heights, top, bottom)
        for label, middle in zip(column, middles, strict=True):
            shapes += _label_shapes(label, beside, middle, turn)
    return tuple(shapes)
