"""The drawing: limb, what was drawn on it, the frame and its labels, as shapes by owner.

Every group is remembered with what it depends on, so that moving one pin draws that pin anew.
"""

from collections.abc import Iterable, Mapping, Sequence
from itertools import chain
from typing import NamedTuple

from fixplan.case.limbs import limb_of_case, pose_of_case
from fixplan.case.records import Case, Pin, View
from fixplan.checks.finding import Finding
from fixplan.frame.joining import BarPath, bar_paths
from fixplan.frame.lengths import PinLength, pin_length
from fixplan.geometry.paths import pin_path
from fixplan.limb.kinds import limb_kind
from fixplan.limb.pose import Pose
from fixplan.sheet.box import Box
from fixplan.sheet.dimensions import WIDTH_MM, draw_dimensions
from fixplan.sheet.frame_picture import Held, bar_ends, draw_bar, held_segments
from fixplan.sheet.key_picture import key_shapes
from fixplan.sheet.later_picture import draw_candidate, draw_letters
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
from fixplan.sheet.reach import margin_of, pin_reach
from fixplan.sheet.region_picture import draw_fracture, draw_injury, draw_wound
from fixplan.sheet.scene import ViewScene, view_scene
from fixplan.sheet.section_cut import Cut, plane_letter
from fixplan.sheet.section_line import OWNER as PLANE_OWNER
from fixplan.sheet.section_line import plane_line
from fixplan.sheet.shapes import AnyShape, Point
from fixplan.sheet.support_picture import draw_support
from fixplan.sheet.views import ViewFrame, mirror, place_views
from fixplan.sheet.work_area import VIEWS, work_extents

Groups = dict[str, tuple[AnyShape, ...]]
TITLE_MM = 9.5
KEY_BOX_MM = (15.0, 56.0)
KEY_GAP_MM = 6.0
END_ON = 0.25
EDGES: tuple[Edge, Edge] = ("left", "right")


class Drawing(NamedTuple):
    """The groups in the order in which they are painted, and the two views."""

    groups: Groups
    views: tuple[ViewFrame, ...]


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


class Plan(NamedTuple):
    """Where the views stand, and the edge at which each pin's balloon stands."""

    frames: tuple[ViewFrame, ...]
    edges: Mapping[tuple[View, str], Edge]
    widths: Mapping[tuple[View, Edge], float]


def drawn_length_mm(length: PinLength) -> float:
    """The length that a pin is drawn with: the stocked one, else what it needs."""
    return length.needed_mm if length.stock_mm is None else length.stock_mm


def drawn_of(case: Case, findings: Sequence[Finding], lengths: Mapping[str, PinLength]) -> Drawn:
    """Works out pose, bars and marks of a case; `lengths` are those of its pins, by id."""
    pose = pose_of_case(case)
    pins = tuple(pin for pin in case.pins if pin.id in lengths)
    drawn_mm = {name: drawn_length_mm(one) for name, one in lengths.items()}
    paths, held = bar_paths(case), held_segments(case, pose)
    margins = tuple(margin_of(injury) for injury in case.injuries)
    return Drawn(case, pose, pins, drawn_mm, paths, held, marks_at(findings), margins)


def pin_lengths(case: Case) -> dict[str, PinLength]:
    """Lengths of all pins whose bone this limb has, by pin id."""
    bones = limb_of_case(case).bones
    return {pin.id: pin_length(case, pin) for pin in case.pins if pin.bone in bones}


def _reach(drawn: Drawn) -> dict[View, list[Point]]:
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


def _edges(drawn: Drawn) -> dict[tuple[View, str], Edge]:
    """The edge of a view that a pin's outer end points to, or lies nearer to when seen end-on."""
    edges: dict[tuple[View, str], Edge] = {}
    for view in VIEWS:
        turn = mirror(view, drawn.case.side)
        for pin in drawn.pins:
            out = pin_path(drawn.pose.limb, pin).outward[0 if view == "front" else 1]
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


def _widths(drawn: Drawn, edges: Mapping[tuple[View, str], Edge]) -> dict[tuple[View, Edge], float]:
    """Room for the balloons at each edge of each view; for words too at the front view's."""
    widths: dict[tuple[View, Edge], float] = {}
    for view in VIEWS:
        for edge in EDGES:
            some = any(edges[view, pin.id] == edge for pin in drawn.pins)
            widths[view, edge] = label_width_mm(with_word=view == "front") if some else 3.0
    return widths


def plan_in(drawn: Drawn, box: Box, kept: tuple[ViewFrame, ...]) -> Plan:
    """Where front and side view stand in a box of the page, unless their frames are kept.

    Left of the key or above it, whichever lets them be larger.
    """
    edges = _edges(drawn)
    widths = _widths(drawn, edges)
    if kept:
        return Plan(kept, edges, widths)
    left = WIDTH_MM + 3.0 + widths["front", "left"]
    gap = widths["front", "right"] + widths["side", "left"] + 5.0
    right = widths["side", "right"] + 2.0
    inner = Box(box.x + left, box.y + TITLE_MM, box.width - left - right, box.height - TITLE_MM)
    key_width, key_height = KEY_BOX_MM
    rooms = (
        inner._replace(width=inner.width - key_width),
        inner._replace(height=inner.height - key_height - KEY_GAP_MM),
    )
    reach = _reach(drawn)
    placed = [_placed(drawn, reach, room, gap) for room in rooms]
    return Plan(max(placed, key=lambda frames: frames[0].scale), edges, widths)


def _placed(
    drawn: Drawn, reach: dict[View, list[Point]], inner: Box, gap_mm: float
) -> tuple[ViewFrame, ViewFrame]:
    """Both views in a room of the page."""
    room = (inner.width - gap_mm, inner.height)
    front, side = work_extents(drawn.case, drawn.pose, reach, room)
    return place_views(front, side, drawn.case.side, inner, gap_mm)


def _regions(drawn: Drawn, scenes: Sequence[ViewScene], groups: Groups) -> None:
    """Later fixation lowest, then injuries, wounds and fractures."""
    case = drawn.case
    for candidate in case.candidates:
        groups[candidate.id] = _both(draw_candidate(scene, candidate) for scene in scenes)
    for injury, margin in zip(case.injuries, drawn.margins, strict=True):
        groups[injury.id] = _both(draw_injury(scene, injury, margin) for scene in scenes)
    for wound in case.wounds:
        groups[wound.id] = _both(draw_wound(scene, wound) for scene in scenes)
    for fracture in case.fractures:
        groups[fracture.id] = _both(draw_fracture(scene, fracture) for scene in scenes)


def _both(parts: Iterable[tuple[AnyShape, ...]]) -> tuple[AnyShape, ...]:
    return tuple(chain.from_iterable(parts))


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
    laid = {
        bar: [draw_bar(scene, path, drawn.held[bar]) for scene in scenes]
        for bar, path in drawn.paths.items()
    }
    for bar, parts in laid.items():
        groups[bar] = _both(part.bar for part in parts)
    for parts in laid.values():
        for clamp in parts[0].clamps:
            groups[clamp] = _both(part.clamps[clamp] for part in parts)


def _labels(drawn: Drawn, plan: Plan, scenes: Sequence[ViewScene], groups: Groups) -> None:
    """The letters of later fixation, then the balloons of both views, a group for each."""
    case = drawn.case
    letters = [draw_letters(scene, case.candidates) for scene in scenes]
    for candidate, tags in zip(case.candidates, zip(*letters, strict=True), strict=True):
        groups[f"{candidate.id}:label"] = _both(tags)
    found: dict[str, list[AnyShape]] = {}
    for scene in scenes:
        view = scene.frame.view
        left, right = scene.frame.limits
        wanted = [
            Wanted(
                pin.id,
                pin.number,
                draw_pin(scene, pin, drawn.lengths[pin.id]).outer,
                plan.edges[view, pin.id],
                drawn.marks.get(pin.id),
            )
            for pin in drawn.pins
        ]
        columns = Columns(left, right, scene.frame.box.y + 2.0, scene.frame.box.bottom)
        for name, shapes in place_labels(wanted, columns, view == "front").items():
            found.setdefault(name, []).extend(shapes)
    for name, label in found.items():
        groups[f"{name}:label"] = tuple(label)


def _background(plan: Plan, scenes: Sequence[ViewScene], top: float) -> Groups:
    """The limb, the words over the views, the joint lines."""
    both = limb_kind(scenes[0].limb.kind).has_both_sides
    return {
        "limb": _both(limb_shapes(scene) for scene in scenes),
        "view-words": _both(
            view_words(f.view, f.mirror, f.limits, top + 3.6, 2.8, both_sides=both)
            for f in plan.frames
        ),
        "level-lines": level_lines(tuple(scenes)),
    }


def _measures(drawn: Drawn, plan: Plan, scene: ViewScene) -> tuple[AnyShape, ...]:
    """Distances from landmarks, left of the front view."""
    runs = (*runs_of(scene, drawn.pins), *joint_names(scene))
    x = scene.frame.limits[0] - plan.widths["front", "left"] - 1.0
    return draw_dimensions(runs, x, scene.frame.box.y, scene.frame.box.bottom)


def draw_picture(
    case: Case,
    findings: Sequence[Finding],
    lengths: Mapping[str, PinLength],
    box: Box,
    views: tuple[ViewFrame, ...] = (),
    cut: Cut | None = None,
) -> Drawing:
    """Both views of the limb in a box of the page, with key and legend.

    `views` keeps the frames of an earlier drawing, so that nothing shifts during a drag. `cut` is
    the plane of the section, whose line runs through both views.
    """
    drawn = drawn_of(case, findings, lengths)
    entries = entries_of(case, drawn.margins)
    legend = legend_height_mm(entries, box.width)
    inner = Box(box.x, box.y, box.width, box.height - legend - 1.5)
    plan = plan_in(drawn, inner, views)
    scenes = [view_scene(drawn.pose, frame) for frame in plan.frames]
    groups = _background(plan, scenes, inner.y)
    _regions(drawn, scenes, groups)
    groups["dimensions"] = _measures(drawn, plan, scenes[0])
    _frame_parts(drawn, scenes, groups)
    _labels(drawn, plan, scenes, groups)
    if cut is not None:
        letter = plane_letter(case)
        groups[PLANE_OWNER] = _both(
            plane_line(scene, cut.segment, cut.level_mm, letter) for scene in scenes
        )
    front = plan.frames[0]
    key_box = Box(box.right - KEY_BOX_MM[0], inner.bottom - KEY_BOX_MM[1], *KEY_BOX_MM)
    groups["key"] = key_shapes(drawn.pose, key_box, front.mirror, front.v_range)
    groups["legend"] = draw_legend(entries, box.x, box.bottom - legend, box.width)
    return Drawing(groups, plan.frames)
