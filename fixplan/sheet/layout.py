"""Where the drawing, the tables and the title block stand on each paper. All in page mm."""

import functools
from collections.abc import Callable, Sequence
from typing import Literal, NamedTuple

from fixplan.sheet.box import Box
from fixplan.sheet.flow import BLOCK_GAP_MM, Flow
from fixplan.sheet.header import HEADER_MM
from fixplan.sheet.paper import MARGIN_MM, PAPERS, Paper
from fixplan.sheet.rows import LEADING
from fixplan.sheet.title_block import SMALL_MM, caution_lines

BETWEEN_MM = 5.0
A4_DRAWINGS_MM = (150.0, 140.0, 130.0, 120.0, 112.0, 106.0, 100.0)
A3_TEXTS_MM = (3.2, 3.0, 2.8, 2.6)
A3_DRAWING_MM = 222.0
PATIENT_MM = 52.0
PATIENT_HEIGHT_MM = 25.0
A3_SECTION_MM = 96.0
A4_SECTION_MM = 108.0
A4_LOW_SECTION_MM = 76.0
A4_LOW_DRAWING_MM = 78.0
KEY_MM = (14.0, 22.0)
LARGE_KEY_MM = (18.0, 72.0)
KEY_GAP_MM = 4.0
NOTES_MM = 54.0
TITLE_MM = 9.0
NOTES_GAP_MM = 3.0


SectionPlace = Literal["below", "beside", ""]


class SectionSpot(NamedTuple):
    """Where the section stands: its page, its picture with the title over it, notes beside it."""

    page: int
    picture: Box
    notes: Box

    @property
    def bottom(self) -> float:
        """The lower edge of both."""
        return self.picture.bottom


def _spot(page: int, box: Box, notes_from: float) -> SectionSpot:
    """The section in a box; its notes stand at the right, from a level down."""
    picture = box._replace(width=box.width - NOTES_MM - NOTES_GAP_MM)
    notes = Box(box.right - NOTES_MM, notes_from, NOTES_MM, box.bottom - notes_from)
    return SectionSpot(page, picture, notes)


class Layout(NamedTuple):
    """The boxes of one paper; `tables` is the room for tables on the first page.

    `slot` is room for one small block beside the patient's field.
    """

    paper_mm: tuple[float, float]
    size_mm: float
    header: Box
    drawing: Box
    key: Box
    tables: Box
    whole: Box
    title: Box
    cautions: Box
    patient: Box
    section: SectionSpot | None = None
    slot: Box | None = None

    @property
    def is_section_below(self) -> bool:
        """Whether the section stands below the drawing on the first page."""
        spot = self.section
        return spot is not None and spot.page == 0 and spot.picture.y > self.drawing.bottom

    def header_on(self, page: int) -> Box:
        """The head of a page; the key narrows the first one."""
        if page == 0:
            return self.header
        return self.header._replace(width=self.drawing.right - self.header.x)

    @property
    def is_for_all(self) -> bool:
        """Whether it is of use only when all tables stand on the first page (A4, section there)."""
        return self.paper_mm == PAPERS["A4"] and self.is_section_below

    @property
    def column_mm(self) -> float:
        """Width of a narrow column."""
        return (self.tables.width - BETWEEN_MM) / 2

    def _columns(self, box: Box) -> list[Box]:
        """A box split into narrow columns."""
        step = self.column_mm + BETWEEN_MM
        count = max(int((box.width + BETWEEN_MM + 0.1) // step), 1)
        return [Box(box.x + k * step, box.y, self.column_mm, box.height) for k in range(count)]

    def more(self, page: int) -> list[Box]:
        """The columns of a further page."""
        return self._columns(self._whole(page))

    def more_wide(self, page: int) -> list[Box]:
        """The room for a wide table on a further page."""
        return [self._whole(page)._replace(width=self.tables.width)]

    def _whole(self, page: int) -> Box:
        """All of a further page, less a section that stands on it."""
        if self.section is None or self.section.page != page:
            return self.whole
        top = self.section.bottom + BETWEEN_MM
        return self.whole._replace(y=top, height=self.whole.bottom - top)

    def columns_below(self, wide: Flow) -> list[tuple[int, Box]]:
        """What is left for narrow columns below a wide table."""
        page, box = wide.column
        top = box.y + wide.used_mm + BLOCK_GAP_MM
        rest = Box(box.x, top, box.width, box.bottom - top)
        return [(page, column) for column in self._columns(rest)]


def _foot_mm(title_mm: float, width_mm: float) -> float:
    """Height of title block and cautions together."""
    return title_mm + LEADING * SMALL_MM * len(caution_lines(width_mm)) + 2.5


def title_width_mm(paper: Paper) -> float:
    """Width of the title block on a paper."""
    inner = PAPERS[paper][0] - 2 * MARGIN_MM
    return inner - (PATIENT_MM + 3.0 if paper == "A4" else A3_DRAWING_MM + BETWEEN_MM)


@functools.lru_cache(maxsize=64)
def _a4(title_mm: float, drawing_mm: float, section_on: int | None) -> Layout:
    """A4 with a drawing of a height; the section on the second page, or on the first beneath it."""
    width, height = PAPERS["A4"]
    inner = width - 2 * MARGIN_MM
    right = title_width_mm("A4")
    bottom = height - MARGIN_MM
    foot = bottom - _foot_mm(title_mm, right)
    key = Box(width - MARGIN_MM - KEY_MM[0], MARGIN_MM, *KEY_MM)
    header = Box(MARGIN_MM, MARGIN_MM, key.x - KEY_GAP_MM - MARGIN_MM, HEADER_MM)
    top = header.bottom + 1.0
    drawing = Box(MARGIN_MM, top, inner, drawing_mm)
    tables_top = drawing.bottom + 2.0
    section = None
    if section_on == 0:
        spot = Box(MARGIN_MM, tables_top, inner, A4_LOW_SECTION_MM)
        section = _spot(0, spot, spot.y + TITLE_MM)
        tables_top = spot.bottom + 3.0
    elif section_on == 1:
        spot = Box(MARGIN_MM, top + 2.0, inner, A4_SECTION_MM)
        section = _spot(1, spot, spot.y + TITLE_MM)
    title = Box(MARGIN_MM + PATIENT_MM + 3.0, bottom - title_mm, right, title_mm)
    return Layout(
        (width, height),
        SMALL_MM,
        header,
        drawing,
        key,
        Box(MARGIN_MM, tables_top, inner, foot - tables_top - 1.0),
        Box(MARGIN_MM, top + 2.0, inner, foot - top - 4.0),
        title,
        Box(title.x, foot, right, 0.0),
        Box(MARGIN_MM, foot + 1.0, PATIENT_MM, bottom - foot - 1.0),
        section,
    )


@functools.lru_cache(maxsize=64)
def _a3(title_mm: float, size_mm: float, section_at: SectionPlace) -> Layout:
    """A3 with text of a size; the section below the drawing, or over the tables beside it."""
    width, height = PAPERS["A3"]
    inner = width - 2 * MARGIN_MM
    bottom = height - MARGIN_MM
    x = MARGIN_MM + A3_DRAWING_MM + BETWEEN_MM
    right = title_width_mm("A3")
    foot = bottom - _foot_mm(title_mm, right)
    drawing = Box(MARGIN_MM, MARGIN_MM + HEADER_MM + 2.0, A3_DRAWING_MM, 0.0)
    patient = Box(x + right - NOTES_MM, MARGIN_MM, NOTES_MM, PATIENT_HEIGHT_MM)
    tables_top = patient.bottom + 3.0
    key = Box(drawing.right - KEY_MM[0], MARGIN_MM, *KEY_MM)
    header = Box(MARGIN_MM, MARGIN_MM, key.x - KEY_GAP_MM - MARGIN_MM, HEADER_MM)
    ends, section, slot = bottom, None, None
    if section_at == "below":
        key = Box(drawing.right - LARGE_KEY_MM[0], bottom - LARGE_KEY_MM[1], *LARGE_KEY_MM)
        header = header._replace(width=A3_DRAWING_MM)
        low = Box(drawing.x, bottom - A3_SECTION_MM, key.x - 4.0 - drawing.x, A3_SECTION_MM)
        section, ends = _spot(0, low, low.y + TITLE_MM), low.y - 4.0
    elif section_at == "beside":
        spot = Box(x, MARGIN_MM, right, A3_SECTION_MM)
        section, tables_top = _spot(0, spot, tables_top), spot.bottom + 3.0
    if section_at != "beside":
        slot = Box(x, MARGIN_MM, right - NOTES_MM - BETWEEN_MM, PATIENT_HEIGHT_MM)
    below = patient.bottom + 3.0
    return Layout(
        (width, height),
        size_mm,
        header,
        drawing._replace(height=ends - drawing.y),
        key,
        Box(x, tables_top, right, foot - tables_top - 1.0),
        Box(MARGIN_MM, below, inner, foot - below - 2.0),
        Box(x, bottom - title_mm, right, title_mm),
        Box(x, foot, right, 0.0),
        patient,
        section,
        slot,
    )


def layouts_of(paper: Paper, title_mm: float, *, with_section: bool) -> list[Layout]:
    """The layouts of a paper; their numbers mean alike with and without a section.

    `title_mm` is the height of the title block. On A3 a section stands below the
    drawing where that leaves it large enough, else over the tables, and the size of the text gives
    way. On A4 it stands on the second page, unless all goes on the first; the drawing gives way.
    """
    if paper == "A3":
        places: tuple[SectionPlace, ...] = ("below", "beside") if with_section else ("", "")
        return [_a3(title_mm, size, place) for place in places for size in A3_TEXTS_MM]
    second, first = (1, 0) if with_section else (None, None)
    low = _a4(title_mm, A4_LOW_DRAWING_MM, first)
    return [*(_a4(title_mm, one, second) for one in A4_DRAWINGS_MM), low]


ENOUGH = 0.92
"""Of the largest drawing that its width allows, how much is enough."""
TOO_HIGH = 1.25
"""How many times its least height the drawing may take, for more of the limb."""


def suitable(layouts: Sequence[Layout], room_for: Callable[[Box], float]) -> list[int]:
    """Numbers of the layouts to try; `room_for` is a drawing's size in a box against its width's.

    On A3 the section goes below the drawing if that stays large enough. On A4 no height is wasted
    that the drawing cannot use.
    """
    numbers = range(len(layouts))
    if layouts[0].paper_mm == PAPERS["A3"]:
        below, beside = numbers[: len(A3_TEXTS_MM)], numbers[len(A3_TEXTS_MM) :]
        is_below = layouts[0].is_section_below and room_for(layouts[0].drawing) >= ENOUGH
        return list(below if is_below else beside)
    *heights, low = numbers
    kept = [n for n in heights if room_for(layouts[n].drawing) <= TOO_HIGH] or heights[-1:]
    is_low = layouts[low].is_section_below and room_for(layouts[low].drawing) >= ENOUGH
    return [low, *kept] if is_low else kept
