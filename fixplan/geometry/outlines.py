"""Gaps between a pin and regions drawn in one or two views, and marks on the skin.

A region drawn in both views is where the two prisms meet; at levels that only one outline covers,
and for a region drawn in one view, it reaches through the whole depth (D6). Gaps are from the pin's
surface. Everything is in the frame of one segment.

The foot's front view is seen from above, with y for its v. There the two views share y instead of
the level: `from_above` says so, and axes and side outlines are turned to match.
"""

import math
from functools import lru_cache

import msgspec
import numpy as np
import shapely

from fixplan.case.records import Incision, Wound
from fixplan.errors import GeometryError
from fixplan.geometry.axis_gap import Axis, Stretches, measure
from fixplan.geometry.cells import Array, Cells, Outline, joined_cells, region_cells
from fixplan.geometry.lines import crossings
from fixplan.geometry.paths import PinPath
from fixplan.geometry.validity import checked_polygon

Region = tuple[Outline, Outline]


class RegionGap(msgspec.Struct, frozen=True):
    """How a pin stands to a region.

    `gap_mm` is from the pin's surface, 0 where it meets the region; `inside_mm` is the length
    of the pin's axis inside; `level_mm` is where that is, or where the pin comes nearest. `known`
    is False when the region hangs on a bone whose shape is not known there.
    """

    gap_mm: float
    inside_mm: float
    level_mm: float
    known: bool = True


class SkinGap(msgspec.Struct, frozen=True):
    """How a pin's punctures stand to a mark on one face of the skin (D7).

    `on_face`: the pin has a puncture on that face; only then is there a gap. `gap_mm` is from the
    nearest such puncture's edge, 0 where it meets the mark, infinite without one. `inside`: the
    puncture's middle lies in the mark.
    """

    on_face: bool
    gap_mm: float
    inside: bool

    @property
    def is_hit(self) -> bool:
        """Whether a puncture lies in the mark, or nearer to it than the pin's radius."""
        return self.on_face and self.gap_mm <= 0


def outlines_problem(front: Outline, side: Outline, *, from_above: bool = False) -> str | None:
    """What is wrong with a region's outlines, in one sentence; None if they can be used."""
    try:
        _cells(((front, side),), from_above)
    except GeometryError as problem:
        return str(problem)
    return None


def disagreement_mm(front: Outline, side: Outline, *, from_above: bool = False) -> float:
    """How far the two outlines disagree about where the region begins or ends, the worse end, mm.

    0.0 for a region drawn in one view.
    """
    if not front or not side:
        return 0.0
    ranges = [[v for _, v in outline] for outline in (front, _turned(side) if from_above else side)]
    lows, highs = [min(one) for one in ranges], [max(one) for one in ranges]
    return max(abs(lows[0] - lows[1]), abs(highs[0] - highs[1]))


def injury_gap(path: PinPath, front: Outline, side: Outline) -> RegionGap:
    """Gap from a pin's surface to a region drawn in one or both views.

    The pin reaches from its tip, rounded, to beyond the skin.

    Raises:
        GeometryError: outlines that cannot be used, as `outlines_problem` says.
    """
    return injury_table((path,), ((front, side),))[0][0]


def injury_table(
    paths: tuple[PinPath, ...], regions: tuple[Region, ...]
) -> tuple[tuple[RegionGap, ...], ...]:
    """`injury_gap` of several pins to several regions, all at once: a row for each pin.

    Much quicker than one by one. Regions are (front, side) outlines, in the pins' own segment.
    """
    if not regions or not paths:
        return tuple(() for _ in paths)
    from_above = paths[0].from_above
    axes = [_seen(path.solid, from_above) for path in paths]
    found = measure(axes, _cells(regions, from_above), [path.in_limb_mm for path in paths])
    return tuple(
        _row(path.solid, path.radius_mm, found, column) for column, path in enumerate(paths)
    )


def axis_region_gap(
    axis: Axis, radius_mm: float, front: Outline, side: Outline, *, from_above: bool = False
) -> RegionGap:
    """As `injury_gap` for any round bar, such as a pin seen from another segment's frame."""
    cells = _cells(((front, side),), from_above)
    found = measure([_seen(axis, from_above)], cells, [(0.0, axis.length_mm)])
    return _row(axis, radius_mm, found, 0)[0]


def _cells(regions: tuple[Region, ...], from_above: bool) -> Cells:
    if from_above:
        regions = tuple((front, _turned(side)) for front, side in regions)
    return joined_cells(regions) if len(regions) > 1 else region_cells(*regions[0])


@lru_cache(maxsize=128)
def _turned(outline: Outline) -> Outline:
    return tuple((v, u) for u, v in outline)


def _seen(axis: Axis, from_above: bool) -> Axis:
    """The axis itself, or with level and y exchanged."""
    return Axis(axis.start_mm[[0, 2, 1]], axis.end_mm[[0, 2, 1]]) if from_above else axis


def _row(axis: Axis, radius_mm: float, found: Stretches, column: int) -> tuple[RegionGap, ...]:
    start, rise = float(axis.start_mm[2]), float(axis.along[2])
    columns = (part[:, column].tolist() for part in found)
    return tuple(
        RegionGap(max(gap - radius_mm, 0.0), inside, start + at * rise)
        for gap, at, inside in zip(*columns, strict=True)
    )


def skin_hit(path: PinPath, mark: Wound | Incision) -> SkinGap:
    """How a pin's punctures stand to a wound, a skin line or an incision, in the mark's view.

    The mark lies in the pin's segment. A puncture at the very edge of the view lies on both faces,
    and so does every puncture in a view from above, where the skin is known in rings alone.

    Raises:
        GeometryError: the mark has neither an outline nor a line that can be used.
    """
    u, v = _view_axes(path, mark)
    drawn, half_width_mm = _mark_shape(mark)
    at = [p for p in path.punctures_mm if v == 1 or mark.face in _faces(path, p, 1 - u)]
    if not at:
        return SkinGap(on_face=False, gap_mm=math.inf, inside=False)
    middles = [shapely.Point(float(point[u]), float(point[v])) for point in at]
    away = min(float(shapely.distance(drawn, middle)) for middle in middles) - half_width_mm
    gap_mm = max(away - path.radius_mm, 0.0)
    return SkinGap(on_face=True, gap_mm=gap_mm, inside=away <= 0)


def _view_axes(path: PinPath, mark: Wound | Incision) -> tuple[int, int]:
    """The axes of a segment's frame that a mark's view has as u and v."""
    if mark.view == "side":
        return 1, 2
    return 0, 1 if path.from_above else 2


def _mark_shape(mark: Wound | Incision) -> tuple[shapely.Geometry, float]:
    if isinstance(mark, Wound) and mark.outline:
        return checked_polygon(mark.outline), 0.0
    if len(set(mark.line)) < 2:
        raise GeometryError("A mark on the skin has no outline and no line: draw one of them.")
    return _line(mark.line), mark.half_width_mm


@lru_cache(maxsize=128)
def _line(points: Outline) -> shapely.LineString:
    return shapely.LineString(points)


def _faces(path: PinPath, puncture: Array, depth_axis: int) -> tuple[str, ...]:
    """The faces of a view that show a puncture; depth runs toward the viewer along `depth_axis`."""
    ring = path.limb.skin(path.segment, float(puncture[2]))
    if ring is None:
        ahead = puncture[depth_axis] - path.aim_mm[depth_axis]
        return ("near",) if ahead >= 0 else ("far",)
    across = 1 - depth_axis
    edges = float(ring[:, across].min()), float(ring[:, across].max())
    if min(puncture[across] - edges[0], edges[1] - puncture[across]) <= path.radius_mm:
        return ("near", "far")
    toward = np.array((0.0, 1.0)) if depth_axis == 1 else np.array((1.0, 0.0))
    found = crossings(ring, puncture[:2], toward)
    return ("near",) if found[0] + found[-1] <= 0 else ("far",)
