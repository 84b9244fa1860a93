"""A pin in the section, true to scale: light in bone, dark outside; its number at its outer end."""

from math import inf
from typing import NamedTuple

from fixplan.case.records import Pin
from fixplan.geometry.paths import PinPath, pin_path
from fixplan.limb.anatomy import Limb
from fixplan.sheet.box import Box
from fixplan.sheet.ink import INK, METAL, METAL_LIGHT, PIN_LAYER
from fixplan.sheet.marks import balloon
from fixplan.sheet.pin_picture import ends_of
from fixplan.sheet.section_frame import SectionFrame
from fixplan.sheet.shapes import AnyShape, Fill, Line, Point, Polygon, Stroke
from fixplan.sheet.strips import along, distance, rod, unit_vector

STROKE = Stroke(INK, 0.18)
BREAK_MM = 1.0
EDGE_MM = 0.6
NUMBER_RADIUS_MM = 2.3
NUMBER_OFF_MM = 0.3


def section_owner(pin_id: str) -> str:
    """The owner of what the section draws of a pin."""
    return f"{pin_id}:section"


def _to_edge(box: Box, start: Point, way: Point) -> float:
    """How far a ray from inside a box runs to its edge."""
    steps = [
        (edge - at) / go
        for at, go, edges in (
            (start[0], way[0], (box.x, box.right)),
            (start[1], way[1], (box.y, box.bottom)),
        )
        if abs(go) > 1e-9
        for edge in edges
    ]
    return min((step for step in steps if step > 0), default=inf)


def _kept(box: Box, inner: Point, outer: Point) -> tuple[Point, bool]:
    """The outer end, or where the pin is broken off at the edge of the drawing."""
    way, reach = unit_vector(inner, outer), distance(inner, outer)
    edge = _to_edge(box, inner, way)
    if reach <= edge:
        return outer, False
    return (inner[0] + edge * way[0], inner[1] + edge * way[1]), True


def kept_in(box: Box, edge_mm: float, inner: Point, outer: Point) -> Point:
    """A point, or where the line to it from inside the box comes within so much of the edge."""
    return _kept(_inset(box, edge_mm), inner, outer)[0]


def _break(owner: str, at: Point, inner: Point, width_mm: float) -> list[AnyShape]:
    """Two slanting strokes: the pin goes on."""
    ux, uy = unit_vector(inner, at)
    half = 0.5 * width_mm + 0.7
    return [
        Line(
            owner=owner,
            layer=PIN_LAYER,
            points=(
                (at[0] + (step - 0.4) * ux - half * uy, at[1] + (step - 0.4) * uy + half * ux),
                (at[0] + (step + 0.4) * ux + half * uy, at[1] + (step + 0.4) * uy - half * ux),
            ),
            stroke=STROKE,
        )
        for step in (-BREAK_MM, -0.2)
    ]


def _marks(path: PinPath, length_mm: float) -> tuple[float, float, float, float]:
    """Distances along the pin: outer end, near and far surface of the bone, inner end."""
    ends = ends_of(path, length_mm)
    near, far = (path.near_mm, path.far_mm) if path.hits_bone else (ends.inner_mm, ends.inner_mm)
    return ends.outer_mm, near, max(far, ends.inner_mm), ends.inner_mm


class PinInSection(NamedTuple):
    """What is drawn of the pin; `ends` are its ends on the page, `label` the middle of its number.

    `width_mm` is its thickness on the page.
    """

    shapes: tuple[AnyShape, ...]
    ends: tuple[Point, Point]
    width_mm: float
    label: Point


def pin_in_section(frame: SectionFrame, limb: Limb, pin: Pin, length_mm: float) -> PinInSection:
    """The pin as it lies in the section's plane; `length_mm` is its whole length."""
    path, owner = pin_path(limb, pin), section_owner(pin.id)
    places = [path.point(mm) for mm in _marks(path, length_mm)]
    outer, near, far, inner = (frame.point(float(p[0]), float(p[1])) for p in places)
    width = frame.scale * pin.diameter_mm
    outer, outer_on = _kept(_inset(frame.inner, EDGE_MM + 2 * NUMBER_RADIUS_MM), near, outer)
    inner, inner_on = _kept(_inset(frame.inner, EDGE_MM), far, inner)
    shapes: list[AnyShape] = [
        Polygon(
            owner=owner, layer=PIN_LAYER, points=rod(a, b, width), stroke=STROKE, fill=Fill(tint)
        )
        for a, b, tint in ((near, far, METAL_LIGHT), (outer, near, METAL), (far, inner, METAL))
        if distance(a, b) > 0.02
    ]
    if outer_on:
        shapes += _break(owner, outer, near, width)
    if inner_on:
        shapes += _break(owner, inner, far, width)
    label = along(outer, near, -NUMBER_RADIUS_MM - NUMBER_OFF_MM)
    shapes += balloon(owner, pin.number, label, NUMBER_RADIUS_MM)
    return PinInSection(tuple(shapes), (outer, inner), width, label)


def _inset(box: Box, by_mm: float) -> Box:
    return Box(box.x + by_mm, box.y + by_mm, box.width - 2 * by_mm, box.height - 2 * by_mm)
