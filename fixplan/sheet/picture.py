"""The drawing: limb, what was drawn on it, the frame and its labels, as shapes by owner.

Every group is remembered with what it depends on, so that moving one pin draws that pin anew.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from fixplan.case.limbs import pose_of_case
from fixplan.case.records import Case, Pin, View
from fixplan.checks.finding import Finding
from fixplan.checks.scene import default_margin_mm
from fixplan.frame.joining import BarPath, bar_paths
from fixplan.frame.lengths import pin_length
from fixplan.geometry.paths import pin_path
from fixplan.limb.pose import Pose
from fixplan.sheet.box import Box
from fixplan.sheet.dimensions import WIDTH_MM, draw_dimensions
from fixplan.sheet.frame_picture import Held, draw_bar, draw_clamp, held_segments
from fixplan.sheet.key_picture import key_shapes
from fixplan.sheet.later_picture import draw_candidate, letter_of
from fixplan.sheet.legend import draw_legend, entries_of, legend_height_mm
from fixplan.sheet.level_lines import joint_names, level_lines, runs_of
from fixplan.sheet.limb_picture import limb_shapes, view_words
from fixplan.sheet.pin_labels import (
    Columns,
    Edge,
    Marked,
    Wanted,
    label_width_mm,
    marks_at,
    place_labels,
)
from fixplan.sheet.pin_picture import draw_pin
from fixplan.sheet.region_picture import draw_fracture, draw_injury, draw_wound
from fixplan.sheet.scene import ViewScene
from fixplan.sheet.shapes import AnyShape
from fixplan.sheet.support_picture import draw_support
from fixplan.sheet.views import Extent, ViewFrame, mirror, place_views
from fixplan.sheet.work_area import VIEWS, bar_reach, pin_reach, work_extents

Groups = dict[str, tuple[AnyShape, ...]]
TITLE_MM = 12.5
KEY_BOX_MM = (17.0, 62.0)
END_ON = 0.25


class Drawing(NamedTuple):
    """The groups in the order in which they are painted, and the two views."""

    groups: Groups
    views: tuple[ViewFrame, ViewFrame]


class Drawn(NamedTuple):
    """What the picture needs to know of a case, worked out once."""

    case: Case
    pose: Pose
    pins: tuple[Pin, ...]
    lengths: Mapping[str, float]
    paths: Mapping[str, BarPath]
    held: Mapping[str, Held]
    marks: Mapping[str, Marked]


def drawn_of(case: Case, findings: Sequence[Finding]) -> Drawn:
    """Works out pose, lengths, bars and marks of a case."""
    pose = pose_of_case(case)
    pins = tuple(pin for pin in case.pins if pin.bone in pose.limb.bones)
    lengths = {}
    for pin in pins:
        length = pin_length(case, pin)
        lengths[pin.id] = length.needed_mm if length.stock_mm is None else length.stock_mm
    return Drawn(
        case, pose, pins, lengths, bar_paths(case), held_segments(case, pose), marks_at(findings)
    )


def _extents(drawn: Drawn) -> tuple[Extent, Extent]:
    reach = {}
    for view in VIEWS:
        points = [
            p for pin in drawn.pins for p in pin_reach(drawn.pose, pin, drawn.lengths[pin.id], view)
        ]
        for bar, path in drawn.paths.items():
            points += bar_reach(drawn.pose, path, drawn.held[bar], view)
        reach[view] = points
    return work_extents(drawn.case, drawn.pose, reach)


def _edge(drawn: Drawn, pin: Pin, view: View) -> Edge:
    """The edge of a view that a pin's outer end points to."""
    turn = mirror(view, drawn.case.side)
    out = pin_path(drawn.pose.limb, pin).outward[0 if view == "front" else 1]
    if abs(out) < END_ON:
        return "right"
    return "right" if turn * out > 0 else "left"


def _widths(drawn: Drawn) -> dict[tuple[View, Edge], float]:
    """Room for the balloons at each edge of each view."""
    widths: dict[tuple[View, Edge], float] = {}
    for view in VIEWS:
        for edge in ("left", "right"):
            pins = [pin for pin in drawn.pins if _edge(drawn, pin, view) == edge]
            marked = any(pin.id in drawn.marks for pin in pins)
            widths[view, edge] = label_width_mm(marked, view == "front") if pins else 3.0
    return widths


def frames_in(drawn: Drawn, box: Box) -> tuple[ViewFrame, ViewFrame]:
    """The frames of front and side view in a box of the page."""
    widths = _widths(drawn)
    front, side = _extents(drawn)
    left = WIDTH_MM + 3.0 + widths["front", "left"]
    gap = widths["front", "right"] + widths["side", "left"] + 5.0
    right = max(widths["side", "right"], KEY_BOX_MM[0] + 3.0)
    inner = Box(box.x + left, box.y + TITLE_MM, box.width - left - right, box.height - TITLE_MM)
    return place_views(front, side, drawn.case.side, inner, gap)


def _limits(drawn: Drawn, frame: ViewFrame) -> tuple[float, float]:
    """Left and right edge of what a view shows: limb, pins and bars, in whole steps."""
    extents = dict(zip(VIEWS, _extents(drawn), strict=True))
    extent = extents[frame.view]
    first, last = frame.point(extent.u_from, 0)[0], frame.point(extent.u_to, 0)[0]
    return min(first, last), max(first, last)


def _regions(drawn: Drawn, scenes: Sequence[ViewScene], groups: Groups) -> None:
    """Later fixation lowest, then injuries, wounds and fractures."""
    case = drawn.case
    for index, candidate in enumerate(case.candidates):
        letter = letter_of(index)
        groups[candidate.id] = _both(draw_candidate(scene, candidate, letter) for scene in scenes)
    for injury in case.injuries:
        margin = margin_of(injury.segment, injury.margin_mm)
        groups[injury.id] = _both(draw_injury(scene, injury, margin) for scene in scenes)
    for wound in case.wounds:
        groups[wound.id] = _both(draw_wound(scene, wound) for scene in scenes)
    for fracture in case.fractures:
        groups[fracture.id] = _both(draw_fracture(scene, fracture) for scene in scenes)


def margin_of(segment: str, typed_mm: float | None) -> float:
    """The margin as typed, else the default of the segment."""
    return default_margin_mm(segment) if typed_mm is None else typed_mm


def _both(parts: Iterable[tuple[AnyShape, ...]]) -> tuple[AnyShape, ...]:
    return tuple(shape for part in parts for shape in part)


def _frame_parts(drawn: Drawn, scenes: Sequence[ViewScene], groups: Groups) -> None:
    """Supports, pins, bars and clamps."""
    for support in drawn.case.supports:
        groups[support.id] = _both(
            draw_support(
                scene,
                support,
                drawn.paths.get(support.bar or ""),
                drawn.held.get(support.bar or "", ()),
            )
            for scene in scenes
        )
    for pin in drawn.pins:
        length = drawn.lengths[pin.id]
        groups[pin.id] = _both(draw_pin(scene, pin, length).shapes for scene in scenes)
    for bar, path in drawn.paths.items():
        groups[bar] = _both(draw_bar(scene, path, drawn.held[bar]) for scene in scenes)
    for bar, path in drawn.paths.items():
        for joint in path.joints:
            groups[joint.id] = _both(
                draw_clamp(scene, path, joint, drawn.held[bar]) for scene in scenes
            )


def _labels(drawn: Drawn, scenes: Sequence[ViewScene], groups: Groups) -> None:
    """Balloons of both views, one group for each pin."""
    found: dict[str, list[AnyShape]] = {}
    for scene in scenes:
        view = scene.frame.view
        left, right = _limits(drawn, scene.frame)
        wanted = [
            Wanted(
                pin.id,
                pin.number,
                draw_pin(scene, pin, drawn.lengths[pin.id]).outer,
                _edge(drawn, pin, view),
                drawn.marks.get(pin.id),
            )
            for pin in drawn.pins
        ]
        columns = Columns(left, right, scene.frame.box.y + 2.0, scene.frame.box.bottom)
        for name, shapes in place_labels(wanted, columns, view == "front").items():
            found.setdefault(name, []).extend(shapes)
    for name, label in found.items():
        groups[f"{name}:label"] = tuple(label)


def draw_picture(
    case: Case,
    findings: Sequence[Finding],
    box: Box,
    views: tuple[ViewFrame, ViewFrame] | None = None,
) -> Drawing:
    """Both views of the limb in a box of the page, with key and legend.

    `views` keeps the frames of an earlier drawing, so that nothing shifts during a drag.
    """
    drawn = drawn_of(case, findings)
    margins = tuple(margin_of(i.segment, i.margin_mm) for i in case.injuries)
    entries = entries_of(case, margins)
    legend = legend_height_mm(entries, box.width)
    inner = Box(box.x, box.y, box.width, box.height - legend - 1.5)
    frames = views or frames_in(drawn, inner)
    scenes = [ViewScene(drawn.pose, frame) for frame in frames]
    groups: Groups = {"limb": _both(limb_shapes(scene) for scene in scenes)}
    groups["view-words"] = _both(
        view_words(f.view, f.mirror, _limits(drawn, f), inner.y + 3.6, 2.8) for f in frames
    )
    groups["level-lines"] = level_lines(tuple(scenes))
    _regions(drawn, scenes, groups)
    runs = (*runs_of(scenes[0], drawn.pins), *joint_names(scenes[0]))
    left = _limits(drawn, frames[0])[0] - _widths(drawn)["front", "left"]
    groups["dimensions"] = draw_dimensions(runs, left - 1.0, inner.y + TITLE_MM, inner.bottom)
    _frame_parts(drawn, scenes, groups)
    _labels(drawn, scenes, groups)
    key_box = Box(box.right - KEY_BOX_MM[0], inner.bottom - KEY_BOX_MM[1], *KEY_BOX_MM)
    groups["key"] = key_shapes(drawn.pose, key_box, frames[0].mirror, frames[0].v_range)
    groups["legend"] = draw_legend(entries, box.x, box.bottom - legend, box.width)
    return Drawing(groups, frames)
