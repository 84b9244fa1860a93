"""Bars where they pass the section's plane: circles at their place, with their number.

A bar that runs farther out than the drawing reaches is a dashed circle at the edge, towards it.
"""

import functools
from collections.abc import Iterator, Sequence
from math import cos, radians, sin
from typing import NamedTuple

import numpy as np

from fixplan.case.limbs import pose_of_case
from fixplan.case.records import Case
from fixplan.frame.joining import BarPath, bar_paths
from fixplan.limb.pose import Pose
from fixplan.sheet.box import Box, touches
from fixplan.sheet.crossing import crosses
from fixplan.sheet.fonts import text_width_mm
from fixplan.sheet.ink import INK, LABEL_LAYER, METAL_LIGHT, PAPER, PIN_LAYER, SMALL_MM
from fixplan.sheet.marks import CAPITAL
from fixplan.sheet.section_cut import Cut
from fixplan.sheet.section_frame import SectionFrame
from fixplan.sheet.section_pin import EDGE_MM, PinInSection, kept_in
from fixplan.sheet.shapes import AnyShape, Disc, Fill, Point, Stroke, Text
from fixplan.sheet.standing import standing, text_box
from fixplan.sheet.strips import distance

OWNER = "section:bars"
STROKE = Stroke(INK, 0.25)
FAR_STROKE = Stroke(INK, 0.25, "dash")
FAR_RADIUS_MM = 1.6
LEAST_MM = 1.0
TURNS_DEG = (0.0, 5.0, -5.0, 10.0, -10.0, 15.0, -15.0, 20.0, -20.0, 28.0, -28.0, 36.0, -36.0)


BESIDE_MM = tuple((turn, step) for step in (-2.0, 2.0, -3.5, 3.5) for turn in (1, -1))
"""Further places of a bar's name: to its right or left, so much higher or lower."""


class BarCut(NamedTuple):
    """A bar where it passes the plane: its number, its place in the segment, its radius."""

    number: int
    at: Point
    radius_mm: float


class _Circle(NamedTuple):
    """A bar on the page; `is_far` at the edge of the drawing."""

    number: int
    centre: Point
    radius_mm: float
    is_far: bool

    @property
    def box(self) -> Box:
        """The square round it."""
        (x, y), radius = self.centre, self.radius_mm
        return Box(x - radius, y - radius, 2 * radius, 2 * radius)


def bars_at(case: Case, cut: Cut) -> tuple[BarCut, ...]:
    """Bars that pass a plane; those that lie along it are left out."""
    pose = pose_of_case(case)
    found = []
    for path in bar_paths(case).values():
        at = _passing(pose, path, cut)
        if at is not None:
            found.append(BarCut(path.bar.number, at, 0.5 * path.bar.diameter_mm))
    return tuple(found)


def _passing(pose: Pose, path: BarPath, cut: Cut) -> Point | None:
    ends = pose.from_limb(cut.segment, np.array([path.start_mm, path.end_mm])).tolist()
    (x0, y0, v0), (x1, y1, v1) = ends
    if not min(v0, v1) <= cut.level_mm <= max(v0, v1) or abs(v1 - v0) < 1.0:
        return None
    share = (cut.level_mm - v0) / (v1 - v0)
    return x0 + share * (x1 - x0), y0 + share * (y1 - y0)


@functools.lru_cache(maxsize=128)
def bar_shapes(
    frame: SectionFrame,
    bars: tuple[BarCut, ...],
    pin: PinInSection | None,
    letters: tuple[Box, ...] = (),
) -> tuple[AnyShape, ...]:
    """The bars of a section, clear of the pin and of letters as far as they are at the edge."""
    taken = [*letters, *(() if pin is None else standing(pin.shapes))]
    lines = [] if pin is None else [pin.ends]
    shapes: list[AnyShape] = []
    circles = []
    for bar in bars:
        circle = _circle(frame, bar, taken, lines)
        circles.append(circle)
        taken.append(circle.box)
        shapes.append(_disc(circle))
    for circle in circles:
        name = _name(frame, circle, taken, lines)
        taken.append(text_box(name))
        shapes.append(name)
    return tuple(shapes)


def _disc(circle: _Circle) -> Disc:
    return Disc(
        owner=OWNER,
        layer=PIN_LAYER - 1,
        centre=circle.centre,
        radius_mm=circle.radius_mm,
        stroke=FAR_STROKE if circle.is_far else STROKE,
        fill=Fill(PAPER if circle.is_far else METAL_LIGHT),
    )


def _circle(
    frame: SectionFrame, bar: BarCut, taken: Sequence[Box], lines: Sequence[tuple[Point, Point]]
) -> _Circle:
    """A bar at its place, else at the edge in its direction or a little beside that."""
    target, place = frame.point(*frame.target), frame.point(*bar.at)
    radius = max(frame.scale * bar.radius_mm, LEAST_MM)
    if distance(kept_in(frame.inner, radius + EDGE_MM, target, place), place) < 0.1:
        return _Circle(bar.number, place, radius, is_far=False)
    tried = [
        _Circle(bar.number, at, FAR_RADIUS_MM, is_far=True) for at in _at_edge(frame, target, place)
    ]
    clear = (one for one in tried if _is_clear(one.box, taken, lines))
    return next(clear, tried[0])


def _at_edge(frame: SectionFrame, target: Point, place: Point) -> Iterator[Point]:
    dx, dy = place[0] - target[0], place[1] - target[1]
    for turn in TURNS_DEG:
        c, s = cos(radians(turn)), sin(radians(turn))
        outer = (target[0] + 9 * (c * dx - s * dy), target[1] + 9 * (s * dx + c * dy))
        yield kept_in(frame.inner, FAR_RADIUS_MM + EDGE_MM, target, outer)


def _is_clear(box: Box, taken: Sequence[Box], lines: Sequence[tuple[Point, Point]]) -> bool:
    return not any(touches(box, one) for one in taken) and not any(
        crosses(box, line) for line in lines
    )


def _name(
    frame: SectionFrame,
    circle: _Circle,
    taken: Sequence[Box],
    lines: Sequence[tuple[Point, Point]],
) -> Text:
    """Its name beside a circle, where nothing else stands."""
    words, (x, y) = f"bar {circle.number}", circle.centre
    off, half = circle.radius_mm + 0.6, 0.5 * CAPITAL * SMALL_MM
    wide = text_width_mm(words, SMALL_MM)
    places = (
        (x + off, y + half),
        (x - off - wide, y + half),
        (x - 0.5 * wide, y + off + 2 * half),
        (x - 0.5 * wide, y - off),
        *((x + (off if turn > 0 else -off - wide), y + half + step) for turn, step in BESIDE_MM),
    )
    tried = [
        Text(owner=OWNER, layer=LABEL_LAYER, at=at, text=words, size_mm=SMALL_MM) for at in places
    ]
    box = frame.inner
    inside = [one for one in tried if _within(text_box(one), box)] or tried
    clear = (one for one in inside if _is_clear(text_box(one), taken, lines))
    return next(clear, inside[0])


def _within(one: Box, other: Box) -> bool:
    return (
        other.x <= one.x
        and one.right <= other.right
        and other.y <= one.y
        and one.bottom <= other.bottom
    )
