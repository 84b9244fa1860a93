"""A trainee's answer in both views with the teacher's frame over it, dashed."""

from collections.abc import Iterator

from msgspec.structs import replace

from fixplan.case.records import Case
from fixplan.case.scalars import View
from fixplan.sheet.box import Box, box_round
from fixplan.sheet.cut_shapes import cut_shapes, holds
from fixplan.sheet.ink import LATER_INK, SMALL_MM
from fixplan.sheet.marks import plated_text
from fixplan.sheet.paper import Page
from fixplan.sheet.pin_picture import draw_pin
from fixplan.sheet.scene import view_scene
from fixplan.sheet.shapes import AnyShape, Disc, Line, Polygon, Stroke
from fixplan.sheet.views import ViewFrame
from fixplan.sheet.zoomed import (
    TITLE_MM,
    VIEWS,
    Zoomed,
    around,
    frame_round,
    groups_in,
    view_heading,
    zoomed_of,
    zoomed_shapes,
)

WIDTH_MM, HEIGHT_MM, GAP_MM, EDGE_MM = 180.0, 118.0, 6.0, 2.0
OWNER = "teacher"
STROKE = Stroke(LATER_INK, 0.45, "dash")


def answer_picture(answer: Case, model: Case | None, hidden: tuple[str, ...] = ()) -> Page:
    """Both views of the part of the limb that either frame or what is drawn needs.

    `model` is the teacher's answer, `hidden` the ids of its regions that are shown over it too.
    """
    known = zoomed_of(answer)
    other = None if model is None else zoomed_of(model)
    width = (WIDTH_MM - GAP_MM) / 2
    shapes: list[AnyShape] = []
    shown = _level_with_each_other([_shown(known, other, hidden, view) for view in VIEWS])
    for number, view in enumerate(VIEWS):
        left = EDGE_MM + number * (width + GAP_MM)
        box = Box(left, TITLE_MM, width, HEIGHT_MM)
        frame = frame_round(known, view, shown[number], box)
        shapes += zoomed_shapes(known, frame)
        if other is not None:
            shapes += cut_shapes(_overlay(other, hidden, frame), box)
        shapes += view_heading(known.drawn, frame)
    size = WIDTH_MM + 2 * EDGE_MM, TITLE_MM + HEIGHT_MM + EDGE_MM
    return Page(*size, {"answer": tuple(shapes)})


def _level_with_each_other(boxes: list[Box]) -> list[Box]:
    """The same levels and the same width for both, so that the views are at one scale."""
    top, bottom = min(box.y for box in boxes), max(box.bottom for box in boxes)
    width = max(box.width for box in boxes)
    return [Box(box.x + (box.width - width) / 2, top, width, bottom - top) for box in boxes]


def _shown(known: Zoomed, other: Zoomed | None, hidden: tuple[str, ...], view: View) -> Box:
    """What both frames and the regions need of a view; the whole drawn part for nothing at all."""
    asked = [(known, _subjects(known.drawn.case))]
    if other is not None:
        asked.append((other, [*(pin.id for pin in other.drawn.pins), *hidden]))
    boxes = [box for one, names in asked if (box := around(one, view, names)) is not None]
    if boxes:
        return box_round([corner for box in boxes for corner in box.corners])
    frame = next(one for one in known.frames if one.view == view)
    ends = [frame.from_page(x, y) for x, y in frame.box.corners]
    return box_round(ends)


def _subjects(case: Case) -> list[str]:
    names = [pin.id for pin in case.pins] + [one.id for one in case.injuries]
    return names + [one.id for one in case.wounds] + [one.id for one in case.fractures]


def _overlay(model: Zoomed, hidden: tuple[str, ...], frame: ViewFrame) -> Iterator[AnyShape]:
    """What was hidden, and the teacher's frame, as dashed outlines; T and a number at each pin."""
    groups = groups_in(model, frame)
    for name in hidden:
        yield from map(_dashed, groups.get(name, ()))
    frame_parts = [pin.id for pin in model.drawn.pins]
    frame_parts += [bar.id for bar in model.drawn.case.bars]
    for name in frame_parts:
        yield from map(_dashed, groups.get(name, ()))
    scene = view_scene(model.drawn.pose, frame)
    for pin in model.drawn.pins:
        place = draw_pin(scene, pin, model.drawn.lengths[pin.id])
        towards = 1.0 if place.outer[0] >= place.skin[0] else -1.0
        at = (place.skin[0] + 12.0 * towards, place.skin[1] - 1.0)
        if holds(frame.box, (at[0] + 3, at[1])) and holds(frame.box, (at[0] - 3, at[1])):
            yield from plated_text(
                OWNER, at, f"T{pin.number}", SMALL_MM, LATER_INK, align="centre", bold=True
            )


def _dashed(shape: AnyShape) -> AnyShape:
    """The outline of a shape alone; words stay."""
    if isinstance(shape, Line):
        return replace(shape, owner=OWNER, stroke=STROKE)
    if isinstance(shape, Polygon | Disc):
        stroke = STROKE if shape.stroke is not None else None
        return replace(shape, owner=OWNER, stroke=stroke, fill=None)
    return shape
