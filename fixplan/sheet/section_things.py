"""What the section's level cuts of what was drawn: injury, wounds, later fixation, other pins.

The marks are those of front and side view: the zone of injury hatched, its cut edge dashed; a wound
or a skin line heavy on the skin; a later plate or nail dash-dotted. Other pins near the level are
outXX at its place, or at the edge if it runs farther out.
"""

import functools
from collections.abc import Iterable, Mapping
from typing import NamedTuple

import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray

from fixplan.case.records import Candidate, Case, FreeOutline, Incision, Injury, Nail, Pin, Wound
from fixplan.geometry.corridors import nail_section, plate_section
from fixplan.geometry.paths import pin_path
from fixplan.geometry.section_marks import mark_section, zone_section
from fixplan.limb.anatomy import Limb
from fixplan.sheet.ink import (
    FAINT_INK,
    INJURY_INK,
    INJURY_LAYER,
    INK,
    LATER_INK,
    LATER_LAYER,
    PAPER,
    PIN_LAYER,
    SOFT_INK,
    WOUND_INK,
    WOUND_LAYER,
)
from fixplan.sheet.later_picture import BODY_STROKE, FREE_STROKE, ZONE_FILL, letter_of
from fixplan.sheet.marks import balloon
from fixplan.sheet.pin_picture import ends_of
from fixplan.sheet.region_picture import INJURY_FILLS, INJURY_STROKE
from fixplan.sheet.section_cut import Cut
from fixplan.sheet.section_frame import SectionFrame
from fixplan.sheet.section_labels import NamedPlace
from fixplan.sheet.section_pin import EDGE_MM, kept_in
from fixplan.sheet.shapes import AnyShape, Disc, Fill, Line, Point, Polygon, Stroke
from fixplan.sheet.strips import along, rod

OWNER = "section:things"
MARK_STROKE = Stroke(WOUND_INK, 1.1)
INCISION_STROKE = Stroke(LATER_INK, 0.9, "dash")
OTHER_STROKE = Stroke(FAINT_INK, 0.2)
BAR_STROKE = Stroke(INK, 0.25)
FAR_BAR_STROKE = Stroke(INK, 0.25, "dash")
PLATE_FILL = ZONE_FILL
OTHER_RADIUS_MM = 1.7
OTHER_TEXT_MM = 2.6
NEAR_MM = 8.0
"""Another pin is drawn if it comes this near to the level, mm."""


Array = NDArray[np.float64]


class Things(NamedTuple):
    """What was drawn in the segment of a section and may reach its level."""

    injuries: tuple[Injury, ...] = ()
    wounds: tuple[Wound, ...] = ()
    candidates: tuple[Candidate, ...] = ()
    pins: tuple[tuple[Pin, float], ...] = ()


class ThingsDrawn(NamedTuple):
    """The shapes below the pin, and what is to be named beside the section."""

    shapes: tuple[AnyShape, ...]
    names: tuple[NamedPlace, ...]


NOTHING = ThingsDrawn((), ())


def things_at(case: Case, limb: Limb, cut: Cut, lengths_mm: Mapping[str, float]) -> Things:
    """What the plane of a section may cut; `lengths_mm` are those of the pins, by id."""
    pins = tuple(
        (pin, lengths_mm[pin.id])
        for pin in case.pins
        if pin.id in lengths_mm and pin != cut.pin and _comes_near(limb, pin, cut)
    )
    return Things(
        tuple(one for one in case.injuries if one.segment == cut.segment),
        tuple(one for one in case.wounds if one.segment == cut.segment),
        case.candidates,
        pins,
    )


def _comes_near(limb: Limb, pin: Pin, cut: Cut) -> bool:
    if limb.bones[pin.bone].segment != cut.segment:
        return False
    path = pin_path(limb, pin)
    levels = [path.level_at(path.tip_end_mm), path.level_at(path.skin_mm)]
    return min(levels) - NEAR_MM <= cut.level_mm <= max(levels) + NEAR_MM


@functools.lru_cache(maxsize=128)
def things_drawn(frame: SectionFrame, limb: Limb, things: Things) -> ThingsDrawn:
    """Everything that the plane cuts, as shapes and names."""
    shapes: list[AnyShape] = []
    names: list[NamedPlace] = []
    for drawn in _parts(frame, limb, things):
        shapes += drawn.shapes
        names += drawn.names
    for pin, length_mm in things.pins:
        shapes += _other_pin(frame, limb, pin, length_mm)
    return ThingsDrawn(tuple(shapes), tuple(names))


def _parts(frame: SectionFrame, limb: Limb, things: Things) -> Iterable[ThingsDrawn]:
    """Injuries lowest, then later fixation, then what lies on the skin."""
    for injury in things.injuries:
        yield _injury(frame, limb, injury)
    for index, candidate in enumerate(things.candidates):
        yield from _candidate(frame, limb, candidate, letter_of(index))
    for wound in things.wounds:
        yield _mark(frame, limb, wound, wound.kind, MARK_STROKE)


def _rings(frame: SectionFrame, rings: Iterable[Array]) -> list[tuple[Point, ...]]:
    return [tuple(frame.to_page(ring)) for ring in rings]


def _outermost(frame: SectionFrame, points: Iterable[Point]) -> Point:
    """The point farthest to one side, where a leader from a name ends."""
    middle = frame.inner.x + 0.5 * frame.inner.width
    return max(points, key=lambda point: abs(point[0] - middle))


def _injury(frame: SectionFrame, limb: Limb, injury: Injury) -> ThingsDrawn:
    rings = _rings(frame, zone_section(limb, injury, frame.level_mm))
    if not rings:
        return NOTHING
    draw = functools.partial(
        Polygon,
        owner=OWNER,
        layer=INJURY_LAYER,
        stroke=INJURY_STROKE,
        fill=INJURY_FILLS[injury.grade],
    )
    at = _outermost(frame, rings[0])
    name = NamedPlace(f"zone of injury, {injury.grade}", at, INJURY_INK)
    return ThingsDrawn(tuple(draw(points=ring) for ring in rings), (name,))


def _mark(
    frame: SectionFrame, limb: Limb, mark: Wound | Incision, name: str, stroke: Stroke
) -> ThingsDrawn:
    """A mark on the skin: a heavy line along it, or a point of that width."""
    pieces = _rings(frame, mark_section(limb, mark, frame.level_mm))
    if not pieces:
        return NOTHING
    shapes = tuple(
        Line(owner=OWNER, layer=WOUND_LAYER, points=piece, stroke=stroke)
        if len(piece) > 1
        else _dot(piece[0], stroke)
        for piece in pieces
    )
    middle = pieces[0][len(pieces[0]) // 2]
    return ThingsDrawn(shapes, (NamedPlace(name, middle, stroke.colour),))


def _dot(at: Point, stroke: Stroke) -> Disc:
    fill = Fill(stroke.colour)
    radius = 0.7 * stroke.width_mm
    return Disc(owner=OWNER, layer=WOUND_LAYER, centre=at, radius_mm=radius, stroke=None, fill=fill)


def _candidate(
    frame: SectionFrame, limb: Limb, candidate: Candidate, letter: str
) -> Iterable[ThingsDrawn]:
    """The parts of one candidate, each named by its letter and what it is."""
    for part in candidate.parts:
        if isinstance(part, Incision):
            if part.segment == frame.segment:
                yield _mark(frame, limb, part, f"{letter} incision", INCISION_STROKE)
        elif isinstance(part, FreeOutline):
            if part.segment == frame.segment:
                rings = zone_section(limb, part, frame.level_mm)
                yield _later(frame, rings, f"{letter} kept free", FREE_STROKE, None)
        elif part.bone in limb.segments[frame.segment].bones:
            if isinstance(part, Nail):
                rings = nail_section(limb, part, frame.level_mm)
                yield _later(frame, rings, f"{letter} nail", BODY_STROKE, None)
            else:
                rings = plate_section(limb, part, frame.level_mm)
                yield _later(frame, rings, f"{letter} plate", BODY_STROKE, PLATE_FILL)


def _later(
    frame: SectionFrame, rings: Iterable[Array], name: str, stroke: Stroke, fill: Fill | None
) -> ThingsDrawn:
    page = _rings(frame, rings)
    if not page:
        return NOTHING
    shapes = tuple(
        Polygon(owner=OWNER, layer=LATER_LAYER, points=ring, stroke=stroke, fill=fill)
        for ring in page
    )
    return ThingsDrawn(shapes, (NamedPlace(name, _outermost(frame, page[0]), LATER_INK),))


def _other_pin(frame: SectionFrame, limb: Limb, pin: Pin, length_mm: float) -> list[AnyShape]:
    """The outline of a pin near the level, broken off where the drawing ends, with its number."""
    path = pin_path(limb, pin)
    ends = ends_of(path, length_mm)
    places = (ends.outer_mm, path.near_mm if path.hits_bone else path.tip_end_mm, ends.inner_mm)
    outer, near, inner = (frame.point(*path.point(mm)[:2].tolist()) for mm in places)
    outer = kept_in(frame.inner, EDGE_MM + 2 * OTHER_RADIUS_MM, near, outer)
    inner = kept_in(frame.inner, EDGE_MM, near, inner)
    body = rod(outer, inner, max(frame.scale * pin.diameter_mm, 0.6))
    at = along(outer, inner, -OTHER_RADIUS_MM)
    _, number = balloon(OWNER, pin.number, at, OTHER_RADIUS_MM)
    return [
        Polygon(owner=OWNER, layer=PIN_LAYER - 1, points=body, stroke=OTHER_STROKE, fill=None),
        Disc(
            owner=OWNER,
            layer=PIN_LAYER - 1,
            centre=at,
            radius_mm=OTHER_RADIUS_MM,
            stroke=OTHER_STROKE,
            fill=Fill(PAPER),
        ),
        replace(number, size_mm=OTHER_TEXT_MM, bold=False, colour=SOFT_INK),
    ]
