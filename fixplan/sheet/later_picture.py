"""Later fixation in one view: dash-dotted outlines, a letter for each candidate, zones ruled."""

import functools
from collections.abc import Iterable

from fixplan.case.records import Candidate, CorridorPart, FreeOutline, Incision, Nail, Plate
from fixplan.geometry.corridors import nail_outline, plate_outline, zone_outline
from fixplan.sheet.cutting import cut_line, cut_outline
from fixplan.sheet.ink import LATER_INK, LATER_LAYER
from fixplan.sheet.laid import laid_in_view
from fixplan.sheet.marks import plated_text
from fixplan.sheet.scene import Array, ViewScene
from fixplan.sheet.shapes import AnyShape, Disc, Fill, Line, Point, Polygon, Stroke
from fixplan.sheet.strips import distance

BODY_STROKE = Stroke(LATER_INK, 0.35, "dash-dot")
LINE_STROKE = Stroke(LATER_INK, 0.5, "dash-dot")
EDGE_STROKE = Stroke(LATER_INK, 0.18, "dash-dot-dot")
FREE_STROKE = Stroke(LATER_INK, 0.35, "dash-dot-dot")
TAG_MM = 4.4
OWN_APART_MM = 18.0
ZONE_FILL = Fill(hatch="left", colour=LATER_INK, spacing_mm=1.5)


LETTERS = "XYZWVUTRQPNMLK"
"""From the end of the alphabet: the ends of clear directions are a, b, c; the section is S."""


def letter_of(index: int) -> str:
    """X, Y, Z, W ... for the candidates in their order."""
    return LETTERS[index % len(LETTERS)]


def _page(scene: ViewScene, segment: str, ring: Array) -> list[Point]:
    return scene.drawn(segment, ring) if len(ring) >= 3 else []


def _plate(scene: ViewScene, owner: str, plate: Plate) -> list[AnyShape]:
    segment = scene.limb.bones[plate.bone].segment
    ring = _page(scene, segment, plate_outline(scene.limb, plate, scene.frame.view))
    return cut_outline(owner, LATER_LAYER, scene, ring, BODY_STROKE)


def _nail(scene: ViewScene, owner: str, nail: Nail) -> list[AnyShape]:
    segment, view = scene.limb.bones[nail.bone].segment, scene.frame.view
    shapes: list[AnyShape] = []
    for band in (nail.entry_zone, *nail.locking_zones):
        zone = _page(scene, segment, zone_outline(scene.limb, nail.bone, band, view))
        shapes += cut_outline(owner, LATER_LAYER, scene, zone, EDGE_STROKE, ZONE_FILL)
    ring = _page(scene, segment, nail_outline(scene.limb, nail, view))
    return shapes + cut_outline(owner, LATER_LAYER, scene, ring, BODY_STROKE)


def _incision(scene: ViewScene, owner: str, incision: Incision) -> list[AnyShape]:
    page, near = scene.drawn(incision.segment, incision.line), incision.face == "near"
    if incision.view != scene.frame.view:
        page, faces = laid_in_view(scene, incision)
        near = faces is not False
    stroke = LINE_STROKE if near else EDGE_STROKE
    return cut_line(owner, LATER_LAYER, scene, page, stroke)


def _free(scene: ViewScene, owner: str, free: FreeOutline) -> list[AnyShape]:
    outline = free.front if scene.frame.view == "front" else free.side
    if not outline:
        return []
    page = scene.drawn(free.segment, outline)
    return cut_outline(owner, LATER_LAYER, scene, page, FREE_STROKE)


def _is_known(scene: ViewScene, part: CorridorPart) -> bool:
    if isinstance(part, Plate | Nail):
        return part.bone in scene.limb.bones
    return part.segment in scene.limb.segments


def _part(scene: ViewScene, owner: str, part: CorridorPart) -> list[AnyShape]:
    if not _is_known(scene, part):
        return []
    if isinstance(part, Plate):
        return _plate(scene, owner, part)
    if isinstance(part, Nail):
        return _nail(scene, owner, part)
    if isinstance(part, Incision):
        return _incision(scene, owner, part)
    return _free(scene, owner, part)


def _highest(shapes: Iterable[AnyShape]) -> Point | None:
    points = [p for s in shapes if isinstance(s, Line | Polygon) for p in s.points]
    return min(points, key=lambda p: p[1], default=None)


@functools.lru_cache(maxsize=128)
def _parts(scene: ViewScene, candidate: Candidate) -> tuple[tuple[AnyShape, ...], ...]:
    return tuple(tuple(_part(scene, candidate.id, part)) for part in candidate.parts)


def draw_candidate(scene: ViewScene, candidate: Candidate) -> tuple[AnyShape, ...]:
    """What a candidate will need."""
    return tuple(shape for part in _parts(scene, candidate) for shape in part)


@functools.lru_cache(maxsize=32)
def draw_letters(
    scene: ViewScene, candidates: tuple[Candidate, ...]
) -> tuple[tuple[AnyShape, ...], ...]:
    """Each candidate's letter at the upper end of its parts; letters stand clear of each other."""
    taken: list[Point] = []
    letters = []
    for index, candidate in enumerate(candidates):
        own: list[Point] = []
        shapes: list[AnyShape] = []
        for part in _parts(scene, candidate):
            at = _highest(part)
            if at is None or _is_near(at, own, OWN_APART_MM):
                continue
            while _is_near(at, taken, TAG_MM):
                at = (at[0] + 0.5 * TAG_MM, at[1])
            own.append(at)
            taken.append(at)
            shapes += _tag(f"{candidate.id}:label", letter_of(index), (at[0], at[1] + 2.2))
        letters.append(tuple(shapes))
    return tuple(letters)


def _is_near(at: Point, others: list[Point], apart_mm: float) -> bool:
    return any(distance(at, other) < apart_mm for other in others)


def _tag(owner: str, letter: str, at: Point) -> list[AnyShape]:
    plate = Disc(
        owner=owner,
        layer=LATER_LAYER,
        centre=(at[0], at[1] - 0.95),
        radius_mm=1.9,
        stroke=Stroke(LATER_INK, 0.2),
        fill=Fill("#ffffff"),
    )
    return [plate, *plated_text(owner, at, letter, 2.6, LATER_INK, "centre", bold=True)[1:]]
