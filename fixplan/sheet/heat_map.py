"""All pins of a class over the limb: cells of one size, the darker the more pins enter there."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from math import ceil, floor

import numpy as np

from fixplan.case.records import Case
from fixplan.case.scalars import View
from fixplan.sheet.box import Box, box_round
from fixplan.sheet.cut_shapes import cut_shapes
from fixplan.sheet.ink import INK, LABEL_LAYER, LIMB_LAYER, SMALL_MM, SOFT_INK
from fixplan.sheet.limb_picture import limb_shapes
from fixplan.sheet.scene import view_plane, view_scene
from fixplan.sheet.shapes import AnyShape, Disc, Fill, Line, Polygon, Stroke, Text
from fixplan.sheet.views import ViewFrame
from fixplan.sheet.zoomed import (
    VIEWS,
    Zoomed,
    around,
    frame_round,
    groups_in,
    view_heading,
    zoomed_of,
)
from fixplan.teach.class_figures import CELL_MM, Cell
from fixplan.teach.many import spots_of

OWNER = "heat"
TINTS = ("#f3ddb0", "#e5b36a", "#cc7f3c", "#a04f25", "#5f2417")
KEY_MM = 7.0
GAP_MM = 6.0
Heat = Mapping[Cell, int]


def heat_shapes(case: Case, model: Case | None, heat: Heat, box: Box) -> list[AnyShape]:
    """Front and side view with the cells, the regions of the case, rings at the teacher's pins.

    `case` is the exercise with all that was hidden; below stands what the tints mean.
    """
    known = zoomed_of(case)
    spots = () if model is None else spots_of(model)
    rings = [(one.segment, (one.x_mm, one.y_mm, one.level_mm)) for one in spots]
    width = (box.width - GAP_MM) / 2
    seen = [seen_cells(known, view, heat) for view in VIEWS]
    steps = _steps(max((max(one.values(), default=0) for one in seen), default=0))
    shapes: list[AnyShape] = []
    extents = [_extent(known, view, cells) for view, cells in zip(VIEWS, seen, strict=True)]
    top, bottom = min(e.y for e in extents), max(e.bottom for e in extents)
    across = max(e.width for e in extents)
    for number, view in enumerate(VIEWS):
        at = Box(box.x + number * (width + GAP_MM), box.y, width, box.height - KEY_MM)
        extent = extents[number]
        shown = Box(extent.x + (extent.width - across) / 2, top, across, bottom - top)
        frame = frame_round(known, view, shown, at)
        shapes += _view(known, frame, seen[number], steps)
        shapes += cut_shapes(_rings(known, frame, rings), at)
        shapes += view_heading(known.drawn, frame)
    return [*shapes, *_key(box, steps)]


def seen_cells(known: Zoomed, view: View, heat: Heat) -> Counter[tuple[int, int]]:
    """Pins in each cell of a view: (u, v) in whole cells, whatever their depth."""
    found: Counter[tuple[int, int]] = Counter()
    segments = known.drawn.pose.limb.segments
    for (segment, *place), count in heat.items():
        if segment in segments:
            plane = view_plane(known.drawn.pose, view, segment)
            u, v = plane.at(*(CELL_MM * float(one) for one in place))
            found[floor(u / CELL_MM + 0.5), floor(v / CELL_MM + 0.5)] += count
    return found


def _extent(known: Zoomed, view: View, cells: Counter[tuple[int, int]]) -> Box:
    """What a view must show: every cell, and what is drawn in the case."""
    case = known.drawn.case
    names = [one.id for one in case.fractures] + [one.id for one in case.injuries]
    region = around(known, view, names + [one.id for one in case.wounds])
    corners = [] if region is None else list(region.corners)
    margin = 5 * CELL_MM
    for u, v in cells:
        corners += [(CELL_MM * u - margin, CELL_MM * v - margin)]
        corners += [(CELL_MM * u + margin, CELL_MM * v + margin)]
    if corners:
        return box_round(corners)
    frame = next(one for one in known.frames if one.view == view)
    return box_round([frame.from_page(x, y) for x, y in frame.box.corners])


def _view(
    known: Zoomed, frame: ViewFrame, cells: Counter[tuple[int, int]], steps: Sequence[int]
) -> Iterator[AnyShape]:
    """Limb, cells, then the outlines of bones and regions over them."""
    limb = list(cut_shapes(limb_shapes(view_scene(known.drawn.pose, frame)), frame.box))
    yield from limb
    half = CELL_MM / 2
    for (u, v), count in sorted(cells.items()):
        low = frame.point(CELL_MM * u - half, CELL_MM * v - half)
        high = frame.point(CELL_MM * u + half, CELL_MM * v + half)
        square = Box(min(low[0], high[0]), low[1], abs(high[0] - low[0]), high[1] - low[1])
        fill = Fill(tint_of(count, steps))
        yield Polygon(
            owner=OWNER, layer=LIMB_LAYER + 3, points=square.corners, stroke=None, fill=fill
        )
    bones = LIMB_LAYER + 1
    yield from (shape for shape in limb if isinstance(shape, Line) and shape.layer == bones)
    case, groups = known.drawn.case, groups_in(known, frame)
    regions = [one.id for one in case.candidates] + [one.id for one in case.injuries]
    regions += [one.id for one in case.wounds] + [one.id for one in case.fractures]
    for name in regions:
        yield from groups.get(name, ())


def _rings(
    known: Zoomed, frame: ViewFrame, places: Sequence[tuple[str, tuple[int, int, int]]]
) -> Iterator[AnyShape]:
    scene = view_scene(known.drawn.pose, frame)
    for segment, place in places:
        (at,) = scene.solid(segment, [np.array(place, dtype=float)])
        yield Disc(
            owner=OWNER, layer=LABEL_LAYER, centre=at, radius_mm=1.7, stroke=Stroke(INK, 0.5)
        )


def _steps(most: int) -> tuple[int, ...]:
    """The least count of each tint, one or more, growing."""
    wanted = [1, *(ceil(most * share) for share in (0.2, 0.4, 0.6, 0.8))]
    return tuple(dict.fromkeys(max(one, 1) for one in wanted))


def tint_of(count: int, steps: Sequence[int]) -> str:
    """The tint of a count: the darkest for the highest step that it reaches."""
    reached = sum(count >= step for step in steps)
    spread = len(TINTS) - len(steps)
    return TINTS[min(reached - 1 + (spread if reached == len(steps) else 0), len(TINTS) - 1)]


def _key(box: Box, steps: Sequence[int]) -> Iterator[AnyShape]:
    """What each tint means, and what the rings are."""
    x, y = box.x, box.bottom - 2.0
    ends = [f"{a}" if b - a == 1 else f"{a} to {b - 1}" for a, b in pairwise(steps)]
    for step, words in zip(steps, [*ends, f"{steps[-1]} or more"], strict=True):
        square = Box(x, y - 3.0, 4.0, 4.0)
        fill = Fill(tint_of(step, steps))
        yield Polygon(owner=OWNER, layer=LABEL_LAYER, points=square.corners, stroke=None, fill=fill)
        yield _words(x + 5.2, y, words)
        x += 27.0
    ring = Disc(
        owner=OWNER,
        layer=LABEL_LAYER,
        centre=(x + 2.0, y - 1.0),
        radius_mm=1.7,
        stroke=Stroke(INK, 0.5),
    )
    yield ring
    yield _words(x + 5.2, y, f"teacher's pin; a cell is {CELL_MM} mm wide")


def _words(x: float, y: float, text: str) -> Text:
    return Text(
        owner=OWNER, layer=LABEL_LAYER, at=(x, y), text=text, size_mm=SMALL_MM, colour=SOFT_INK
    )
