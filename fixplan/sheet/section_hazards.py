"""Nerves, vessels and tendons in the section: mean place solid, published spread faint."""

import functools
from collections.abc import Iterable
from math import cos, radians, sin

from fixplan.geometry.section_near import Beginning
from fixplan.geometry.section_structures import RoundStructure, SpreadBand, Structures
from fixplan.geometry.spread_strips import Strip
from fixplan.sheet.ink import INK, LIMB_LAYER
from fixplan.sheet.section_frame import SectionFrame
from fixplan.sheet.shapes import AnyShape, Disc, Fill, Line, Point, Polygon, Stroke

OWNER = "section"
LEAST_RADIUS_MM = 0.55
LAYER = LIMB_LAYER + 5
OUTLINE = Stroke(INK, 0.15)
KINDS: dict[str, tuple[str, str]] = {
    "artery": ("artery", "#9b2226"),
    "vein": ("vein", "#7b93b8"),
    "bundle": ("bundle of vessels, at times a nerve", "#9b2226"),
    "nerve": ("nerve", "#f2c14e"),
    "tendon": ("tendon", "#ffffff"),
}
"""Words and tint of each kind; bundle, nerve and tendon differ in shape too."""
FAINT = {"artery": "#f6e6e6", "bundle": "#f6e6e6", "vein": "#e6ecf4", "nerve": "#fcf3d9"}
FAINT_STROKE = Stroke("#7b8794", 0.15, "dot")
STEP_DEG = 4.0
BEGINS_STROKE = Stroke(INK, 0.25, "dot")
SPACE_FILL = Fill("#eef2f6", "dots", "#7b8794", 1.4)


def kind_mark(owner: str, kind: str, centre: Point, radius_mm: float) -> list[AnyShape]:
    """A structure cut across: arteries dark, veins lighter, a bundle ringed, a nerve dotted."""
    disc = functools.partial(Disc, owner=owner, layer=LAYER, centre=centre)
    tint = KINDS.get(kind, ("", "#ffffff"))[1]
    shapes: list[AnyShape] = [disc(radius_mm=radius_mm, stroke=OUTLINE, fill=Fill(tint))]
    if kind == "bundle":
        shapes.insert(0, disc(radius_mm=radius_mm + 0.35, stroke=OUTLINE, fill=Fill("#ffffff")))
    elif kind == "nerve":
        shapes.append(disc(radius_mm=0.3 * radius_mm, stroke=None, fill=Fill(INK)))
    elif kind == "tendon":
        x, y = centre
        half = 0.6 * radius_mm
        points = ((x - half, y + half), (x + half, y - half))
        shapes.append(Line(owner=owner, layer=LAYER, points=points, stroke=OUTLINE))
    return shapes


def radius_mm(frame: SectionFrame, one: RoundStructure) -> float:
    """Radius on the page: true to scale, but never too small to see."""
    return max(frame.scale * one.radius_mm, LEAST_RADIUS_MM)


def _spread(frame: SectionFrame, target: Point, band: SpreadBand) -> Polygon:
    """A published spread: faint, with a dotted edge."""
    width = (band.to_deg - band.from_deg) % 360.0 or 360.0
    count = max(int(width / STEP_DEG) + 2, 3)
    turns = [radians(band.from_deg + width * k / (count - 1)) for k in range(count)]
    inner, outer = (
        [frame.point(target[0] + reach * cos(t), target[1] + reach * sin(t)) for t in turns]
        for reach in (band.inner_mm, band.outer_mm)
    )
    tint = FAINT.get(band.kind, "#eef2f6")
    return Polygon(
        owner=OWNER,
        layer=LAYER - 1,
        points=(*outer, *reversed(inner)),
        stroke=FAINT_STROKE,
        fill=Fill(tint),
    )


def spread_shapes(frame: SectionFrame, found: Structures) -> tuple[AnyShape, ...]:
    """Where others found the structures: published spreads, to lie below the bones."""
    return tuple(_spread(frame, found.target, band) for band in found.spreads)


def strip_shapes(frame: SectionFrame, strips: Iterable[Strip]) -> tuple[AnyShape, ...]:
    """Published spreads beside a landmark, as `spread_shapes`."""
    return tuple(_strip(frame, one) for one in strips)


def _strip(frame: SectionFrame, one: Strip) -> Polygon:
    (x0, x1), (y0, y1) = one.x_mm, one.y_mm
    return Polygon(
        owner=OWNER,
        layer=LAYER - 1,
        points=tuple(frame.point(x, y) for x, y in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))),
        stroke=FAINT_STROKE,
        fill=Fill(FAINT.get(one.kind, "#eef2f6")),
    )


def structure_shapes(frame: SectionFrame, found: Structures) -> tuple[AnyShape, ...]:
    """Everything besides bone and skin at its mean place; tendons below nerves and vessels."""
    shapes: list[AnyShape] = [
        Polygon(
            owner=OWNER,
            layer=LAYER,
            points=tuple(frame.point(x, y) for x, y in one.outline),
            stroke=OUTLINE,
            fill=SPACE_FILL,
        )
        for one in found.outlined
    ]
    for structure in sorted(found.round, key=lambda one: one.kind != "tendon"):
        centre = frame.point(*structure.at)
        shapes += kind_mark(OWNER, structure.kind, centre, radius_mm(frame, structure))
    return tuple(shapes)


def beginning_shapes(frame: SectionFrame, found: Iterable[Beginning]) -> tuple[AnyShape, ...]:
    """Rings of dashes where structures end that the plane does not cut, with nothing in them."""
    return tuple(
        Disc(
            owner=OWNER,
            layer=LAYER,
            centre=frame.point(*one.structure.at),
            radius_mm=radius_mm(frame, one.structure),
            stroke=BEGINS_STROKE,
            fill=None,
        )
        for one in found
    )
