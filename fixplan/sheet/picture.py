"""The drawing: limb, what was drawn on it, the frame and its labels, as shapes by owner.

Every group is remembered with what it depends on, so that moving one pin draws that pin anew.
"""

from collections.abc import Iterable, Sequence
from itertools import chain
from math import inf
from typing import NamedTuple

from fixplan.case.records import Support
from fixplan.case.ring_records import RingInjury
from fixplan.checks.finding import Finding
from fixplan.limb.kinds import limb_kind
from fixplan.sheet.box import Box, touches
from fixplan.sheet.dimensions import dimensions_width_mm, draw_dimensions
from fixplan.sheet.film_border import draw_film_border, film_mm
from fixplan.sheet.frame_picture import draw_bar
from fixplan.sheet.growth_picture import OWNER as PLATE_OWNER
from fixplan.sheet.growth_picture import draw_growth_plates
from fixplan.sheet.key_picture import key_shapes
from fixplan.sheet.later_picture import draw_candidate, draw_letters
from fixplan.sheet.legend import draw_legend
from fixplan.sheet.level_lines import joint_names, level_lines, runs_of
from fixplan.sheet.limb_picture import limb_shapes, seen_of, view_words
from fixplan.sheet.pin_labels import (
    FRAME_OWNER,
    LINE_MM,
    Columns,
    Wanted,
    elsewhere,
    frame_mark,
    mark_fits,
    place_labels,
)
from fixplan.sheet.pin_picture import draw_pin
from fixplan.sheet.region_picture import draw_fracture, draw_injury, draw_wound
from fixplan.sheet.ring_picture import OWNER as RING_OWNER
from fixplan.sheet.ring_picture import draw_ring, name_ring
from fixplan.sheet.scene import ViewScene, view_scene
from fixplan.sheet.section_cut import Cut
from fixplan.sheet.section_line import OWNER as PLANE_OWNER
from fixplan.sheet.section_line import plane_line, reach_of
from fixplan.sheet.shapes import AnyShape, Text
from fixplan.sheet.standing import standing, text_box
from fixplan.sheet.support_picture import draw_support, support_name
from fixplan.sheet.view_plan import LEGEND_GAP_MM, TITLE_MM, Drawn, Plan, plan_in
from fixplan.sheet.views import ViewFrame

Groups = dict[str, tuple[AnyShape, ...]]
TITLE_TEXT_MM = 2.8
TITLE_GAP_MM = 1.5
TITLE_BASE_MM = 3.6
WORDED = ("dimensions", "view-words", "legend")


class Drawing(NamedTuple):
    """The groups in the order in which they are painted, and the two views."""

    groups: Groups
    views: tuple[ViewFrame, ...]


def _regions(drawn: Drawn, scenes: Sequence[ViewScene], groups: Groups) -> None:
    """Growth plates and later fixation lowest, then injuries, wounds and fractures."""
    case = drawn.case
    if case.open_growth_plates:
        groups[PLATE_OWNER] = _both(draw_growth_plates(scene) for scene in scenes)
    for candidate in case.candidates:
        groups[candidate.id] = _both(draw_candidate(scene, candidate) for scene in scenes)
    for injury, margin in zip(case.injuries, drawn.margins, strict=True):
        groups[injury.id] = _both(draw_injury(scene, injury, margin) for scene in scenes)
    film = film_mm(case)
    for wound in case.wounds:
        border = _both(draw_film_border(scene, wound, film) for scene in scenes)
        groups[wound.id] = (*border, *_both(draw_wound(scene, wound) for scene in scenes))
    for fracture in case.fractures:
        groups[fracture.id] = _both(draw_fracture(scene, fracture) for scene in scenes)
    if case.ring != RingInjury():
        groups[RING_OWNER] = _both(draw_ring(scene, case.ring) for scene in scenes)


def _both(parts: Iterable[tuple[AnyShape, ...]]) -> tuple[AnyShape, ...]:
    return tuple(chain.from_iterable(parts))


def _support(drawn: Drawn, support: Support, scene: ViewScene) -> tuple[AnyShape, ...]:
    bar = support.bar or ""
    return draw_support(scene, support, drawn.paths.get(bar), drawn.held.get(bar, ()))


def _frame_parts(drawn: Drawn, scenes: Sequence[ViewScene], groups: Groups) -> None:
    """Supports, pins, bars and clamps."""
    for support in drawn.case.supports:
        groups[support.id] = _both(_support(drawn, support, scene) for scene in scenes)
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
    """Names of supports, letters of later fixation, balloons: a group for each."""
    case = drawn.case
    aside = next(scene for scene in scenes if scene.frame.view == "side")
    for support in case.supports:
        named = support_name(support, _support(drawn, support, aside))
        groups[f"{support.id}:label"] = named
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
        worded = plan.has_words and view == "front"
        columns = Columns(left, right, scene.frame.box.y + 2.0, scene.frame.box.bottom)
        for name, shapes in place_labels(wanted, columns, worded).items():
            found.setdefault(name, []).extend(shapes)
    if case.ring != RingInjury():
        groups[f"{RING_OWNER}:label"] = _both(name_ring(scene, case.ring) for scene in scenes)
    for name, label in found.items():
        groups[f"{name}:label"] = tuple(label)


def _background(plan: Plan, scenes: Sequence[ViewScene], key: Box) -> Groups:
    """The limb, the words over the views, clear of the key, the joint lines."""
    both = limb_kind(scenes[0].limb.kind).has_both_sides
    return {
        "limb": _both(limb_shapes(scene) for scene in scenes),
        "view-words": _both(
            view_words(
                f.view,
                f.mirror,
                f.limits,
                f.box.y - TITLE_MM + TITLE_BASE_MM,
                TITLE_TEXT_MM,
                both_sides=both,
                told=seen_of(scene),
                most_x=_most_x(f, key),
            )
            for f, scene in zip(plan.frames, scenes, strict=True)
        ),
        "level-lines": level_lines(tuple(scenes)),
    }


def _most_x(frame: ViewFrame, key: Box) -> float:
    """What the title of a view must not pass: a key at its right that reaches down to it."""
    title_top = frame.box.y - TITLE_MM + TITLE_BASE_MM - TITLE_TEXT_MM
    barred = title_top < key.bottom and key.x > frame.box.x
    return key.x - TITLE_GAP_MM if barred else inf


def _measures(drawn: Drawn, plan: Plan, scene: ViewScene, box: Box) -> tuple[AnyShape, ...]:
    """Distances from landmarks, left of the front view, none further out than the drawing.

    Those from landmarks of a left side, where both sides are drawn, stand right of it.
    """
    runs = (*runs_of(scene, drawn.pins), *joint_names(scene))
    left, right = scene.frame.limits
    at_left = left - plan.widths["front", "left"] - 1.0
    at_right = right + plan.widths["front", "right"] + 1.0
    ends = (scene.frame.box.y, scene.frame.box.bottom)
    middle = 0.5 * (left + right)
    both = limb_kind(scene.limb.kind).has_both_sides
    nearer_left = [run for run in runs if not both or run.at[0] <= middle]
    others = [run for run in runs if run not in nearer_left]
    start = max(at_left, box.x + dimensions_width_mm(nearer_left, *ends))
    end = min(at_right, box.right - dimensions_width_mm(others, *ends))
    return (
        *draw_dimensions(nearer_left, start, *ends),
        *draw_dimensions(others, end, *ends, turn=-1),
    )


def elsewhere_mark(findings: Sequence[Finding], rooms: Sequence[Box]) -> tuple[AnyShape, ...]:
    """The mark for what belongs to no one pin, in the first room that holds its words whole.

    Where none does, in the widest, its words cut short.
    """
    found = elsewhere(findings)
    if not found:
        return ()
    severity = found[0].severity
    subjects = tuple(finding.subject for finding in found if finding.severity == severity)
    whole = [at for at in rooms if mark_fits(severity, subjects, at.width)]
    at = whole[0] if whole else max(rooms, key=lambda room: room.width)
    return frame_mark(severity, subjects, at.x, at.y, at.width)


def beside_titles(words: Iterable[AnyShape], box: Box, key: Box) -> tuple[Box, Box]:
    """Where a mark has room at the height of the uppermost title: left of the words, then right."""
    base = box.y + TITLE_BASE_MM
    band = Box(box.x, base - TITLE_TEXT_MM, box.width, TITLE_TEXT_MM + 2 * LINE_MM)
    inked = [text_box(one) for one in words if isinstance(one, Text)]
    barred = [one for one in inked if touches(one, band)] or [Box(box.x + box.width / 2, 0, 0, 0)]
    left, right = min(one.x for one in barred), max(one.right for one in barred)
    end = key.x if touches(key, band) else box.right
    return (
        Box(box.x, base, left - TITLE_GAP_MM - box.x, TITLE_TEXT_MM),
        Box(right + TITLE_GAP_MM, base, end - right - 2 * TITLE_GAP_MM, TITLE_TEXT_MM),
    )


def _plane(cut: Cut, scenes: Sequence[ViewScene], groups: Groups) -> tuple[AnyShape, ...]:
    """The line of the section's plane, its letters clear of all other letters and words."""
    reaches = [reach_of(scene, cut.segment, cut.level_mm) for scene in scenes]
    known = [reach for reach in reaches if reach is not None]
    if not known:
        return ()
    top, bottom = min(reach[0] for reach in known), max(reach[1] for reach in known)
    labels = [groups[owner] for owner in groups if owner.endswith(":label") or owner in WORDED]
    taken = tuple(standing(chain.from_iterable(labels), top, bottom))
    return _both(plane_line(scene, cut.segment, cut.level_mm, taken) for scene in scenes)


def draw_picture(
    drawn: Drawn,
    findings: Sequence[Finding],
    box: Box,
    key: Box,
    views: tuple[ViewFrame, ...] = (),
    cut: Cut | None = None,
) -> Drawing:
    """Both views of the limb in a box of the page, with the legend beneath; the key in its box.

    `views` keeps the frames of an earlier drawing, so that nothing shifts during a drag. `cut` is
    the plane of the section, whose line runs through both views.
    """
    plan = plan_in(drawn, box, views)
    scenes = [view_scene(drawn.pose, frame) for frame in plan.frames]
    groups = _background(plan, scenes, key)
    _regions(drawn, scenes, groups)
    groups["dimensions"] = _measures(drawn, plan, scenes[0], box)
    _frame_parts(drawn, scenes, groups)
    _labels(drawn, plan, scenes, groups)
    front = plan.frames[0]
    groups[FRAME_OWNER] = elsewhere_mark(findings, beside_titles(groups["view-words"], box, key))
    groups["key"] = key_shapes(drawn.pose, key, front.mirror, front.v_range)
    legend = max(frame.box.bottom for frame in plan.frames) + LEGEND_GAP_MM
    groups["legend"] = draw_legend(drawn.legend, box.x, legend, box.width)
    if cut is not None:
        groups[PLANE_OWNER] = _plane(cut, scenes, groups)
    return Drawing(groups, plan.frames)
