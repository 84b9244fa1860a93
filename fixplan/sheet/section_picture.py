"""The section: skin, bones, what runs in it, the pin, and the clear directions round it."""

import functools
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from fixplan.case.scalars import Side
from fixplan.checks.clear_sides import clear_bands, clear_margins, shape_of
from fixplan.geometry.paths import pin_path
from fixplan.geometry.section_near import Beginning, beginning_near, begins_words, near_axis
from fixplan.geometry.section_structures import level_is_known, structures_at
from fixplan.limb.anatomy import Limb
from fixplan.limb.words import ways_of
from fixplan.sheet.box import Box, box_round
from fixplan.sheet.ink import (
    HEAD_MM,
    INK,
    LABEL_LAYER,
)
from fixplan.sheet.layout import TITLE_MM, SectionSpot
from fixplan.sheet.section_bands import (
    LetteredBands,
    Obstacle,
    SkinRing,
    band_shapes,
    letter_shapes,
    lettered,
)
from fixplan.sheet.section_bars import OWNER as BARS_OWNER
from fixplan.sheet.section_bars import BarCut, bar_shapes
from fixplan.sheet.section_body import OWNER, body_shapes
from fixplan.sheet.section_cut import Cut
from fixplan.sheet.section_frame import SectionFrame, section_frame
from fixplan.sheet.section_halves import (
    SIDES,
    other_bone,
    other_frame,
    side_words,
    skin_points,
)
from fixplan.sheet.section_hazards import (
    beginning_shapes,
)
from fixplan.sheet.section_labels import NamedPlace, label_shapes
from fixplan.sheet.section_notes import note_shapes
from fixplan.sheet.section_pin import (
    NUMBER_RADIUS_MM,
    PinInSection,
    pin_in_section,
    section_owner,
)
from fixplan.sheet.section_things import OWNER as THINGS_OWNER
from fixplan.sheet.section_things import Things, things_drawn
from fixplan.sheet.section_title import title_shapes, title_words
from fixplan.sheet.section_words import Segment, segments_of, word_shapes
from fixplan.sheet.shapes import AnyShape, Line, Point, Text
from fixplan.sheet.standing import standing
from fixplan.sheet.strips import rod
from fixplan.sheet.views import mirror

LETTER_ROOM_MM = 1.7
PIN_ROOM_MM = 0.8
NO_THINGS = Things()
NOT_ASSESSED = "no section here: not assessed"

Groups = dict[str, tuple[AnyShape, ...]]


class SectionDrawing(NamedTuple):
    """The groups of the section in the order in which they are painted, and its frame."""

    groups: Groups
    frame: SectionFrame


def _beginning(
    frame: SectionFrame, limb: Limb, cut: Cut, bands: LetteredBands | None
) -> tuple[Beginning, ...]:
    """What the plane does not cut, but the pin comes near to or a band names as its limit."""
    if cut.like is None:
        return ()
    within_mm = clear_margins().gap_mm
    reach_mm = within_mm + cut.like.diameter_mm / 2
    found = beginning_near(limb, limb.group_of(frame.bone), frame.level_mm, reach_mm)
    if not found:
        return ()
    named = set() if bands is None else {end.limit.name for end in bands.ends}
    named |= set() if bands is None else set(bands.closed_by)
    near = () if cut.pin is None else near_axis(found, pin_path(limb, cut.pin), within_mm)
    return tuple(one for one in found if one.structure.name in named or one.structure.track in near)


def _beginning_names(
    frame: SectionFrame, limb: Limb, found: Sequence[Beginning]
) -> Iterator[NamedPlace]:
    places = ways_of(limb, frame.segment).places
    for one in found:
        name = f"{one.structure.name}, {begins_words(one, places)}"
        yield NamedPlace(name, frame.point(*one.structure.at), INK)


@functools.lru_cache(maxsize=128)
def _names(frame: SectionFrame, limb: Limb, cut: tuple[NamedPlace, ...]) -> tuple[AnyShape, ...]:
    found = structures_at(limb, limb.group_of(frame.bone), frame.level_mm)
    bone = limb.section(frame.bone, frame.level_mm)
    near = None if bone is None else (float(bone.target[0]), float(bone.target[1]))
    return label_shapes(frame, found, cut, near)


@functools.lru_cache(maxsize=128)
def _skin_box(frame: SectionFrame, limb: Limb) -> Box | None:
    """The rectangle round the skin on the page."""
    points = skin_points(frame, limb)
    return box_round(points) if points else None


def _words(
    frame: SectionFrame,
    limb: Limb,
    letters: Sequence[AnyShape],
    pin: PinInSection | None,
    names: Sequence[AnyShape],
) -> tuple[AnyShape, ...]:
    """The words on the four sides, clear of leaders, letters and pin."""
    skin = _skin_box(frame, limb)
    if skin is None:
        return ()
    leaders = [shape for shape in names if isinstance(shape, Line)]
    lines = segments_of(leaders) + (() if pin is None else _outline(pin))
    boxes = [*standing(letters), *(() if pin is None else standing(pin.shapes))]
    return word_shapes(frame, skin, side_words(frame, limb), tuple(boxes), lines)


def _outline(pin: PinInSection) -> tuple[Segment, ...]:
    """The axis of the pin and its two long sides, with a little room."""
    a, b, c, d = rod(*pin.ends, pin.width_mm + PIN_ROOM_MM)
    return pin.ends, (a, b), (d, c)


def _bands(frame: SectionFrame, limb: Limb, cut: Cut) -> LetteredBands | None:
    """The clear directions of this cut; None where none can be told."""
    if cut.like is None:
        return None
    bands = clear_bands(
        limb,
        frame.bone,
        frame.level_mm,
        shape_of(cut.like),
        open_approach=cut.like.open_approach,
    )
    return None if bands is None else lettered(bands)


@functools.lru_cache(maxsize=128)
def _skin_ring(frame: SectionFrame, limb: Limb) -> SkinRing | None:
    """The skin as seen from the target."""
    skin = limb.skin(limb.group_of(frame.bone), frame.level_mm)
    return None if skin is None else SkinRing(frame, skin)


@functools.lru_cache(maxsize=128)
def _ring(frame: SectionFrame, limb: Limb, bands: LetteredBands) -> tuple[AnyShape, ...]:
    """The bands."""
    ring = _skin_ring(frame, limb)
    return () if ring is None else band_shapes(ring, bands)


@functools.lru_cache(maxsize=128)
def _letters(
    frame: SectionFrame, limb: Limb, bands: LetteredBands, pin: PinInSection | None
) -> tuple[AnyShape, ...]:
    """The letters of the bands."""
    ring = _skin_ring(frame, limb)
    if ring is None:
        return ()
    obstacles = () if pin is None else _obstacles(pin)
    return letter_shapes(ring, bands, obstacles)


def _obstacles(pin: PinInSection) -> tuple[Obstacle, ...]:
    """The pin and its number, with room for half a letter."""
    return (
        Obstacle(*pin.ends, 0.5 * pin.width_mm + LETTER_ROOM_MM),
        Obstacle(pin.label, pin.label, NUMBER_RADIUS_MM + LETTER_ROOM_MM),
    )


def _unknown(box: Box) -> tuple[AnyShape, ...]:
    """What stands where the level has no authored section."""
    centre: Point = (box.x + 0.5 * box.width, box.y + 0.5 * box.height)
    return (
        Text(
            owner=OWNER,
            layer=LABEL_LAYER,
            at=centre,
            text=NOT_ASSESSED,
            size_mm=HEAD_MM,
            bold=True,
            colour=INK,
            align="centre",
        ),
    )


def own_side(limb: Limb, segment: str, side: Side) -> Side:
    """The side on which a segment lies: its own, where the limb has it on both."""
    return SIDES.get(limb.references[segment].suffix, side)


def _on_other_half(frame: SectionFrame, limb: Limb, beside: Things | None) -> tuple[AnyShape, ...]:
    """What was drawn on the half beside."""
    if not frame.beside or beside is None:
        return ()
    return things_drawn(other_frame(frame, limb), limb, beside).shapes


def draw_section(
    cut: Cut,
    limb: Limb,
    side: Side,
    spot: SectionSpot,
    lengths_mm: Mapping[str, float],
    things: Things = NO_THINGS,
    bars: tuple[BarCut, ...] = (),
    beside: Things | None = None,
) -> SectionDrawing:
    """The section at its spot on the page; `lengths_mm` are those of the pins, by id.

    `things` is what was drawn on the limb and may be cut, `bars` are those that pass the plane.
    `beside`: what was drawn on the other half, where a limb has both and both are to be drawn.
    """
    box = spot.picture
    pin = None if cut.pin is None else cut.pin.id
    inner = Box(box.x, box.y + TITLE_MM, box.width, box.height - TITLE_MM)
    plane = (cut.segment, cut.level_mm, cut.bone)
    other = "" if beside is None else other_bone(limb, cut.bone, cut.level_mm, side)
    turned = mirror("front", own_side(limb, cut.segment, side))
    frame = section_frame(limb, plane, pin, inner, turned, other)
    groups: Groups = {"section:title": title_shapes(title_words(cut, limb), box)}
    if not level_is_known(limb, limb.group_of(cut.bone), cut.level_mm):
        groups["section"] = _unknown(inner)
        return SectionDrawing(groups, frame)
    bands, drawn = _bands(frame, limb, cut), None
    cut_through = things_drawn(frame, limb, things)
    beginning = _beginning(frame, limb, cut, bands)
    groups["section"] = (*body_shapes(frame, limb), *beginning_shapes(frame, beginning))
    groups[THINGS_OWNER] = (*cut_through.shapes, *_on_other_half(frame, limb, beside))
    groups["section:bands"] = () if bands is None else _ring(frame, limb, bands)
    if cut.pin is not None:
        drawn = pin_in_section(frame, limb, cut.pin, lengths_mm[cut.pin.id])
    letters = () if bands is None else _letters(frame, limb, bands, drawn)
    named = (*cut_through.names, *_beginning_names(frame, limb, beginning))
    names = _names(frame, limb, named)
    groups["section:labels"] = names
    if cut.pin is not None and drawn is not None:
        groups[section_owner(cut.pin.id)] = drawn.shapes
    passing = bar_shapes(frame, bars, drawn, tuple(standing(letters)))
    groups[BARS_OWNER] = passing
    groups["section:letters"] = letters
    groups["section:words"] = _words(
        frame, limb, (*letters, *cut_through.shapes, *groups[BARS_OWNER]), drawn, names
    )
    groups["section:notes"] = note_shapes(spot.notes, limb, cut, bands, other)
    return SectionDrawing(groups, frame)
