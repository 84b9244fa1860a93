"""What is torn of the pelvic ring, in the front view: a zigzag down each joint that gave way."""

import functools

from fixplan.case.ring_records import RingInjury
from fixplan.case.rings import FRONT_ALONE, SYMPHYSIS, UNSTABLE, back_joint, backs_of
from fixplan.sheet.cutting import cut_line
from fixplan.sheet.ink import FRACTURE_LAYER, INK, LABEL_LAYER, SMALL_MM
from fixplan.sheet.marks import plated_text
from fixplan.sheet.region_picture import FRACTURE_STROKE
from fixplan.sheet.scene import ViewScene
from fixplan.sheet.shapes import AnyShape, Point, Stroke, Text
from fixplan.sheet.strips import distance, unit_vector

OWNER = "ring"
PARTLY_STROKE = Stroke(FRACTURE_STROKE.colour, 0.25)
TOOTH_MM, HALF_WIDTH_MM, LEAST_TEETH = 1.9, 0.9, 4
"""Of a zigzag on paper."""
CUT_OFF_MM = 2.0
"""Room at the lower edge for the line that breaks the view off."""
BESIDE_MM = 2.5
BELOW_MM = 6.4


@functools.lru_cache(maxsize=64)
def draw_ring(scene: ViewScene, ring: RingInjury) -> tuple[AnyShape, ...]:
    """The torn joints; nothing in the side view, where both halves lie over each other."""
    shapes: list[AnyShape] = []
    if scene.frame.view != "front":
        return ()
    if ring.symphysis == "torn":
        shapes += _torn(scene, SYMPHYSIS, FRACTURE_STROKE)
    for half, state in backs_of(ring).items():
        if state in UNSTABLE:
            shapes += _torn(scene, back_joint(half), FRACTURE_STROKE)
        elif state == FRONT_ALONE:
            shapes += _torn(scene, back_joint(half), PARTLY_STROKE)
    return tuple(shapes)


@functools.lru_cache(maxsize=64)
def name_ring(scene: ViewScene, ring: RingInjury) -> tuple[AnyShape, ...]:
    """How far the symphysis stands open, in words: the bones are drawn closed.

    Under it, or beside it where the view is cut off below.
    """
    if scene.frame.view != "front" or ring.symphysis != "torn" or ring.symphysis_mm is None:
        return ()
    x, y = _page(scene, SYMPHYSIS[1])
    owner, words = f"{OWNER}:label", f"{ring.symphysis_mm:g} mm open"
    if y + BELOW_MM > scene.frame.box.bottom - CUT_OFF_MM:
        _, top = _page(scene, SYMPHYSIS[0])
        at = (x + BESIDE_MM, min(0.5 * (top + y), scene.frame.box.bottom - CUT_OFF_MM))
        return plated_text(owner, at, words, SMALL_MM)
    told = Text(
        owner=owner,
        layer=LABEL_LAYER,
        at=(x, y + BELOW_MM),
        text=words,
        size_mm=SMALL_MM,
        colour=INK,
        align="centre",
    )
    return (told,)


def _page(scene: ViewScene, landmark: str) -> Point:
    mark = scene.limb.landmark(landmark)
    return scene.drawn(mark.segment, [(mark.x_mm, mark.level_mm)])[0]


def _torn(scene: ViewScene, ends: tuple[str, str], stroke: Stroke) -> list[AnyShape]:
    """A zigzag from one end of a joint to the other, on the page."""
    first, last = (_page(scene, end) for end in ends)
    (dx, dy), long = unit_vector(first, last), distance(first, last)
    teeth = max(round(long / TOOTH_MM), LEAST_TEETH)
    points = []
    for k in range(teeth + 1):
        at, aside = k * long / teeth, HALF_WIDTH_MM if k % 2 else -HALF_WIDTH_MM
        points.append((first[0] + at * dx - aside * dy, first[1] + at * dy + aside * dx))
    return cut_line(OWNER, FRACTURE_LAYER, scene, points, stroke)
