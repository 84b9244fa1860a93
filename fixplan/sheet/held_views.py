"""Views that keep scale and place while a case grows, as long as all of it finds room.

On the desk a limb must not shrink or slide between two strokes of the hand. What is printed is
always arranged anew.
"""

from fixplan.sheet.box import Box
from fixplan.sheet.legend import legend_height_mm
from fixplan.sheet.shapes import Point
from fixplan.sheet.view_plan import (
    LEGEND_GAP_MM,
    Drawn,
    edges_of,
    ends_of,
    have_room,
    widths_of,
)
from fixplan.sheet.views import Extent, ViewFrame
from fixplan.sheet.work_area import AROUND_MM, extent_between, wanted_in

TOUCH_MM = 0.05
"""Less than this is no lack of room, limb mm (ours)."""
ROUND_MM = 2.0
"""Limb that stays below what is planned where the window must end earlier (ours)."""
MOST_CUT_MM = 15.0
"""How much earlier a window may end for three more lines of the legend (ours)."""

Frames = tuple[ViewFrame, ...]


def held_in(drawn: Drawn, box: Box, before: Frames) -> Frames | None:
    """The frames of an earlier drawing in a box of the page, at the same scale and place.

    Their windows may grow to the sides, and end earlier where the legend needs more room. None
    where what is planned does not fit: it then has to be arranged anew.
    """
    legend = legend_height_mm(drawn.legend, box.width)
    foot = box.bottom - (legend + LEGEND_GAP_MM if legend else 0.0)
    shorter = tuple(_ending_at(frame, foot) for frame in before)
    wanted = wanted_in(drawn.case, drawn.pose, ends_of(drawn))
    is_cut = any(
        new.box.height < old.box.height - MOST_CUT_MM
        for new, old in zip(shorter, before, strict=True)
    )
    if is_cut or not all(_holds_levels(frame, wanted[frame.view]) for frame in shorter):
        return None
    wider = tuple(_with_limits(drawn, frame, wanted[frame.view]) for frame in shorter)
    widths = widths_of(drawn, edges_of(drawn), has_words=False)
    if not have_room(drawn, box, wider, widths):
        return None
    front, side = wider
    return wider if side.box.y > front.box.y else _apart(front, side)


def _ending_at(frame: ViewFrame, foot: float) -> ViewFrame:
    """A frame whose window ends no lower than the foot."""
    height = min(frame.box.height, foot - frame.box.y)
    return frame._replace(box=frame.box._replace(height=height))


def _holds_levels(frame: ViewFrame, wanted: list[Point]) -> bool:
    if frame.box.height <= 0:
        return False
    v_from, v_to = frame.v_range
    vs = [v for _, v in wanted]
    spare = ROUND_MM / frame.scale
    return not vs or (v_from - TOUCH_MM <= min(vs) and max(vs) <= v_to - spare)


def _with_limits(drawn: Drawn, frame: ViewFrame, wanted: list[Point]) -> ViewFrame:
    """A frame with the edges of what it draws at the levels that are planned.

    Its window is as wide as these at least. Limb further off does not push the labels away.
    """
    v_from, v_to = frame.v_range
    if wanted:
        vs = [v for _, v in wanted]
        v_from, v_to = max(v_from, min(vs) - AROUND_MM), min(v_to, max(vs) + AROUND_MM)
    extent = extent_between(drawn.pose, frame.view, wanted, v_from, v_to)
    left, right = _across(frame, extent)
    x = min(frame.box.x, left)
    box = frame.box._replace(x=x, width=max(frame.box.right, right) - x)
    return frame._replace(box=box, limits=(left, right))


def _across(frame: ViewFrame, extent: Extent) -> tuple[float, float]:
    ends = [frame.point(u, 0.0)[0] for u in (extent.u_from, extent.u_to)]
    return min(ends), max(ends)


def _apart(front: ViewFrame, side: ViewFrame) -> Frames:
    """Views beside each other whose windows do not lie over each other."""
    end = min(max(front.box.right, front.limits[1]), side.limits[0])
    start = max(min(side.box.x, side.limits[0]), front.limits[1], end)
    return (
        front._replace(box=front.box._replace(width=end - front.box.x)),
        side._replace(box=side.box._replace(x=start, width=side.box.right - start)),
    )
