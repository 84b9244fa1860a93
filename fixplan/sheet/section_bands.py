"""Two bands of clear directions drawn round the skin, and letters at their ends.

The outer band is clear of vessels and nerves, the inner one is the customary, muscle-free part of
it. Neutral ink: a clear direction means that nothing was found, no more.
"""

from collections.abc import Iterable, Sequence
from math import cos, hypot, pi, radians, sin
from string import ascii_lowercase
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fixplan.geometry.clear_arcs import Arc, Blocked
from fixplan.geometry.clear_limb import Bands
from fixplan.limb.rings import radii
from fixplan.sheet.ink import INK, LABEL_LAYER, LIMB_LAYER, SMALL_MM
from fixplan.sheet.marks import CAPITAL, plated_text
from fixplan.sheet.section_frame import SectionFrame
from fixplan.sheet.shapes import AnyShape, Fill, Line, Point, Polygon, Stroke

Array = NDArray[np.float64]

OWNER = "section:bands"
LETTER_OWNER = "section:letters"
STEP_DEG = 4.0
SAME_DEG = 0.5
INNER_MM = (1.0, 2.3)
OUTER_MM = (2.6, 3.9)
LETTER_MM = 5.9
LETTER_APART_MM = 3.0
CLEAR_FILL = Fill("#dde2e7")
CUSTOMARY_FILL = Fill("#323f4b")
SPREAD_FILL = Fill("#ffffff", "dots", "#323f4b", 0.9)
"""A stretch of the outer band that lies in a published spread."""
BAND_STROKE = Stroke(INK, 0.18)
TICK = Stroke(INK, 0.18)
_DEGREES = np.radians(np.arange(361.0))


class End(NamedTuple):
    """An end of an arc: its letter, bearing and what limits it."""

    letter: str
    bearing_deg: float
    limit: Blocked


class Band(NamedTuple):
    """One band as it is told: its arcs that are drawn, and how many are too narrow for that."""

    arcs: tuple[Arc, ...]
    narrow: int


class LetteredBands(NamedTuple):
    """Both bands with the letters of their ends, in order of bearing.

    `closed_by` names what blocks every direction between them, where none is left.
    """

    clear: Band
    customary: Band
    ends: tuple[End, ...]
    spread: Band = Band((), 0)
    closed_by: tuple[str, ...] = ()

    def letter(self, bearing_deg: float) -> str:
        """The letter at a bearing; empty where there is no end."""
        found = (e.letter for e in self.ends if _apart(e.bearing_deg, bearing_deg) < SAME_DEG)
        return next(found, "")


def _apart(one: float, other: float) -> float:
    return abs((one - other + 180.0) % 360.0 - 180.0)


def _band(arcs: Iterable[Arc]) -> Band:
    found = tuple(arcs)
    drawn = tuple(arc for arc in found if not arc.narrow)
    return Band(drawn, len(found) - len(drawn))


def lettered(bands: Bands) -> LetteredBands:
    """Both bands with letters; ends of both at one bearing share a letter."""
    clear, customary, spread = (
        _band(arcs) for arcs in (bands.clear.arcs, bands.customary, bands.spread)
    )
    limits: list[tuple[float, Blocked]] = []
    for arc in (*clear.arcs, *customary.arcs):
        for bearing, limit in ((arc.from_deg, arc.from_limit), (arc.to_deg, arc.to_limit)):
            if limit is not None and all(_apart(bearing, b) >= SAME_DEG for b, _ in limits):
                limits.append((bearing % 360.0, limit))
    limits.sort(key=lambda one: one[0])
    ends = tuple(
        End(ascii_lowercase[k % 26], bearing, limit) for k, (bearing, limit) in enumerate(limits)
    )
    closed_by = () if bands.clear.arcs else _closing(bands)
    return LetteredBands(clear, customary, ends, spread, closed_by)


def _closing(bands: Bands) -> tuple[str, ...]:
    """What blocks every direction: one thing that does so alone, else all of them by width."""
    blocked = sorted(bands.clear.blocked, key=lambda one: one.from_deg - one.to_deg)
    whole = tuple(one.name for one in blocked if one.to_deg - one.from_deg >= 360.0)
    return whole[:1] or tuple(dict.fromkeys(one.name for one in blocked))


class SkinRing:
    """The skin on the page as seen from the target, looked up by whole degrees."""

    def __init__(self, frame: SectionFrame, skin: Array) -> None:
        """Takes the frame and the skin at its level, in the segment's plane."""
        self.mirror = frame.mirror
        self.centre = frame.point(*frame.target)
        reach_mm = radii(skin, np.asarray(frame.target), _DEGREES)
        self._reach_mm: list[float] = (frame.scale * reach_mm).tolist()

    def point(self, bearing_deg: float, off_mm: float) -> Point:
        """The page point a distance outside the skin, on a bearing."""
        ((reach, right, up),) = self._rays((bearing_deg,))
        x, y = self.centre
        return x + (reach + off_mm) * right, y - (reach + off_mm) * up

    def edges(self, arc: Arc, off_mm: tuple[float, float]) -> tuple[list[Point], list[Point]]:
        """Page points along an arc, two distances outside the skin."""
        count = max(int(arc.width_deg / STEP_DEG) + 2, 3)
        step = arc.width_deg / (count - 1)
        rays = self._rays([arc.from_deg + step * k for k in range(count)])
        (x, y), (low, high) = self.centre, off_mm
        return (
            [(x + (reach + low) * right, y - (reach + low) * up) for reach, right, up in rays],
            [(x + (reach + high) * right, y - (reach + high) * up) for reach, right, up in rays],
        )

    def _rays(self, bearings_deg: Iterable[float]) -> list[tuple[float, float, float]]:
        """How far the skin is on each bearing (mm), and which way that is, right and up."""
        reach_mm, mirror, found = self._reach_mm, self.mirror, []
        for bearing_deg in bearings_deg:
            bearing = bearing_deg % 360.0
            low = min(int(bearing), 359)
            first, second = reach_mm[low], reach_mm[low + 1]
            turn = radians(bearing)
            reach = first + (bearing - low) * (second - first)
            found.append((reach, mirror * cos(turn), sin(turn)))
        return found


def _strip(ring: SkinRing, arc: Arc, off_mm: tuple[float, float], fill: Fill) -> AnyShape:
    inner, outer = ring.edges(arc, off_mm)
    if arc.from_limit is None:
        return Polygon(
            owner=OWNER,
            layer=LIMB_LAYER + 3,
            points=tuple(outer[:-1]),
            holes=(tuple(inner[:-1]),),
            stroke=BAND_STROKE,
            fill=fill,
        )
    return Polygon(
        owner=OWNER,
        layer=LIMB_LAYER + 3,
        points=(*outer, *reversed(inner)),
        stroke=BAND_STROKE,
        fill=fill,
    )


class Obstacle(NamedTuple):
    """Something the letters keep clear of: a stretch of line and how far off it they stay."""

    start: Point
    end: Point
    room_mm: float

    def gap_mm(self, at: Point) -> float:
        """How far a point is from being clear; negative: it is clear."""
        (ax, ay), (bx, by) = self.start, self.end
        dx, dy = bx - ax, by - ay
        size = dx * dx + dy * dy
        share = ((at[0] - ax) * dx + (at[1] - ay) * dy) / size if size else 0.0
        share = min(max(share, 0.0), 1.0)
        return self.room_mm - hypot(at[0] - ax - share * dx, at[1] - ay - share * dy)


def _pushed_off(ring: SkinRing, bearing_deg: float, obstacles: Sequence[Obstacle]) -> float:
    """The nearest bearing to one at which a letter is clear of all obstacles."""
    for step in range(60):
        for turned in (bearing_deg + step, bearing_deg - step):
            at = ring.point(turned, LETTER_MM)
            if all(obstacle.gap_mm(at) <= 0 for obstacle in obstacles):
                return turned
    return bearing_deg


def _spread(ring: SkinRing, ends: Sequence[End], obstacles: Sequence[Obstacle]) -> list[Point]:
    """Places for the letters, pushed off obstacles and apart where ends lie close together."""
    turned = [_pushed_off(ring, end.bearing_deg, obstacles) for end in ends]
    at = [ring.point(bearing, LETTER_MM) for bearing in turned]
    for _ in range(12):
        moved = False
        for k in range(len(ends)):
            j = (k + 1) % len(ends)
            gap = hypot(at[k][0] - at[j][0], at[k][1] - at[j][1])
            if len(ends) < 2 or gap >= LETTER_APART_MM:
                continue
            centre = ring.centre
            reach = hypot(at[k][0] - centre[0], at[k][1] - centre[1])
            push = 0.55 * (LETTER_APART_MM - gap) / max(reach, 1.0) * 180.0 / pi
            turned[k] = _pushed_off(ring, turned[k] - push, obstacles)
            turned[j] = _pushed_off(ring, turned[j] + push, obstacles)
            at[k], at[j] = ring.point(turned[k], LETTER_MM), ring.point(turned[j], LETTER_MM)
            moved = True
        if not moved:
            break
    return at


def _tick(ring: SkinRing, bearing_deg: float) -> Line:
    points = (ring.point(bearing_deg, 0.0), ring.point(bearing_deg, OUTER_MM[1] + 0.5))
    return Line(owner=OWNER, layer=LABEL_LAYER, points=points, stroke=TICK)


def band_shapes(ring: SkinRing, bands: LetteredBands) -> tuple[AnyShape, ...]:
    """Both bands round the skin, with a tick at each end."""
    shapes = [_strip(ring, arc, OUTER_MM, CLEAR_FILL) for arc in bands.clear.arcs]
    shapes += [_strip(ring, arc, OUTER_MM, SPREAD_FILL) for arc in bands.spread.arcs]
    shapes += [_strip(ring, arc, INNER_MM, CUSTOMARY_FILL) for arc in bands.customary.arcs]
    return (*shapes, *(_tick(ring, end.bearing_deg) for end in bands.ends))


def letter_shapes(
    ring: SkinRing, bands: LetteredBands, obstacles: Sequence[Obstacle] = ()
) -> tuple[AnyShape, ...]:
    """The letters at the ends of the bands, off the pin and its number."""
    places = _spread(ring, bands.ends, obstacles)
    shapes: list[AnyShape] = []
    for end, at in zip(bands.ends, places, strict=True):
        baseline = (at[0], at[1] + 0.5 * CAPITAL * SMALL_MM)
        shapes += plated_text(
            LETTER_OWNER, baseline, end.letter, SMALL_MM, INK, "centre", bold=True
        )
    return tuple(shapes)
