"""Where the drawing, the tables and the title block stand on each paper. All in page mm."""

from collections.abc import Callable
from typing import NamedTuple

from fixplan.sheet.box import Box
from fixplan.sheet.flow import BLOCK_GAP_MM, Flow
from fixplan.sheet.header import HEADER_MM
from fixplan.sheet.paper import MARGIN_MM, PAPERS, Paper
from fixplan.sheet.rows import LEADING
from fixplan.sheet.title_block import SMALL_MM, caution_lines

BETWEEN_MM = 5.0
A4_DRAWINGS_MM = (150.0, 140.0, 130.0, 120.0, 112.0, 106.0, 100.0)
A3_TEXTS_MM = (2.8, 2.6)
A3_DRAWING_MM = 222.0
PATIENT_MM = 52.0
PATIENT_HEIGHT_MM = 25.0
A3_SECTION_MM = 96.0
A4_SECTION_MM = 108.0
NOTES_MM = 54.0
TITLE_MM = 9.0
NOTES_GAP_MM = 3.0


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
    """The boxes of one paper; `tables` is the room for tables on the first page."""

    paper_mm: tuple[float, float]
    size_mm: float
    header: Box
    drawing: Box
    tables: Box
    whole: Box
    title: Box
    cautions: Box
    patient: Box
    section: SectionSpot | None = None

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


def _a4(title_height: Callable[[float], float], drawing_mm: float, *, with_section: bool) -> Layout:
    width, height = PAPERS["A4"]
    inner = width - 2 * MARGIN_MM
    right = inner - PATIENT_MM - 3.0
    title_mm = title_height(right)
    bottom = height - MARGIN_MM
    foot = bottom - _foot_mm(title_mm, right)
    header = Box(MARGIN_MM, MARGIN_MM, inner, HEADER_MM)
    top = header.bottom + 1.0
    drawing = Box(MARGIN_MM, top, inner, drawing_mm)
    tables_top = drawing.bottom + 2.0
    title = Box(MARGIN_MM + PATIENT_MM + 3.0, bottom - title_mm, right, title_mm)
    section = Box(MARGIN_MM, top + 2.0, inner, A4_SECTION_MM)
    return Layout(
        (width, height),
        SMALL_MM,
        header,
        drawing,
        Box(MARGIN_MM, tables_top, inner, foot - tables_top - 1.0),
        Box(MARGIN_MM, top + 2.0, inner, foot - top - 4.0),
        title,
        Box(title.x, foot, right, 0.0),
        Box(MARGIN_MM, foot + 1.0, PATIENT_MM, bottom - foot - 1.0),
        _spot(1, section, section.y + TITLE_MM) if with_section else None,
    )


def _a3(title_height: Callable[[float], float], size_mm: float, *, with_section: bool) -> Layout:
    width, height = PAPERS["A3"]
    inner = width - 2 * MARGIN_MM
    bottom = height - MARGIN_MM
    x = MARGIN_MM + A3_DRAWING_MM + BETWEEN_MM
    right = inner - A3_DRAWING_MM - BETWEEN_MM
    title_mm = title_height(right)
    foot = bottom - _foot_mm(title_mm, right)
    header = Box(MARGIN_MM, MARGIN_MM, A3_DRAWING_MM, HEADER_MM)
    top = header.bottom + 2.0
    patient = Box(x + right - NOTES_MM, MARGIN_MM, NOTES_MM, PATIENT_HEIGHT_MM)
    below = patient.bottom + 3.0
    section = Box(x, MARGIN_MM, right, A3_SECTION_MM)
    tables = section.bottom + 3.0 if with_section else below
    return Layout(
        (width, height),
        size_mm,
        header,
        Box(MARGIN_MM, top, A3_DRAWING_MM, bottom - top),
        Box(x, tables, right, foot - tables - 1.0),
        Box(MARGIN_MM, below, inner, foot - below - 2.0),
        Box(x, bottom - title_mm, right, title_mm),
        Box(x, foot, right, 0.0),
        patient,
        _spot(0, section, below) if with_section else None,
    )


def layouts_of(
    paper: Paper, title_height: Callable[[float], float], *, with_section: bool
) -> list[Layout]:
    """The layouts of a paper, the roomiest first; a later one holds more on its first page.

    `title_height` tells the title block's height at a width. On A4 the drawing gives way, on A3
    the size of the text. A section stands beside the drawing on A3, on the second page on A4.
    """
    if paper == "A3":
        return [_a3(title_height, one, with_section=with_section) for one in A3_TEXTS_MM]
    return [_a4(title_height, one, with_section=with_section) for one in A4_DRAWINGS_MM]
