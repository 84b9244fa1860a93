"""The title block at the bottom right, the patient's blank field, and the cautions above both."""

import functools
from collections.abc import Sequence
from typing import NamedTuple

from fixplan import __version__
from fixplan.case.file import snapshot_id
from fixplan.case.growing import growth_plates
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case
from fixplan.case.rings import ring_words
from fixplan.checks.texts import listed
from fixplan.limb.anatomy import Limb
from fixplan.limb.library import house_hash, read_toml
from fixplan.sheet.box import Box
from fixplan.sheet.fonts import wrapped
from fixplan.sheet.ink import FRAME_RULE, INK, PAPER, SOFT_INK, TABLE_LAYER, THIN
from fixplan.sheet.rows import LEADING
from fixplan.sheet.shapes import AnyShape, Fill, Line, Polygon, Stroke, Text

SMALL_MM = 2.6
VALUE_MM = 2.8
PAD_MM = 1.0
GRID = 24
LISTED_FROM_MM = 150.0
"""Bones shorter than this are left out of the limb's size."""


class Cell(NamedTuple):
    """A field of the title block: its name, what it says, and how many parts of 24 it takes."""

    name: str
    value: str
    share: int
    bold: bool = True


Rows = tuple[tuple[Cell, ...], ...]


class Titles(NamedTuple):
    """What the title block says that does not follow from the case."""

    checked: str
    rule_set: str
    printed_at: str
    page: str = "1 of 1"


def side_word(case: Case) -> str:
    """RIGHT, LEFT or, of a pelvis, BOTH."""
    return case.side.upper()


def _sided_limb(case: Case) -> str:
    return f"{case.limb}, BOTH SIDES" if case.side == "both" else f"{side_word(case)} {case.limb}"


def fracture_words(case: Case) -> str:
    """What of a ring is torn, then every fracture: code, bone, open grade, as far as given.

    A wound that is drawn is told beside a grade that is not given.

    Bones that share code and grade are told together.
    """
    alike: dict[tuple[str, str, int], list[str]] = {}
    for place, one in enumerate(case.fractures):
        before = sum(one.bone == other.bone for other in case.fractures[:place])
        alike.setdefault((one.code, one.open_grade, before), []).append(one.bone)
    told = [_alike(case, bones, code, grade) for (code, grade, _), bones in alike.items()]
    torn = ring_words(case.ring)
    return "; ".join([torn, *told] if torn else told) or "no fracture drawn"


def _alike(case: Case, bones: Sequence[str], code: str, grade: str) -> str:
    limb = limb_of_case(case)
    bone = _bones_in_words([limb.bones[one].title if one in limb.bones else one for one in bones])
    words = f"{code} {bone}" if code else f"fracture of the {bone}"
    if grade == "not graded":
        opened = any(wound.kind == "opening" for wound in case.wounds)
        unsaid = "a wound is drawn, open grade" if opened else "open or closed"
        return f"{words}, {unsaid} not given"
    return f"{words}, {grade if grade == 'closed' else f'open {grade}'}"


def _bones_in_words(titles: Sequence[str]) -> str:
    """Bones in a row; a word that all end in is said once: "medial and lateral cuneiform"."""
    last = {title.rpartition(" ")[2] for title in titles}
    if len(titles) < 2 or len(last) > 1:
        return listed(titles)
    return listed([*(title.rpartition(" ")[0] for title in titles[:-1]), titles[-1]])


def size_words(case: Case, limb: Limb) -> str:
    """How large the limb is drawn, from what, and how far that may be off."""
    size = case.size
    known = [] if size.stature_mm is None else [f"{size.stature_mm / 10:.0f} cm"]
    if size.sex != "not given":
        known.append(size.sex)
    if size.mass_kg is not None:
        known.append(f"{size.mass_kg:.0f} kg")
    if growth_plates(case) != "not told":
        known.append(f"growth plates {growth_plates(case)}")
    lengths = []
    for segment in limb.segments.values():
        bone = limb.bones[segment.primary]
        if bone.length_mm is None or bone.length_mm < LISTED_FROM_MM:
            continue
        error = limb.length_error_mm(bone.name)
        doubt = "(typed)" if error is None else f"± {error:.0f}"
        lengths.append(f"{bone.title} {bone.length_mm:.0f} {doubt}")
    return f"{', '.join(known) or 'reference adult'}; {', '.join(lengths)} mm"


def title_rows(case: Case, limb: Limb, titles: Titles) -> Rows:
    """What stands in the title block."""
    house = house_hash()
    values = f"house values {house}" if house else "no house values"
    return (
        (
            Cell("CASE", case.label or "no title", 12),
            Cell("SIDE", _sided_limb(case), 5),
            Cell("PLAN", snapshot_id(case), 4),
            Cell("PAGE", titles.page, 3),
        ),
        (
            Cell("FRACTURE", fracture_words(case), 8),
            Cell("CHECKED", titles.checked, 11),
            Cell("DATE", titles.printed_at or "not printed", 5, bold=False),
        ),
        (
            Cell("LIMB SIZE", size_words(case, limb), 13, bold=False),
            Cell(
                "RULES, PROGRAM, HOUSE VALUES",
                f"{titles.rule_set}, fixplan {__version__}, {values}",
                11,
                bold=False,
            ),
        ),
    )


def _size(cell: Cell) -> float:
    return VALUE_MM if cell.bold else SMALL_MM


def _cell_lines(cell: Cell, width_mm: float) -> tuple[str, ...]:
    inner = cell.share / GRID * width_mm - 2 * PAD_MM
    return wrapped(cell.value, _size(cell), inner, cell.bold)


@functools.lru_cache(maxsize=256)
def _row_height(row: tuple[Cell, ...], width_mm: float) -> float:
    lines = max(len(_cell_lines(cell, width_mm)) for cell in row)
    return SMALL_MM * 1.15 + LEADING * VALUE_MM * lines + 1.3


@functools.lru_cache(maxsize=32)
def _title_shapes(rows: Rows, x: float, y: float, width_mm: float) -> tuple[AnyShape, ...]:
    owner = "title-block"
    height = sum([_row_height(row, width_mm) for row in rows])
    frame = Box(x, y, width_mm, height)
    shapes: list[AnyShape] = [
        Polygon(
            owner=owner,
            layer=TABLE_LAYER,
            points=frame.corners,
            stroke=FRAME_RULE,
            fill=Fill(PAPER),
        )
    ]
    top = y
    for row in rows:
        left, tall = x, _row_height(row, width_mm)
        if top > y:
            line = ((x, top), (x + width_mm, top))
            shapes.append(Line(owner=owner, layer=TABLE_LAYER, points=line, stroke=THIN))
        for cell in row:
            if left > x:
                line = ((left, top), (left, top + tall))
                shapes.append(Line(owner=owner, layer=TABLE_LAYER, points=line, stroke=THIN))
            shapes += _cell_shapes(cell, left, top, width_mm)
            left += cell.share / GRID * width_mm
        top += tall
    return tuple(shapes)


@functools.lru_cache(maxsize=256)
def _cell_shapes(cell: Cell, x: float, y: float, width_mm: float) -> tuple[AnyShape, ...]:
    owner = "title-block"
    name = Text(
        owner=owner,
        layer=TABLE_LAYER,
        at=(x + PAD_MM, y + SMALL_MM + 0.4),
        text=cell.name,
        size_mm=SMALL_MM,
        colour=SOFT_INK,
    )
    first = y + 1.15 * SMALL_MM + VALUE_MM + 0.4
    return (
        name,
        *[
            Text(
                owner=owner,
                layer=TABLE_LAYER,
                at=(x + PAD_MM, first + LEADING * VALUE_MM * k),
                text=line,
                size_mm=_size(cell),
                bold=cell.bold,
                colour=INK,
            )
            for k, line in enumerate(_cell_lines(cell, width_mm))
        ],
    )


def numbered(rows: Rows, page: str) -> Rows:
    """The same title block for another page."""
    return tuple(
        tuple(cell._replace(value=page) if cell.name == "PAGE" else cell for cell in row)
        for row in rows
    )


@functools.lru_cache(maxsize=64)
def title_height_mm(rows: Rows, width_mm: float) -> float:
    """Height of the title block at that width."""
    return sum([_row_height(row, width_mm) for row in rows])


def title_shapes(rows: Rows, right: float, bottom: float, width_mm: float) -> tuple[AnyShape, ...]:
    """The title block with its lower right corner at a page point."""
    return _title_shapes(rows, right - width_mm, bottom - title_height_mm(rows, width_mm), width_mm)


@functools.lru_cache(maxsize=8)
def patient_field(box: Box) -> tuple[AnyShape, ...]:
    """A blank field for the patient's label."""
    owner = "patient-field"
    return (
        Polygon(
            owner=owner,
            layer=TABLE_LAYER,
            points=box.corners,
            stroke=Stroke(SOFT_INK, 0.25, "dash"),
            fill=Fill(PAPER),
        ),
        Text(
            owner=owner,
            layer=TABLE_LAYER,
            at=(box.x + 1.2, box.y + 3.4),
            text="patient's label",
            size_mm=SMALL_MM,
            colour=SOFT_INK,
        ),
    )


@functools.cache
def caution_text() -> str:
    """The cautions that stand on every page, in one paragraph."""
    cautions = read_toml("cautions.toml")["caution"]
    assert isinstance(cautions, list)
    return " ".join(str(caution["text"]) for caution in cautions)


@functools.lru_cache(maxsize=16)
def caution_lines(width_mm: float) -> tuple[str, ...]:
    """The cautions wrapped to a width."""
    return wrapped(caution_text(), SMALL_MM, width_mm)


@functools.lru_cache(maxsize=16)
def caution_shapes(x: float, y: float, width_mm: float) -> tuple[AnyShape, ...]:
    """The cautions, their upper left corner at a page point."""
    return tuple(
        Text(
            owner="cautions",
            layer=TABLE_LAYER,
            at=(x, y + SMALL_MM + LEADING * SMALL_MM * k),
            text=line,
            size_mm=SMALL_MM,
            colour=INK,
        )
        for k, line in enumerate(caution_lines(width_mm))
    )
