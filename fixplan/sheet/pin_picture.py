"""A pin in one view: light in bone, dark outside, dashed where it comes from behind the limb."""

import functools
from typing import NamedTuple

from fixplan.case.records import Pin
from fixplan.case.scalars import View
from fixplan.geometry.paths import PinPath, pin_path
from fixplan.sheet.ink import INK, METAL, METAL_LIGHT, PAPER, PIN_LAYER
from fixplan.sheet.scene import ViewScene
from fixplan.sheet.shapes import AnyShape, Disc, Fill, Point, Polygon, Stroke
from fixplan.sheet.strips import distance, rod

LEAST_WIDTH_MM = 0.6
BEHIND = -0.25
"""A pin whose outer end points away from the viewer by more than this share lies behind."""


class PinEnds(NamedTuple):
    """Where a pin's metal begins and ends, in mm along its path, outward positive."""

    outer_mm: float
    inner_mm: float


class PinDrawn(NamedTuple):
    """A pin in one view: its shapes, and the page points that labels hang on."""

    shapes: tuple[AnyShape, ...]
    outer: Point
    skin: Point
    bone: Point


def ends_of(path: PinPath, length_mm: float) -> PinEnds:
    """The ends of a pin of that length; a through-pin stands out alike on both sides."""
    if path.pin.kind == "half":
        return PinEnds(path.tip_end_mm + length_mm, path.tip_end_mm)
    middle = 0.5 * (path.skin_mm + path.far_skin_mm)
    return PinEnds(middle + 0.5 * length_mm, middle - 0.5 * length_mm)


def comes_from_behind(path: PinPath, view: View) -> bool:
    """Whether the outer end lies on the far side of the limb in this view."""
    towards_viewer = path.outward[1] if view == "front" else path.outward[0]
    return path.pin.kind == "half" and bool(towards_viewer < BEHIND)


def _body(
    owner: str, ends: tuple[Point, Point], width_mm: float, fill: str, stroke: Stroke
) -> AnyShape:
    """A stretch of a pin; end-on it is a disc."""
    if distance(*ends) < width_mm:
        middle = (0.5 * (ends[0][0] + ends[1][0]), 0.5 * (ends[0][1] + ends[1][1]))
        return Disc(
            owner=owner,
            layer=PIN_LAYER,
            centre=middle,
            radius_mm=0.5 * width_mm + 0.1,
            stroke=stroke,
            fill=Fill(fill),
        )
    return Polygon(
        owner=owner, layer=PIN_LAYER, points=rod(*ends, width_mm), stroke=stroke, fill=Fill(fill)
    )


@functools.lru_cache(maxsize=2048)
def draw_pin(scene: ViewScene, pin: Pin, length_mm: float) -> PinDrawn:
    """The pin in one view; `length_mm` is its whole length."""
    path = pin_path(scene.limb, pin)
    ends = ends_of(path, length_mm)
    inner_bone = max(path.far_mm, ends.inner_mm)
    distances = (ends.outer_mm, path.skin_mm, path.near_mm, inner_bone, ends.inner_mm)
    outer, skin, near, far, inner = scene.solid(path.segment, map(path.point, distances))
    width = max(scene.frame.scale * pin.diameter_mm, LEAST_WIDTH_MM)
    behind = comes_from_behind(path, scene.frame.view)
    stroke = Stroke(INK, 0.18, "dash") if behind else Stroke(INK, 0.18)
    dark = PAPER if behind else METAL
    shapes = [
        _body(pin.id, (near, far), width, METAL_LIGHT, Stroke(INK, 0.18)),
        _body(pin.id, (outer, near), width, dark, stroke),
    ]
    if distance(far, inner) > 0.05:
        shapes.append(_body(pin.id, (far, inner), width, METAL, Stroke(INK, 0.18)))
    return PinDrawn(tuple(shapes), outer, skin, near)
