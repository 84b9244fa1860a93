"""Where the drawing, the tables and the title block stand on each paper. All in page mm.

The first page is the wall side: A4 stands, the drawing over the pins in large figures and the build
order. A3 lies, and is two A4 side by side: the drawing on the left half, all words on the right.
Further pages are the detail side.
"""

import functools
from typing import NamedTuple

from fixplan.sheet.box import Box
from fixplan.sheet.flow import BLOCK_GAP_MM, Flow
from fixplan.sheet.header import HEADER_MM
from fixplan.sheet.paper import MARGIN_MM, PAPERS, Paper
from fixplan.sheet.rows import LEADING
from fixplan.sheet.title_block import SMALL_MM, caution_lines

BETWEEN_MM = 5.0
WALL_TEXTS_MM: dict[Paper, tuple[float, ...]] = {
    "A4": (3.6, 3.4, 3.2, 3.0, 2.8, 2.6),
    "A3": (4.2, 3.9, 3.6, 3.4, 3.2, 3.0, 2.8),
}
DETAIL_TEXTS_MM: dict[Paper, tuple[float, ...]] = {
    "A4": (3.0, 2.8, 2.6),
    "A3": (3.6, 3.4, 3.2, 3.0, 2.8, 2.6),
}
DETAIL_PAGES: dict[Paper, tuple[int, ...]] = {"A4": (1, 2), "A3": (1,)}
"""How many detail pages are aimed at, the first first."""
HALF_MM = 0.5 * PAPERS["A3"][0]
WIDTH_MM = PAPERS["A4"][0] - 2 * MARGIN_MM
PATIENT_MM = 52.0
PATIENT_HEIGHT_MM = 25.0
A3_SECTION_MM = 94.0
A4_SECTION_MM = 94.0
KEY_MM = (14.0, 22.0)
KEY_GAP_MM = 4.0
NOTES_MM = 58.0
TITLE_MM = 9.0
NOTES_GAP_MM = 3.0
STEP_MM = 2.0
LEAST_DRAWING_MM = 108.0
ENOUGH = 0.7
"""Of the largest drawing that its width allows, how much is enough."""

PLACES = ("", "below", "beside", "overleaf")
_RADIX = (len(PLACES), 256, 8, 2, 8, 2, 2)


class Choice(NamedTuple):
    """One arrangement: where the section stands, and what has been chosen to fit.

    `place` is an index of `PLACES`; `drawing` the height of the drawing in steps of 2 mm (A4);
    `size` and `detail` indices of the text sizes; `even` 1: what was found starts its own column;
    `small` 1: the pins' figures are smaller than the wall asks for. `brief` 1: what was found
    stands in a few words before the build order, and in full on the detail side.
    """

    place: int = 0
    drawing: int = 0
    size: int = 0
    even: int = 1
    detail: int = 0
    small: int = 0
    brief: int = 0

    @property
    def number(self) -> int:
        """All of it in one number, as the views keep it."""
        number = 0
        for value, radix in zip(self, _RADIX, strict=True):
            number = number * radix + value
        return number


def choice_of(number: int) -> Choice:
    """The choice behind a number."""
    values = []
    for radix in reversed(_RADIX):
        number, value = divmod(number, radix)
        values.append(value)
    return Choice(*reversed(values))


class SectionSpot(NamedTuple):
    """Where the section stands: its page, its picture with the title over it, notes beside it."""

    page: int
    picture: Box
    notes: Box

    @property
    def bottom(self) -> float:
        """The lower edge of both."""
        return self.picture.bottom


def _spot(page: int, box: Box) -> SectionSpot:
    """The section in a box; its notes stand at the right, below its title."""
    picture = box._replace(width=box.width - NOTES_MM - NOTES_GAP_MM)
    top = box.y + TITLE_MM
    return SectionSpot(page, picture, Box(box.right - NOTES_MM, top, NOTES_MM, box.bottom - top))


class Layout(NamedTuple):
    """The boxes of one paper; `tables` is the room for words on the wall side.

    `slot` is room for one small block beside the patient's field; `details` are the boxes of a
    detail page, in the order in which they are filled.
    """

    paper: Paper
    size_mm: float
    detail_mm: float
    header: Box
    drawing: Box
    key: Box
    tables: Box
    details: tuple[Box, ...]
    title: Box
    cautions: Box
    patient: Box
    section: SectionSpot | None = None
    slot: Box | None = None

    @property
    def paper_mm(self) -> tuple[float, float]:
        """Size of the paper."""
        return PAPERS[self.paper]

    def header_on(self, page: int) -> Box:
        """The head of a page; the key narrows the first one."""
        if page == 0:
            return self.header
        return self.header._replace(width=self.drawing.right - self.header.x)

    @property
    def column_mm(self) -> float:
        """Width of a narrow column."""
        return (WIDTH_MM - BETWEEN_MM) / 2

    def _columns(self, box: Box) -> list[Box]:
        """A box split into narrow columns."""
        step = self.column_mm + BETWEEN_MM
        return [Box(box.x + k * step, box.y, self.column_mm, box.height) for k in range(2)]

    def detail_boxes(self, page: int) -> list[Box]:
        """The room of a detail page, less a section that stands on it."""
        boxes = list(self.details)
        if self.section is not None and self.section.page == page:
            top = self.section.bottom + BETWEEN_MM
            boxes[0] = boxes[0]._replace(y=top, height=boxes[0].bottom - top)
        return boxes

    def more(self, page: int) -> list[Box]:
        """The narrow columns of a detail page."""
        return [column for box in self.detail_boxes(page) for column in self._columns(box)]

    def more_wide(self, page: int) -> list[Box]:
        """The room for a wide table on a detail page."""
        return self.detail_boxes(page)

    def columns_below(self, wide: Flow) -> list[tuple[int, Box]]:
        """What is left for narrow columns below a wide table and beside it."""
        page, box = wide.column
        top = box.y + wide.used_mm + (BLOCK_GAP_MM if wide.used_mm else 0.0)
        rest = [Box(box.x, top, box.width, box.bottom - top)]
        if page > 0:
            boxes = self.detail_boxes(page)
            rest += boxes[boxes.index(box) + 1 :]
        return [(page, column) for one in rest for column in self._columns(one)]


def _foot_mm(title_mm: float, width_mm: float) -> float:
    """Height of title block and cautions together."""
    return title_mm + LEADING * SMALL_MM * len(caution_lines(width_mm)) + 2.5


def title_width_mm(paper: Paper) -> float:
    """Width of the title block on a paper."""
    return WIDTH_MM - (PATIENT_MM + 3.0 if paper == "A4" else 0.0)


def a4_words_mm(title_mm: float) -> float:
    """Height that drawing and words share on the wall side of A4."""
    top = MARGIN_MM + HEADER_MM + 1.0
    foot = PAPERS["A4"][1] - MARGIN_MM - _foot_mm(title_mm, title_width_mm("A4"))
    return foot - 1.0 - top - 2.0


@functools.lru_cache(maxsize=64)
def _a4(title_mm: float, choice: Choice) -> Layout:
    """A4 with a drawing of a height; the section on the first detail page."""
    width, height = PAPERS["A4"]
    right = title_width_mm("A4")
    bottom = height - MARGIN_MM
    foot = bottom - _foot_mm(title_mm, right)
    key = Box(width - MARGIN_MM - KEY_MM[0], MARGIN_MM, *KEY_MM)
    header = Box(MARGIN_MM, MARGIN_MM, key.x - KEY_GAP_MM - MARGIN_MM, HEADER_MM)
    top = header.bottom + 1.0
    drawing = Box(MARGIN_MM, top, WIDTH_MM, STEP_MM * choice.drawing)
    tables_top = drawing.bottom + 2.0
    section = None
    if PLACES[choice.place]:
        section = _spot(1, Box(MARGIN_MM, top + 2.0, WIDTH_MM, A4_SECTION_MM))
    title = Box(MARGIN_MM + PATIENT_MM + 3.0, bottom - title_mm, right, title_mm)
    return Layout(
        "A4",
        WALL_TEXTS_MM["A4"][choice.size],
        DETAIL_TEXTS_MM["A4"][choice.detail],
        header,
        drawing,
        key,
        Box(MARGIN_MM, tables_top, WIDTH_MM, foot - tables_top - 1.0),
        (Box(MARGIN_MM, top + 2.0, WIDTH_MM, foot - top - 4.0),),
        title,
        Box(title.x, foot, right, 0.0),
        Box(MARGIN_MM, foot + 1.0, PATIENT_MM, bottom - foot - 1.0),
        section,
    )


@functools.lru_cache(maxsize=64)
def _a3(title_mm: float, choice: Choice) -> Layout:
    """A3; the section below the drawing, or under the words beside it."""
    bottom = PAPERS["A3"][1] - MARGIN_MM
    x = HALF_MM + MARGIN_MM
    foot = bottom - _foot_mm(title_mm, WIDTH_MM)
    key = Box(MARGIN_MM + WIDTH_MM - KEY_MM[0], MARGIN_MM, *KEY_MM)
    header = Box(MARGIN_MM, MARGIN_MM, key.x - KEY_GAP_MM - MARGIN_MM, HEADER_MM)
    top = header.bottom + 2.0
    patient = Box(x + WIDTH_MM - NOTES_MM, MARGIN_MM, NOTES_MM, PATIENT_HEIGHT_MM)
    below = patient.bottom + 3.0
    ends, section, words_end = bottom, None, foot - 1.0
    place = PLACES[choice.place]
    if place == "below":
        low = Box(MARGIN_MM, bottom - A3_SECTION_MM, WIDTH_MM, A3_SECTION_MM)
        section, ends = _spot(0, low), low.y - 4.0
    elif place == "beside":
        low = Box(x, words_end - A3_SECTION_MM, WIDTH_MM, A3_SECTION_MM)
        section, words_end = _spot(0, low), low.y - 3.0
    return Layout(
        "A3",
        WALL_TEXTS_MM["A3"][choice.size],
        DETAIL_TEXTS_MM["A3"][choice.detail],
        header,
        Box(MARGIN_MM, top, WIDTH_MM, ends - top),
        key,
        Box(x, below, WIDTH_MM, words_end - below),
        (
            Box(MARGIN_MM, top, WIDTH_MM, bottom - top),
            Box(x, below, WIDTH_MM, foot - below - 2.0),
        ),
        Box(x, bottom - title_mm, WIDTH_MM, title_mm),
        Box(x, foot, WIDTH_MM, 0.0),
        patient,
        section,
        Box(x, MARGIN_MM, WIDTH_MM - NOTES_MM - BETWEEN_MM, PATIENT_HEIGHT_MM),
    )


def layout_of(paper: Paper, title_mm: float, choice: Choice) -> Layout:
    """The layout of a choice; `title_mm` is the height of the title block."""
    return _a3(title_mm, choice) if paper == "A3" else _a4(title_mm, choice)


def is_choice(paper: Paper, choice: Choice, *, with_section: bool) -> bool:
    """Whether a choice is one of this paper's."""
    return (
        choice.size < len(WALL_TEXTS_MM[paper])
        and choice.detail < len(DETAIL_TEXTS_MM[paper])
        and bool(choice.place) == with_section
        and (choice.drawing > 0) == (paper == "A4")
    )


def places_on(paper: Paper, before: int, *, with_section: bool) -> tuple[int, ...]:
    """The places that a section can have on a paper, the one that it had before first."""
    if not with_section:
        return (0,)
    names = ("overleaf",) if paper == "A4" else ("below", "beside")
    places = tuple(PLACES.index(name) for name in names)
    return tuple(sorted(places, key=lambda place: place != before))


def drawing_room(paper: Paper, number: int) -> Box:
    """The most room that the drawing has in an arrangement, wherever the section then stands."""
    choice = choice_of(number)
    place = PLACES.index("beside") if paper == "A3" else choice.place
    return layout_of(paper, 0.0, choice._replace(place=place)).drawing
