"""The pages after theatre: what was built, the parts, and a blank for each part's lot label."""

from collections.abc import Iterator

from fixplan.case.built_records import PartUsed
from fixplan.notes.built import built_lines
from fixplan.notes.one_page import A4, Wanted, head_of, pages_of
from fixplan.notes.section import Column, Section, Told
from fixplan.sheet.box import Box
from fixplan.sheet.fonts import shortened
from fixplan.sheet.ink import INK, SOFT_INK, TABLE_LAYER
from fixplan.sheet.paper import Page
from fixplan.sheet.shapes import AnyShape, Polygon, Stroke, Text

HEADING = "Temporary external frame: as built"
COLUMNS = tuple(Column(head) for head in ("Part", "Planned", "Opened", "Used", "Wasted"))
REUSED = ("drill", "sleeve", "spanner", "cap")
"""Words of parts that do not stay in or on the patient, or carry no lot of their own."""
LABEL = (60.0, 28.0)
ACROSS, DOWN, GAP_MM, WORDS_MM = 3, 7, 5.0, 2.6


def built_pages(told: Told) -> tuple[Page, ...]:
    """The drawing as built with the changes against the plan, the parts; then the labels."""
    sections = (
        Section(heading="As built", lines=tuple(built_lines(told.case))),
        Section(heading="Parts", columns=COLUMNS, rows=tuple(_rows(told))),
        Section(heading="Count", lines=("Counted by: ____________________  at: __________",)),
    )
    wanted = Wanted(heading=HEADING, told=told, sections=sections)
    size = A4._replace(columns=1)
    labels = Wanted(heading=f"{HEADING}: lot labels", told=told, sections=())
    return (*pages_of(wanted, size), *_label_pages(labels))


def _rows(told: Told) -> Iterator[tuple[str, ...]]:
    for part in _parts(told):
        counts = (str(part.planned), str(part.opened), str(part.used), str(part.wasted))
        yield (part.name, *counts)


def _parts(told: Told) -> tuple[PartUsed, ...]:
    return () if told.case.built is None else told.case.built.parts


def _label_pages(wanted: Wanted) -> Iterator[Page]:
    """Blanks for labels, one for each sort of part that stayed on the patient."""
    named = [part for part in _parts(wanted.told) if part.used and not _is_reused(part.name)]
    a_page = ACROSS * DOWN
    for start in range(0, len(named), a_page):
        top, head = head_of(wanted, A4)
        shapes: list[AnyShape] = []
        for place, part in enumerate(named[start : start + a_page]):
            shapes += _blank(part, _place(place, top))
        groups = {"heading": head, "labels": tuple(shapes)}
        yield Page(A4.width_mm, A4.height_mm, groups)


def _is_reused(name: str) -> bool:
    return any(word in name.split() for word in REUSED)


def _place(place: int, top: float) -> Box:
    wide, high = LABEL
    x = A4.margin_mm + (place % ACROSS) * (wide + GAP_MM)
    return Box(x, top + (place // ACROSS) * (high + GAP_MM + WORDS_MM), wide, high)


def _blank(part: PartUsed, box: Box) -> Iterator[AnyShape]:
    """A dashed field with the part's name and how many were used above it."""
    words = shortened(f"{part.used} \u00d7 {part.name}", WORDS_MM, box.width)
    yield Text(
        owner="labels",
        layer=TABLE_LAYER,
        at=(box.x, box.y + WORDS_MM),
        text=words,
        size_mm=WORDS_MM,
        colour=INK,
    )
    field = Box(box.x, box.y + 1.6 * WORDS_MM, box.width, box.height - 1.6 * WORDS_MM)
    yield Polygon(
        owner="labels",
        layer=TABLE_LAYER,
        points=field.corners,
        stroke=Stroke(SOFT_INK, 0.25, "dash"),
    )
