"""Gaps between a pin and regions drawn in one or two views.

A region drawn in both views is where the two prisms meet; at levels that only one outline covers,
and for a region drawn in one view, it reaches through the whole depth (D6). Gaps are from the pin's
surface. Everything is in the frame of one segment.

The foot's front view is seen from above, with y for its v. There the two views share y instead of
the level: `from_above` says so, and axes and side outlines are turned to match.
"""

from functools import lru_cache

import msgspec

from fixplan.errors import GeometryError
from fixplan.geometry.axis_gap import Axis, Stretches, measure
from fixplan.geometry.cells import Cells, Outline, joined_cells, region_cells
from fixplan.geometry.paths import PinPath

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
