"""Fracture, wound and injury in one view: different marks in black and white too.

Fracture: heavy zigzag. Wound: solid line, cross hatched; on the far side dashed. Zone of injury:
dashed line, hatched one way. Its margin: dotted line, empty.
"""

import functools
from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from fixplan.case.records import Fracture, Injury, Wound
from fixplan.geometry.zone_views import zone_in_view
from fixplan.sheet.box import Box
from fixplan.sheet.clipping import clipped_lines, clipped_ring, spans_at
from fixplan.sheet.cutting import cut_line, cut_outline
from fixplan.sheet.ink import (
    FRACTURE_INK,
    FRACTURE_LAYER,
    INJURY_INK,
    INJURY_LAYER,
    WOUND_INK,
    WOUND_LAYER,
)
from fixplan.sheet.laid import laid_in_view
from fixplan.sheet.scene import Array, ViewScene
from fixplan.sheet.shapes import AnyShape, Fill, Line, Point, Stroke
from fixplan.sheet.strips import along, distance, unit_vector

FAR_MM = 5000.0
TOOTH_MM = 5.0
SHORT_FRACTURE_MM = 8.0
TICK_EVERY_MM = 2.6

FRACTURE_STROKE = Stroke(FRACTURE_INK, 0.6)
WOUND_STROKE = Stroke(WOUND_INK, 0.5)
FAR_WOUND_STROKE = Stroke(WOUND_INK, 0.4, "dash")
EDGE_STROKE = Stroke(WOUND_INK, 0.9)
INJURY_STROKE = Stroke(INJURY_INK, 0.45, "dash")
MARGIN_STROKE = Stroke(INJURY_INK, 0.4, "dot")
WOUND_FILL = Fill(hatch="cross", colour=WOUND_INK, spacing_mm=1.3)
INJURY_FILLS = {
    "open": Fill(hatch="right", colour=INJURY_INK, spacing_mm=2.0),
    "bruised": Fill(hatch="sparse", colour=INJURY_INK, spacing_mm=2.0),
}
FRACTURE_FILL = Fill(hatch="dots", colour=FRACTURE_INK, spacing_mm=1.4)


def _band(ring: list[Point], from_mm: float, to_mm: float) -> list[Point]:
    """The part of a drawn outline between two levels."""
    return clipped_ring(ring, Box(-FAR_MM, from_mm, 2 * FAR_MM, to_mm - from_mm))


def _ring(points: Array) -> list[Point]:
    return [(u, v) for u, v in points.tolist()]


def zigzag(u_from: float, u_to: float, level: float) -> list[Point]:
    """A zigzag across a bone, a little wider than it, in drawn coordinates."""
    width = u_to - u_from + 6.0
    teeth = max(round(width / (1.6 * TOOTH_MM)), 3)
    step = width / teeth
    return [
        (u_from - 3.0 + k * step, level + (0.5 * TOOTH_MM if k % 2 else -0.5 * TOOTH_MM))
        for k in range(teeth + 1)
    ]


def _fracture_lines(ring: list[Point], fracture: Fracture) -> list[list[Point]]:
    """One zigzag for a short break, else one at either end of the broken range."""
    low, high = fracture.from_mm, fracture.to_mm
    levels = [0.5 * (low + high)] if high - low < SHORT_FRACTURE_MM else [low, high]
    lines = []
    for level in levels:
        spans = spans_at(ring, level)
        if spans:
            lines.append(zigzag(spans[0][0], spans[-1][1], level))
    return lines


@functools.lru_cache(maxsize=64)
def draw_fracture(scene: ViewScene, fracture: Fracture) -> tuple[AnyShape, ...]:
    """A fracture: zigzags over the bone, dots between them."""
    bone = scene.limb.bones.get(fracture.bone)
    if bone is None:
        return ()
    drawn = _ring(scene.limb.outline(fracture.bone, scene.frame.view))
    shapes: list[AnyShape] = []
    broken = _band(drawn, fracture.from_mm, fracture.to_mm)
    if broken and fracture.to_mm - fracture.from_mm >= SHORT_FRACTURE_MM:
        page = scene.drawn(bone.segment, broken)
        shapes += cut_outline(fracture.id, FRACTURE_LAYER, scene, page, None, FRACTURE_FILL)
    for line in _fracture_lines(drawn, fracture):
        page = scene.drawn(bone.segment, line)
        shapes += cut_line(fracture.id, FRACTURE_LAYER, scene, page, FRACTURE_STROKE)
    return tuple(shapes)


def _zone_shapes(
    scene: ViewScene, injury: Injury, grow_mm: float, stroke: Stroke, fill: Fill | None
) -> Iterator[AnyShape]:
    """The injury grown by a margin, on every segment that this view shows it on (D6)."""
    frame, outlines = scene.frame, (injury.front, injury.side)
    for ring in zone_in_view(scene.pose, injury.segment, *outlines, frame.view, grow_mm):
        page = frame.to_page(np.array(ring))
        yield from cut_outline(injury.id, INJURY_LAYER, scene, page, stroke, fill)


@functools.lru_cache(maxsize=64)
def draw_injury(scene: ViewScene, injury: Injury, margin_mm: float) -> tuple[AnyShape, ...]:
    """The zone of injury and its margin."""
    if injury.segment not in scene.limb.segments:
        return ()
    margin = _zone_shapes(scene, injury, margin_mm, MARGIN_STROKE, None) if margin_mm > 0 else ()
    zone = _zone_shapes(scene, injury, 0.0, INJURY_STROKE, INJURY_FILLS[injury.grade])
    return (*margin, *zone)


def _ticks(owner: str, line: list[Point], half_mm: float) -> list[AnyShape]:
    """Short strokes across a line on the skin, evenly along it whatever its points."""
    ticks: list[AnyShape] = []
    to_next_mm = 0.5 * TICK_EVERY_MM
    for a, b in pairwise(line):
        length = distance(a, b)
        while to_next_mm < length:
            x, y = along(a, b, to_next_mm)
            ux, uy = unit_vector(a, b)
            ends = ((x - uy * half_mm, y + ux * half_mm), (x + uy * half_mm, y - ux * half_mm))
            ticks.append(
                Line(owner=owner, layer=WOUND_LAYER, points=ends, stroke=Stroke(WOUND_INK, 0.25))
            )
            to_next_mm += TICK_EVERY_MM
        to_next_mm -= length
    return ticks


def skin_line(scene: ViewScene, wound: Wound) -> list[AnyShape]:
    """A line on the skin: solid with ticks when near, dashed when far."""
    return _line_drawn(scene, wound, scene.drawn(wound.segment, wound.line), wound.face == "near")


def _line_drawn(scene: ViewScene, wound: Wound, page: list[Point], near: bool) -> list[AnyShape]:
    stroke = WOUND_STROKE if near else FAR_WOUND_STROKE
    half = max(scene.frame.scale * wound.half_width_mm, 0.7)
    shapes: list[AnyShape] = []
    for piece in clipped_lines(page, scene.frame.box, closed=False):
        shapes.append(Line(owner=wound.id, layer=WOUND_LAYER, points=tuple(piece), stroke=stroke))
        shapes += _ticks(wound.id, piece, half) if near else []
    return shapes


def _seen_from_other_view(scene: ViewScene, wound: Wound) -> list[AnyShape]:
    """A mark of the other view where it lies on the skin: near, on the far side, or on the edge."""
    page, near = laid_in_view(scene, wound)
    if not page:
        return []
    if near is None:
        return cut_line(wound.id, WOUND_LAYER, scene, page, EDGE_STROKE)
    if not wound.outline:
        return _line_drawn(scene, wound, page, near)
    stroke, fill = (WOUND_STROKE, WOUND_FILL) if near else (FAR_WOUND_STROKE, None)
    return cut_outline(wound.id, WOUND_LAYER, scene, page[:-1], stroke, fill)


@functools.lru_cache(maxsize=128)
def draw_wound(scene: ViewScene, wound: Wound) -> tuple[AnyShape, ...]:
    """A wound or a line on the skin, in both views where it lies on the skin."""
    if wound.segment not in scene.limb.segments:
        return ()
    if wound.view != scene.frame.view:
        return tuple(_seen_from_other_view(scene, wound))
    if not wound.outline:
        return tuple(skin_line(scene, wound))
    page = scene.drawn(wound.segment, wound.outline)
    near = wound.face == "near"
    stroke = WOUND_STROKE if near else FAR_WOUND_STROKE
    return tuple(
        cut_outline(wound.id, WOUND_LAYER, scene, page, stroke, WOUND_FILL if near else None)
    )
