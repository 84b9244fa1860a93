"""Part of the drawing at a larger scale: one view of a case round some of its things."""

from collections.abc import Iterable, Sequence
from itertools import chain
from typing import NamedTuple

from fixplan.case.meaning import drawn_things
from fixplan.case.records import Case
from fixplan.case.scalars import View
from fixplan.geometry.paths import pin_path
from fixplan.limb.kinds import limb_kind
from fixplan.sheet.box import Box, box_round
from fixplan.sheet.cut_shapes import cut_shapes, holds
from fixplan.sheet.ink import HAIR, LABEL_LAYER, LIMB_LAYER, SMALL_MM
from fixplan.sheet.limb_picture import VIEW_TITLES, edge_words, limb_shapes, seen_of
from fixplan.sheet.marks import balloon
from fixplan.sheet.picture import draw_picture
from fixplan.sheet.pin_picture import draw_pin
from fixplan.sheet.scene import view_plane, view_scene
from fixplan.sheet.shapes import AnyShape, Point, Polygon, Text
from fixplan.sheet.view_plan import Drawn, drawn_of, pin_lengths
from fixplan.sheet.views import ViewFrame, mirror

AROUND_MM = 28.0
LEAST_MM = 110.0
NOMINAL = Box(0.0, 0.0, 190.0, 150.0)
KEY = Box(200.0, 0.0, 14.0, 22.0)
TITLE_MM = 5.0
NUMBER_MM = 2.3
VIEWS: tuple[View, View] = ("front", "side")


class Zoomed(NamedTuple):
    """A case and its things, ready to be shown at any place and scale."""

    drawn: Drawn
    frames: tuple[ViewFrame, ...]
    groups: dict[str, tuple[AnyShape, ...]]


def zoomed_of(case: Case) -> Zoomed:
    """Works a case out once for any number of pictures."""
    drawn = drawn_of(case, (), pin_lengths(case))
    drawing = draw_picture(drawn, (), NOMINAL, KEY)
    return Zoomed(drawn, drawing.views, drawing.groups)


def around(known: Zoomed, view: View, subjects: Iterable[str]) -> Box | None:
    """What a view must show of some things, in (u, v) mm; None where it draws none of them."""
    frame = next(one for one in known.frames if one.view == view)
    points = [point for name in subjects for point in _points_of(known, frame, name)]
    if not points:
        return None
    box = box_round(points)
    across = max(box.width + 2 * AROUND_MM, LEAST_MM)
    down = max(box.height + 2 * AROUND_MM, LEAST_MM)
    middle = box.x + box.width / 2, box.y + box.height / 2
    return Box(middle[0] - across / 2, middle[1] - down / 2, across, down)


def _points_of(known: Zoomed, frame: ViewFrame, name: str) -> list[tuple[float, float]]:
    """Points of a thing in (u, v); of a pin only those in the limb, however long it is."""
    for pin in known.drawn.pins:
        if pin.id == name:
            path = pin_path(known.drawn.pose.limb, pin)
            plane = view_plane(known.drawn.pose, frame.view, path.segment)
            places = (path.skin_point_mm, path.near_point_mm, path.tip_mm)
            return [plane.at(*point.tolist()) for point in places]
    left, right = frame.limits
    shapes = known.groups.get(name, ())
    return [
        frame.from_page(x, y)
        for x, y in chain.from_iterable(_points(shape) for shape in shapes)
        if left - 1 <= x <= right + 1
    ]


def _points(shape: AnyShape) -> Sequence[tuple[float, float]]:
    if isinstance(shape, Text):
        return ()
    points: Sequence[tuple[float, float]] = getattr(shape, "points", ())
    return points


def frame_round(known: Zoomed, view: View, shown: Box, box: Box) -> ViewFrame:
    """The frame of a view that shows a part of the limb, as large as a box of the page allows."""
    turn = mirror(view, known.drawn.case.side)
    scale = min(box.width / shown.width, box.height / shown.height)
    u, v = shown.x + shown.width / 2, shown.y + shown.height / 2
    origin = (
        box.x + box.width / 2 - turn * scale * u,
        box.y + box.height / 2 - scale * v,
    )
    return ViewFrame(view, box, scale, origin, turn, (box.x, box.right))


def zoomed_shapes(known: Zoomed, frame: ViewFrame) -> list[AnyShape]:
    """The limb and all that is drawn on it in one frame, cut to its box; pins have numbers."""
    groups = groups_in(known, frame)
    things = chain.from_iterable(groups[name] for name in _owners(known.drawn.case, groups))
    scene = view_scene(known.drawn.pose, frame)
    shapes = list(cut_shapes(chain(limb_shapes(scene), things), frame.box))
    for number, at in number_places(known, frame).values():
        shapes += balloon("number", number, at, NUMBER_MM)
    return shapes


def groups_in(known: Zoomed, frame: ViewFrame) -> dict[str, tuple[AnyShape, ...]]:
    """What is drawn in a frame, by owner, cut to its box.

    A pair of frames is asked of the drawing; the other view's shapes lie far off and are cut away.
    """
    away = frame.box._replace(x=frame.box.right + 1000.0)
    other: View = "side" if frame.view == "front" else "front"
    aside = frame._replace(
        view=other,
        box=away,
        origin=(frame.origin[0] + 2000.0, frame.origin[1]),
        limits=(away.x, away.right),
        mirror=mirror(other, known.drawn.case.side),
    )
    pair = (frame, aside) if frame.view == "front" else (aside, frame)
    groups = draw_picture(known.drawn, (), frame.box, KEY, pair).groups
    return {name: tuple(cut_shapes(shapes, frame.box)) for name, shapes in groups.items()}


def _owners(case: Case, groups: dict[str, tuple[AnyShape, ...]]) -> list[str]:
    """Regions, pins, bars and clamps, in the order in which they are painted."""
    drawn = {thing.id for thing in drawn_things(case)} - {one.id for one in case.supports}
    return [name for name in groups if name in drawn or name.startswith("clamp:")]


def number_places(known: Zoomed, frame: ViewFrame) -> dict[str, tuple[int, Point]]:
    """Each pin's number and where it stands, beside the puncture; only those in the window."""
    drawn, box = known.drawn, frame.box
    scene = view_scene(drawn.pose, frame)
    inner = Box(box.x + 3, box.y + 3, box.width - 6, box.height - 6)
    found: dict[str, tuple[int, Point]] = {}
    for pin in drawn.pins:
        place = draw_pin(scene, pin, drawn.lengths[pin.id])
        towards = 1.0 if place.outer[0] >= place.skin[0] else -1.0
        at = (place.skin[0] + 5.0 * towards, place.skin[1])
        if holds(inner, at):
            found[pin.id] = (pin.number, at)
    return found


def view_heading(drawn: Drawn, frame: ViewFrame, owner: str = "view-words") -> list[AnyShape]:
    """The view's name over its box, the words at its edges, and a thin line round it."""
    box = frame.box
    both = limb_kind(drawn.case.limb).has_both_sides
    seen = seen_of(view_scene(drawn.pose, frame))
    left, right = edge_words(frame.view, frame.mirror, both_sides=both, edges=seen.edges)
    title = VIEW_TITLES[frame.view][0]
    y = box.y - 1.2
    return [
        Polygon(owner=owner, layer=LIMB_LAYER, points=box.corners, stroke=HAIR),
        Text(owner=owner, layer=LABEL_LAYER, at=(box.x, y), text=left, size_mm=SMALL_MM),
        Text(
            owner=owner,
            layer=LABEL_LAYER,
            at=(box.x + box.width / 2, y),
            text=f"{title}, {seen.words}",
            size_mm=SMALL_MM,
            bold=True,
            align="centre",
        ),
        Text(
            owner=owner,
            layer=LABEL_LAYER,
            at=(box.right, y),
            text=right,
            size_mm=SMALL_MM,
            align="right",
        ),
    ]
