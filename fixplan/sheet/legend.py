"""What the marks mean that are used in this drawing, each with a sample."""

import functools
from typing import NamedTuple

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Injury, Wound
from fixplan.case.ring_records import RingInjury
from fixplan.case.rings import FRONT_ALONE, UNSTABLE, backs_of
from fixplan.checks.texts import candidate_words, number
from fixplan.limb.anatomy import Limb
from fixplan.sheet.box import Box
from fixplan.sheet.film_border import FILM_STROKE, film_mm, has_film_border
from fixplan.sheet.fonts import text_width_mm
from fixplan.sheet.growth_picture import PLATE_STROKE
from fixplan.sheet.ink import LABEL_LAYER, SMALL_MM
from fixplan.sheet.laid import faces_other_view
from fixplan.sheet.later_picture import BODY_STROKE, letter_of
from fixplan.sheet.region_picture import (
    FAR_WOUND_STROKE,
    FRACTURE_FILL,
    FRACTURE_STROKE,
    INJURY_FILLS,
    INJURY_STROKE,
    MARGIN_STROKE,
    WOUND_FILL,
    WOUND_STROKE,
)
from fixplan.sheet.ring_picture import PARTLY_STROKE
from fixplan.sheet.section_line import FINE as PLANE_STROKE
from fixplan.sheet.shapes import AnyShape, Fill, Line, Polygon, Stroke, Text

OWNER = "legend"
SAMPLE_MM = 7.0
ROW_MM = 4.2
BETWEEN_MM = 5.0


class Entry(NamedTuple):
    """A sample's look and its words."""

    kind: str
    words: str
    stroke: Stroke
    fill: Fill | None = None


OVERLEAF = Entry("line", "S-S: the section is on page 2", PLANE_STROKE)


def _wound_entries(limb: Limb, wounds: tuple[Wound, ...]) -> list[Entry]:
    entries = []
    areas = dict.fromkeys(w.kind for w in wounds if w.outline)
    lines = dict.fromkeys(w.kind for w in wounds if not w.outline)
    if areas:
        entries.append(Entry("box", f"wound: {', '.join(areas)}", WOUND_STROKE, WOUND_FILL))
    if lines:
        entries.append(Entry("ticks", ", ".join(lines), WOUND_STROKE))
    if any(one.face == "far" or faces_other_view(limb, one) is False for one in wounds):
        entries.append(Entry("box", "on the far side", FAR_WOUND_STROKE))
    return entries


def _injury_entries(injuries: tuple[Injury, ...], margins_mm: tuple[float, ...]) -> list[Entry]:
    entries = []
    for grade, words in (("open", "open, crushed or degloved"), ("bruised", "bruised")):
        if any(injury.grade == grade for injury in injuries):
            entries.append(
                Entry("box", f"zone of injury: {words}", INJURY_STROKE, INJURY_FILLS[grade])
            )
    if margins_mm:
        widths = ", ".join(dict.fromkeys(f"{number(margin)} mm" for margin in margins_mm))
        entries.append(Entry("box", f"margin of injury, {widths}", MARGIN_STROKE))
    return entries


def _ring_entries(ring: RingInjury) -> list[Entry]:
    entries, backs = [], set(backs_of(ring).values())
    if ring.symphysis == "torn" or backs & UNSTABLE:
        entries.append(Entry("zigzag", "joint of the ring torn through", FRACTURE_STROKE))
    if FRONT_ALONE in backs:
        entries.append(Entry("zigzag", "torn in front alone", PARTLY_STROKE))
    return entries


def entries_of(case: Case, margins_mm: tuple[float, ...]) -> tuple[Entry, ...]:
    """The entries that this case needs."""
    entries: list[Entry] = []
    if case.fractures:
        entries.append(Entry("zigzag", "fracture", FRACTURE_STROKE, FRACTURE_FILL))
    if case.open_growth_plates:
        entries.append(Entry("line", "growth plate, level ours", PLATE_STROKE))
    entries += _ring_entries(case.ring)
    entries += _wound_entries(limb_of_case(case), case.wounds)
    if has_film_border(case):
        words = f"skin for the film, {number(film_mm(case))} mm"
        entries.append(Entry("box", words, FILM_STROKE))
    entries += _injury_entries(case.injuries, margins_mm)
    entries += [
        Entry("box", f"{letter_of(index)} later: {candidate_words(candidate)}", BODY_STROKE)
        for index, candidate in enumerate(case.candidates)
    ]
    return tuple(entries)


def _sample(entry: Entry, x: float, y: float) -> list[AnyShape]:
    """A sample whose middle lies on a level line."""
    box = Box(x, y - 1.4, SAMPLE_MM, 2.8)
    if entry.kind == "line":
        ends = ((x, y), (box.right, y))
        return [Line(owner=OWNER, layer=LABEL_LAYER, points=ends, stroke=entry.stroke)]
    if entry.kind == "zigzag":
        step = SAMPLE_MM / 6
        points = tuple((x + k * step, y + (0.9 if k % 2 else -0.9)) for k in range(7))
        return [Line(owner=OWNER, layer=LABEL_LAYER, points=points, stroke=entry.stroke)]
    if entry.kind == "ticks":
        line = ((x, y), (box.right, y))
        shapes: list[AnyShape] = [
            Line(owner=OWNER, layer=LABEL_LAYER, points=line, stroke=entry.stroke)
        ]
        for k in (1, 3, 5):
            at = x + k * SAMPLE_MM / 6
            points = ((at, y - 0.8), (at, y + 0.8))
            shapes.append(
                Line(
                    owner=OWNER,
                    layer=LABEL_LAYER,
                    points=points,
                    stroke=Stroke(entry.stroke.colour, 0.25),
                )
            )
        return shapes
    return [
        Polygon(
            owner=OWNER, layer=LABEL_LAYER, points=box.corners, stroke=entry.stroke, fill=entry.fill
        )
    ]


def _places(entries: tuple[Entry, ...], width_mm: float) -> list[tuple[float, int]]:
    """Left edge and row of each entry, filled from the left."""
    places, x, row = [], 0.0, 0
    for entry in entries:
        wide = SAMPLE_MM + 1.4 + text_width_mm(entry.words, SMALL_MM)
        if x > 0 and x + wide > width_mm:
            x, row = 0.0, row + 1
        places.append((x, row))
        x += wide + BETWEEN_MM
    return places


def legend_height_mm(entries: tuple[Entry, ...], width_mm: float) -> float:
    """Height of the legend at that width."""
    return ROW_MM * (_places(entries, width_mm)[-1][1] + 1) if entries else 0.0


@functools.lru_cache(maxsize=32)
def draw_legend(
    entries: tuple[Entry, ...], x: float, y: float, width_mm: float
) -> tuple[AnyShape, ...]:
    """The legend, its upper left corner at a page point."""
    shapes: list[AnyShape] = []
    for entry, (left, row) in zip(entries, _places(entries, width_mm), strict=True):
        middle = y + ROW_MM * (row + 0.5)
        shapes += _sample(entry, x + left, middle)
        shapes.append(
            Text(
                owner=OWNER,
                layer=LABEL_LAYER,
                at=(x + left + SAMPLE_MM + 1.4, middle + 0.95),
                text=entry.words,
                size_mm=SMALL_MM,
            )
        )
    return tuple(shapes)
