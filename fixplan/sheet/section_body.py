"""Skin, bones and what runs in them, cut across."""

import functools

from fixplan.geometry.section_structures import structures_at
from fixplan.geometry.spread_strips import strips_at
from fixplan.limb.anatomy import Array, Limb
from fixplan.limb.rings import inside
from fixplan.sheet.ink import BONE_INK, LIMB_LAYER, OUTLINE, SKIN, SKIN_TINT
from fixplan.sheet.section_frame import SectionFrame
from fixplan.sheet.section_halves import halves, skin_points
from fixplan.sheet.section_hazards import spread_shapes, strip_shapes, structure_shapes
from fixplan.sheet.shapes import AnyShape, Fill, Polygon, Stroke

OWNER = "section"
CORTEX_TINT = "#e2d6b8"
CANAL_TINT = "#fbf7ec"
CANAL_STROKE = Stroke(BONE_INK, 0.15)


def _bone(frame: SectionFrame, limb: Limb, name: str, skin: Array | None) -> list[AnyShape]:
    """A bone with cortex and canal; nothing where its section is only guessed.

    Of other groups of sections only what lies within this skin: no other finger beside the one.
    """
    section = limb.section(name, frame.level_mm)
    if section is None or not section.known:
        return []
    apart = section.group != limb.group_of(frame.bone)
    if apart and (skin is None or not inside(skin, section.target)):
        return []
    outline = tuple(frame.to_page(section.outline))
    polygon = functools.partial(Polygon, owner=OWNER, layer=LIMB_LAYER + 1)
    shapes: list[AnyShape] = [polygon(points=outline, stroke=OUTLINE, fill=Fill(CORTEX_TINT))]
    if section.canal is not None:
        canal = tuple(frame.to_page(section.canal))
        shapes.append(polygon(points=canal, stroke=CANAL_STROKE, fill=Fill(CANAL_TINT)))
    return shapes


@functools.lru_cache(maxsize=128)
def body_shapes(frame: SectionFrame, limb: Limb) -> tuple[AnyShape, ...]:
    """Skin, bones and structures: what a turn of the pin leaves as it is."""
    shapes: list[AnyShape] = []
    if points := skin_points(frame, limb):
        shapes.append(
            Polygon(owner=OWNER, layer=LIMB_LAYER, points=points, stroke=SKIN, fill=Fill(SKIN_TINT))
        )
    for half in halves(frame, limb):
        shapes += inside_half(half, limb)
    return tuple(shapes)


def inside_half(frame: SectionFrame, limb: Limb) -> tuple[AnyShape, ...]:
    """Bones and structures of one half."""
    skin = limb.skin(limb.group_of(frame.bone), frame.level_mm)
    found = structures_at(limb, limb.group_of(frame.bone), frame.level_mm)
    strips = strips_at(limb, limb.group_of(frame.bone), frame.level_mm)
    shapes: list[AnyShape] = [*spread_shapes(frame, found), *strip_shapes(frame, strips)]
    for name in limb.segments[frame.segment].bones:
        shapes += _bone(frame, limb, name, skin)
    return (*shapes, *structure_shapes(frame, found))
