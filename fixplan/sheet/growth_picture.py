"""Open growth plates in one view: a dashed line across the bone, in the middle of its levels."""

import functools

from fixplan.checks.growing import Plate, growth_plates
from fixplan.sheet.clipping import spans_at
from fixplan.sheet.cutting import cut_line
from fixplan.sheet.ink import FRACTURE_LAYER, INK
from fixplan.sheet.scene import ViewScene
from fixplan.sheet.shapes import AnyShape, Point, Stroke

OWNER = "growth-plates"
PLATE_STROKE = Stroke(INK, 0.3, "dash")
PAST_MM = 2.0
"""How far the line stands out past the bone on either side."""


@functools.lru_cache(maxsize=16)
def draw_growth_plates(scene: ViewScene) -> tuple[AnyShape, ...]:
    """The plates that this view shows on edge, as the rules place them."""
    shapes: list[AnyShape] = []
    for plate in growth_plates(scene.limb):
        segment = scene.limb.bones[plate.bone].segment
        for line in _lines(scene, plate):
            page = scene.drawn(segment, line)
            shapes += cut_line(OWNER, FRACTURE_LAYER - 1, scene, page, PLATE_STROKE)
    return tuple(shapes)


def _lines(scene: ViewScene, plate: Plate) -> list[list[Point]]:
    """A plate's line across its bone, in drawn coordinates; none where it lies face-on."""
    ring = [(u, v) for u, v in scene.limb.outline(plate.bone, scene.frame.view).tolist()]
    middle = 0.5 * sum(plate.levels_mm)
    segment = scene.limb.bones[plate.bone].segment
    if plate.is_across:
        if scene.frame.view == "front":
            return []
        spans = spans_at([(v, u) for u, v in ring], middle)
        return [[(middle, a - PAST_MM), (middle, b + PAST_MM)] for a, b in spans[:1]]
    if not scene.shows_levels(segment):
        return []
    spans = spans_at(ring, middle)
    return [[(spans[0][0] - PAST_MM, middle), (spans[-1][1] + PAST_MM, middle)]] if spans else []
