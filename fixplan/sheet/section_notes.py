"""What the section's bands say in words: where nothing was found, and what limits each end."""

import functools
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from fixplan.checks.clear_sides import clear_margins, goes_through_muscle, margins_of
from fixplan.checks.texts import diameter_words, listed, number
from fixplan.frame.pin_words import TILT_SHOWN_DEG
from fixplan.geometry.clear_arcs import NARROW_DEG
from fixplan.geometry.clear_spread import NAMED
from fixplan.geometry.section_structures import structures_at
from fixplan.geometry.spread_bands import published_band
from fixplan.geometry.spread_strips import strips_at
from fixplan.limb.anatomy import Limb
from fixplan.sheet.box import Box
from fixplan.sheet.fonts import text_width_mm, wrapped
from fixplan.sheet.ink import INK, LABEL_LAYER, SMALL_MM, SOFT_INK
from fixplan.sheet.rows import LEADING
from fixplan.sheet.section_bands import (
    BAND_STROKE,
    CLEAR_FILL,
    CUSTOMARY_FILL,
    SPREAD_FILL,
    Band,
    End,
    LetteredBands,
)
from fixplan.sheet.section_cut import Cut
from fixplan.sheet.section_hazards import KINDS, kind_mark
from fixplan.sheet.shapes import AnyShape, Fill, Polygon, Text

OWNER = "section:notes"
PITCH_MM = LEADING * SMALL_MM
SAMPLE_MM = 6.0
LEAD_MM = 3.0
AFTER_LIST_MM = 0.8
LIMITED = "Limited by"
GREY = (
    "What is named in grey (skin nerves, small vessels, tendons) does not end the light band: "
    "open and protect."
)
BLOCKERS_NAMED = 5
NBSP = "\u00a0"
OFF_CENTRE_MM = 0.5
PART_WORDS = {"near": "", "far": ", at the tip", "entry": ""}


class Note(NamedTuple):
    """A paragraph, with a sample of a band or a letter before it."""

    words: str
    fill: Fill | None = None
    lead: str = ""
    bold: bool = False
    colour: str = INK


def _arcs(band: Band, bands: LetteredBands) -> str:
    """The arcs of a band by the letters of their ends."""
    told = []
    for arc in band.arcs:
        ends = (bands.letter(arc.from_deg), bands.letter(arc.to_deg))
        told.append(
            f"{ends[0]}{NBSP}to{NBSP}{ends[1]}{NBSP}({number(arc.width_deg)}°)"
            if all(ends)
            else "all round"
        )
    return ", ".join(told) or "no direction"


def _pin_words(cut: Cut) -> str:
    if cut.like is None:
        return "pin"
    return f"{diameter_words(cut.like.diameter_mm)} mm {cut.like.kind}-pin"


def _end(end: End, cut: Cut, limb: Limb) -> str:
    name = limb.bones[end.limit.name].title if end.limit.name in limb.bones else end.limit.name
    far = ", on its far side" if cut.like is not None and cut.like.kind == "through" else None
    part = PART_WORDS[end.limit.part]
    return f"{name}{far if part and far else part}"


def _limits(bands: LetteredBands, cut: Cut, limb: Limb) -> dict[str, str]:
    """What limits the ends, each with the letters of the ends that it limits."""
    found: dict[str, list[str]] = {}
    for end in bands.ends:
        found.setdefault(_end(end, cut, limb), []).append(end.letter)
    return {words: ",".join(letters) for words, letters in found.items()}


def _cautions(cut: Cut, bands: LetteredBands) -> list[Note]:
    notes = []
    narrow = bands.clear.narrow + bands.customary.narrow
    if narrow:
        arcs = "1 arc" if narrow == 1 else f"{narrow} arcs"
        notes.append(Note(f"{arcs} under {number(NARROW_DEG)}° not drawn.", colour=SOFT_INK))
    pin = cut.pin
    if pin is not None and abs(pin.tilt_deg) > TILT_SHOWN_DEG:
        notes.append(Note("Bands drawn for an untilted pin.", bold=True))
    if pin is not None and abs(pin.offset_mm) > OFF_CENTRE_MM:
        notes.append(Note("Bands drawn for a pin through the bone's middle.", bold=True))
    return notes


def notes_of(limb: Limb, cut: Cut, bands: LetteredBands | None) -> list[Note]:
    """The paragraphs beside a section."""
    if bands is None:
        return [Note(f"Clear directions in the {limb.bones[cut.bone].title}: not assessed.")]
    off = "tendons" if goes_through_muscle(cut.bone) else "muscle and tendons"
    notes = [
        Note(
            f"Clear of nerves and vessels, nothing found within {_margin_words(cut.bone)} of a "
            f"{_pin_words(cut)}: {_arcs(bands.clear, bands)}",
            CLEAR_FILL,
        ),
        Note(
            f"Customary side of these, off {off}: {_arcs(bands.customary, bands)}",
            CUSTOMARY_FILL,
        ),
    ]
    if _has_grey(limb, cut):
        notes.append(Note(GREY))
    if bands.spread.arcs:
        notes.append(Note("Of the clear directions, these enter a published spread.", SPREAD_FILL))
    if bands.closed_by:
        notes.append(Note(f"Blocked on every side by: {_blockers(bands.closed_by, limb)}."))
    if bands.ends:
        notes.append(Note(LIMITED))
        notes += [Note(words, lead=letters) for words, letters in _limits(bands, cut, limb).items()]
    return [*notes, *_cautions(cut, bands), Note(_spread_words(limb, cut), colour=SOFT_INK)]


def _blockers(names: Sequence[str], limb: Limb) -> str:
    """What blocks every side: a few by name, the others counted."""
    told = [limb.bones[name].title if name in limb.bones else name for name in names]
    more = len(told) - BLOCKERS_NAMED
    return listed([*told[:BLOCKERS_NAMED], f"{more} more"] if more > 1 else told)


def _has_grey(limb: Limb, cut: Cut) -> bool:
    """Whether structures stand there that the clear directions do not keep off."""
    found = structures_at(limb, limb.group_of(cut.bone), cut.level_mm)
    return any(one.grade != NAMED for one in found.round)


def _margin_words(bone: str) -> str:
    """The margins that the bands keep: "5 mm"; past a slender bone less, and what is told then."""
    usual, own = clear_margins(), margins_of(bone)
    gap = number(own.gap_mm)
    if own == usual:
        return f"{gap} mm"
    past, told = number(own.far_gap_mm or 0.0), number(usual.far_gap_mm or 0.0)
    return f"{gap} mm (past this slender bone {past} mm; from {past} to {told} mm a caution stays)"


def _spread_words(limb: Limb, cut: Cut) -> str:
    """Whose spread is drawn, and that it is not known of the others."""
    found = structures_at(limb, limb.group_of(cut.bone), cut.level_mm)
    strips = strips_at(limb, limb.group_of(cut.bone), cut.level_mm)
    names = [*(band.name for band in found.spreads), *(strip.name for strip in strips)]
    known = listed(list(dict.fromkeys(names)))
    told = _told_spreads(limb, cut, {one.track: one.name for one in found.round})
    faint = f" Faint: published spread of the {known}; of the others not known." if known else ""
    if not faint:
        rest = "; spread of the others not known." if told else "; spread not known."
        return f"Structures stand at their mean place{rest}{told}"
    return f"Structures stand at their mean place.{faint}{told}"


def _told_spreads(limb: Limb, cut: Cut, drawn: Mapping[str, str]) -> str:
    """Published spreads told from a point that the section does not show, as sentences."""
    listed_here = limb.groups[limb.group_of(cut.bone)].authored.spreads
    told = (
        (drawn[one.track], one.what, *map(number, published_band(one)))
        for one in listed_here
        if one.measured_from and one.track in drawn
    )
    return "".join(
        f" The {name} {what}, {low} to {high} mm away." for name, what, low, high in told
    )


def _sample(fill: Fill, x: float, middle: float) -> AnyShape:
    top, bottom, right = middle - 0.7, middle + 0.7, x + SAMPLE_MM - 1.4
    return Polygon(
        owner=OWNER,
        layer=LABEL_LAYER,
        points=((x, top), (right, top), (right, bottom), (x, bottom)),
        stroke=BAND_STROKE,
        fill=fill,
    )


def _paragraph(note: Note, box: Box, y: float) -> tuple[list[AnyShape], float]:
    indent = SAMPLE_MM if note.fill is not None else 0.0
    if note.lead:
        indent = max(LEAD_MM, text_width_mm(note.lead, SMALL_MM, True) + 1.0)
    lines = wrapped(note.words, SMALL_MM, box.width - indent, note.bold)
    shapes: list[AnyShape] = [
        Text(
            owner=OWNER,
            layer=LABEL_LAYER,
            at=(box.x + indent, y + SMALL_MM + PITCH_MM * k),
            text=line,
            size_mm=SMALL_MM,
            bold=note.bold,
            colour=note.colour,
        )
        for k, line in enumerate(lines)
    ]
    if note.fill is not None:
        shapes.append(_sample(note.fill, box.x, y + 0.62 * SMALL_MM))
    if note.lead:
        shapes.append(
            Text(
                owner=OWNER,
                layer=LABEL_LAYER,
                at=(box.x, y + SMALL_MM),
                text=note.lead,
                size_mm=SMALL_MM,
                bold=True,
            )
        )
    return shapes, y + PITCH_MM * len(lines) + (0.0 if note.lead else 0.7)


def _kinds(limb: Limb, cut: Cut, box: Box, y: float) -> tuple[list[AnyShape], float]:
    """What the marks of nerves, vessels and tendons mean, those that are drawn."""
    found = structures_at(limb, limb.group_of(cut.bone), cut.level_mm).round
    present = [kind for kind in KINDS if any(one.kind == kind for one in found)]
    shapes: list[AnyShape] = []
    x, level = box.x, y
    for kind in present:
        words = KINDS[kind][0]
        wide = 3.4 + text_width_mm(words, SMALL_MM)
        if x > box.x and x + wide > box.right:
            x, level = box.x, level + PITCH_MM
        shapes += kind_mark(OWNER, kind, (x + 1.4, level + 0.62 * SMALL_MM), 0.9)
        shapes.append(
            Text(
                owner=OWNER,
                layer=LABEL_LAYER,
                at=(x + 3.4, level + SMALL_MM),
                text=words,
                size_mm=SMALL_MM,
            )
        )
        x += wide + 3.0
    return shapes, level + (PITCH_MM if present else 0.0)


@functools.lru_cache(maxsize=128)
def note_shapes(
    box: Box, limb: Limb, cut: Cut, bands: LetteredBands | None, beside: str = ""
) -> tuple[AnyShape, ...]:
    """The notes, from the upper edge of a box downward; run together where they are too many.

    `beside`: the bone of the other half, where that is drawn.
    """
    notes = notes_of(limb, cut, bands)
    if beside:
        notes.append(Note(f"Names and bands: {limb.bones[cut.bone].title}."))
    shapes, bottom = _stacked(notes, limb, cut, box)
    if bottom > box.bottom:
        shapes, _ = _stacked(_run_together(notes), limb, cut, box)
    return tuple(shapes)


def _run_together(notes: list[Note]) -> list[Note]:
    """All that limits the ends in one paragraph."""
    limits = "; ".join(f"{note.lead} {note.words}" for note in notes if note.lead)
    return [
        note._replace(words=f"{note.words} {limits}") if note.words == LIMITED else note
        for note in notes
        if not note.lead
    ]


def _stacked(notes: list[Note], limb: Limb, cut: Cut, box: Box) -> tuple[list[AnyShape], float]:
    """Paragraphs below each other, then what the marks mean; and how far down they reach."""
    y = box.y
    shapes: list[AnyShape] = []
    for before, note in zip((None, *notes), notes, strict=False):
        y += AFTER_LIST_MM if before and before.lead and not note.lead else 0.0
        more, y = _paragraph(note, box, y)
        shapes += more
    kinds, bottom = _kinds(limb, cut, box, y + 0.6)
    return shapes + kinds, bottom
