"""Where front and side view stand in the drawing, and how much room they would like to have.

What the views show is in `work_area`; here are the margins round them: distances at the left,
balloons with their marks at both edges of each view, titles above.
"""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from fixplan.case.limbs import limb_of_case, pose_of_case
from fixplan.case.records import Case, Pin
from fixplan.case.scalars import View
from fixplan.checks.finding import Finding
from fixplan.frame.joining import BarPath, bar_paths
from fixplan.frame.lengths import PinLength, pin_length
from fixplan.limb.kinds import limb_kind
from fixplan.limb.pose import Pose
from fixplan.sheet.box import Box
from fixplan.sheet.dimensions import WIDTH_MM
from fixplan.sheet.frame_picture import Held, bar_ends, held_segments
from fixplan.sheet.legend import Entry, entries_of, legend_height_mm
from fixplan.sheet.pin_labels import Edge, Marked, label_width_mm, marks_at
from fixplan.sheet.reach import margin_of, pin_reach
from fixplan.sheet.shapes import Point
from fixplan.sheet.views import ViewFrame, mirror, place_views, stack_views
from fixplan.sheet.work_area import VIEWS, least_extents, own_extents, work_extents

TITLE_MM = 9.5
LEGEND_GAP_MM = 2.5
BETWEEN_MM = 5.0
EDGE_MM = 3.0
END_ON = 0.25
STACKED_GAP_MM = 4.0
STACKING_GAIN = 1.25
"""How much larger a drawing must become for its views to stand beneath each other (ours)."""
SLACK_MM = 6.0
"""How far labels beside kept views may stand into the paper's margins (ours)."""
CLOSER_MM = 4.0
"""How much nearer than usual to each other they may stand between the views (ours)."""
EDGES: tuple[Edge, Edge] = ("left", "right")
Widths = Mapping[tuple[View, Edge], float]


class Drawn(NamedTuple):
    """What the picture needs to know of a case, worked out once."""

    case: Case
    pose: Pose
    pins: tuple[Pin, ...]
    lengths: Mapping[str, float]
    paths: Mapping[str, BarPath]
    held: Mapping[str, Held]
    marks: Mapping[str, Marked]
    margins: tuple[float, ...]
    legend: tuple[Entry, ...]


class Plan(NamedTuple):
    """Where the views stand, and the edge at which each pin's balloon stands.

    `has_words`: the marks at the front view's balloons have words, as they do on every paper.
    """

    frames: tuple[ViewFrame, ...]
    edges: Mapping[tuple[View, str], Edge]
    widths: Widths
    has_words: bool = True


def drawn_length_mm(length: PinLength) -> float:
    """The length that a pin is drawn with: the stocked one, else what it needs."""
    return length.needed_mm if length.stock_mm is None else length.stock_mm


def pin_lengths(case: Case) -> dict[str, PinLength]:
    """Lengths of all pins whose bone this limb has, by pin id."""
    bones = limb_of_case(case).bones
    return {pin.id: pin_length(case, pin) for pin in case.pins if pin.bone in bones}


def drawn_of(case: Case, findings: Sequence[Finding], lengths: Mapping[str, PinLength]) -> Drawn:
    """Works out pose, bars and marks of a case; `lengths` are those of its pins, by id."""
    pose = pose_of_case(case)
    margins = tuple(margin_of(injury) for injury in case.injuries)
    return Drawn(
        case,
        pose,
        tuple(pin for pin in case.pins if pin.id in lengths),
        {name: drawn_length_mm(one) for name, one in lengths.items()},
        bar_paths(case),
        held_segments(case, pose),
        marks_at(findings),
        margins,
        entries_of(case, margins),
    )


def ends_of(drawn: Drawn) -> dict[View, list[Point]]:
    """Ends of pins and bars in each view, (u, v) mm."""
    reach = {}
    for view in VIEWS:
        points = [
            p for pin in drawn.pins for p in pin_reach(drawn.pose, pin, drawn.lengths[pin.id], view)
        ]
        for bar, path in drawn.paths.items():
            points += bar_ends(drawn.pose, view, path, drawn.held[bar])
        reach[view] = points
    return reach


def edges_of(drawn: Drawn) -> dict[tuple[View, str], Edge]:
    """The edge of a view that a pin's outer end points to, or lies nearer to when seen end-on."""
    edges: dict[tuple[View, str], Edge] = {}
    for view in VIEWS:
        turn = mirror(view, drawn.case.side)
        for pin in drawn.pins:
            length_mm = drawn.lengths[pin.id]
            outer, inner = pin_reach(drawn.pose, pin, length_mm, view)
            out = (outer[0] - inner[0]) / length_mm
            if abs(out) < END_ON:
                out = _off_middle(drawn, pin, view)
            edges[view, pin.id] = "right" if turn * out > 0 else "left"
    return edges


def _off_middle(drawn: Drawn, pin: Pin, view: View) -> float:
    """How far a pin's outer end lies from the middle of all outer ends in a view, u mm."""
    us = {
        one.id: pin_reach(drawn.pose, one, drawn.lengths[one.id], view)[0][0] for one in drawn.pins
    }
    return us[pin.id] - 0.5 * (min(us.values()) + max(us.values()))


def widths_of(
    drawn: Drawn, edges: Mapping[tuple[View, str], Edge], *, has_words: bool = True
) -> dict[tuple[View, Edge], float]:
    """Room for the balloons at each edge of each view, and for the marks that stand there.

    The front view's marks have words.
    """
    widths: dict[tuple[View, Edge], float] = {}
    for view in VIEWS:
        with_word = has_words and view == "front"
        for edge in EDGES:
            pins = [pin.id for pin in drawn.pins if edges[view, pin.id] == edge]
            marks = [drawn.marks[pin] for pin in pins if pin in drawn.marks]
            widths[view, edge] = label_width_mm(marks, with_word=with_word) if pins else EDGE_MM
    return widths


def _front_mm(drawn: Drawn, widths: Widths) -> tuple[float, float]:
    """What stands left and right of the front view; the left side's distances stand at the right.

    A limb with one side has all its distances at the left.
    """
    right = WIDTH_MM if limb_kind(drawn.case.limb).has_both_sides else 0.0
    return WIDTH_MM + EDGE_MM + widths["front", "left"], right + widths["front", "right"]


def beside_mm(drawn: Drawn, widths: Widths) -> tuple[float, float, float]:
    """What stands left of both views, between them and right of them."""
    left, right = _front_mm(drawn, widths)
    between = right + widths["side", "left"] + BETWEEN_MM
    return left, between, widths["side", "right"] + 1.0


def _above_below_mm(drawn: Drawn, width_mm: float) -> float:
    """Height of the titles and the legend."""
    legend = legend_height_mm(drawn.legend, width_mm)
    return TITLE_MM + (legend + LEGEND_GAP_MM if legend else 0.0)


def _beside_at_most(drawn: Drawn, width_mm: float) -> tuple[float, float]:
    """Scale and height at which both width and height limit views beside each other."""
    left, between, right = beside_mm(drawn, widths_of(drawn, edges_of(drawn)))
    front, side = least_extents(drawn.case, drawn.pose, ends_of(drawn))
    scale = (width_mm - left - right - between) / (front.u_size + side.u_size)
    return scale, _above_below_mm(drawn, width_mm) + scale * (front.v_to - front.v_from)


def _beneath_at_most(drawn: Drawn, width_mm: float, most_mm: float) -> tuple[float, float]:
    """Scale and height of views beneath each other, as large as width and `most_mm` allow."""
    beside = beneath_mm(drawn, widths_of(drawn, edges_of(drawn)))
    extents = own_extents(drawn.case, drawn.pose, ends_of(drawn))
    titles = _above_below_mm(drawn, width_mm) + TITLE_MM + STACKED_GAP_MM
    high = sum(one.v_size for one in extents)
    wide = min(
        (width_mm - sum(edges)) / one.u_size for edges, one in zip(beside, extents, strict=True)
    )
    scale = min(wide, (most_mm - titles) / high)
    return scale, titles + scale * high


def useful_height_mm(drawn: Drawn, width_mm: float, most_mm: float) -> float:
    """Height up to `most_mm` at which the drawing is as large as a width allows."""
    beside, height = _beside_at_most(drawn, width_mm)
    beneath, stacked = _beneath_at_most(drawn, width_mm, most_mm)
    return stacked if beneath > STACKING_GAIN * beside else min(most_mm, height)


def room_for(drawn: Drawn, box: Box) -> float:
    """How large the least of the drawing could be in a box, against what its width allows.

    1 or more: the width is the limit, and nothing would be gained by more height.
    """
    beside = _above_below_mm(drawn, box.width)
    return (box.height - beside) / (_beside_at_most(drawn, box.width)[1] - beside)


def plan_in(drawn: Drawn, box: Box, kept: tuple[ViewFrame, ...]) -> Plan:
    """Where front and side view stand in a box of the page, unless their frames are kept.

    Beside each other; beneath each other where that makes a wide drawing much larger, or larger at
    all where half the height would be left empty.
    """
    edges = edges_of(drawn)
    widths = widths_of(drawn, edges)
    if kept:
        return _kept(drawn, box, kept, edges, widths)
    room = box._replace(height=box.height - _above_below_mm(drawn, box.width) + TITLE_MM)
    beside, beneath = _beside(drawn, room, widths), _beneath(drawn, room, widths)
    is_low = TITLE_MM + beside[0].box.height < 0.5 * room.height
    gain = 1.0 if is_low else STACKING_GAIN
    is_larger = beneath[0].scale > gain * beside[0].scale
    return Plan(beneath if is_larger else beside, edges, widths)


def _kept(
    drawn: Drawn,
    box: Box,
    frames: tuple[ViewFrame, ...],
    edges: Mapping[tuple[View, str], Edge],
    widths: Widths,
) -> Plan:
    """Kept frames; the marks lose their words where these would not find room."""
    if have_room(drawn, box, frames, widths):
        return Plan(frames, edges, widths)
    return Plan(frames, edges, widths_of(drawn, edges, has_words=False), False)


def have_room(drawn: Drawn, box: Box, frames: tuple[ViewFrame, ...], widths: Widths) -> bool:
    """Whether what stands left, right and between of views finds room in a box of the page."""
    front, side = frames
    if side.box.y > front.box.y:
        return all(
            frame.limits[0] - left >= box.x - SLACK_MM
            and frame.limits[1] + right <= box.right + SLACK_MM
            for frame, (left, right) in zip(frames, beneath_mm(drawn, widths), strict=True)
        )
    left, between, right = beside_mm(drawn, widths)
    return (
        front.limits[0] - left >= box.x - SLACK_MM
        and side.limits[0] - front.limits[1] >= between - CLOSER_MM
        and side.limits[1] + right <= box.right + SLACK_MM
    )


def _beside(drawn: Drawn, box: Box, widths: Widths) -> tuple[ViewFrame, ViewFrame]:
    """Both views beside each other in a box, their titles over them."""
    left, between, right = beside_mm(drawn, widths)
    width, height = box.width - left - right, box.height - TITLE_MM
    inner = Box(box.x + left, box.y + TITLE_MM, width, height)
    room = (inner.width - between, inner.height)
    front, side = work_extents(drawn.case, drawn.pose, ends_of(drawn), room)
    return place_views(front, side, drawn.case.side, inner, between)


def beneath_mm(drawn: Drawn, widths: Widths) -> tuple[tuple[float, float], tuple[float, float]]:
    """What stands left and right of the front and of the side view, one beneath the other."""
    left, right = _front_mm(drawn, widths)
    side = EDGE_MM + widths["side", "left"], widths["side", "right"] + EDGE_MM
    return (left, right + EDGE_MM), side


def _beneath(drawn: Drawn, box: Box, widths: Widths) -> tuple[ViewFrame, ViewFrame]:
    """The side view beneath the front view, each with its title over it."""
    front, side = own_extents(drawn.case, drawn.pose, ends_of(drawn))
    height = box.height - 2 * TITLE_MM - STACKED_GAP_MM
    share = front.v_size / (front.v_size + side.v_size)
    edges = beneath_mm(drawn, widths)
    upper, lower = (
        Box(box.x + left, box.y + TITLE_MM, box.width - left - right, part * height)
        for (left, right), part in zip(edges, (share, 1.0 - share), strict=True)
    )
    lower = lower._replace(y=upper.bottom + STACKED_GAP_MM + TITLE_MM)
    return stack_views(front, side, drawn.case.side, (upper, lower))
