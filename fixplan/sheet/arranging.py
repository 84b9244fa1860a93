"""The arrangement of a sheet: how large the drawing and the words are, so that all finds room."""

import functools
from collections.abc import Iterator
from itertools import product
from typing import NamedTuple

from fixplan.sheet.box import Box
from fixplan.sheet.contents import (
    Content,
    WallBlocks,
    detail_blocks,
    wall_blocks,
    wide_blocks,
)
from fixplan.sheet.flow import BLOCK_GAP_MM, Flow, height_of
from fixplan.sheet.kit_blocks import brief_block
from fixplan.sheet.layout import (
    BETWEEN_MM,
    DETAIL_PAGES,
    DETAIL_TEXTS_MM,
    ENOUGH,
    LEAST_DRAWING_MM,
    PLACES,
    STEP_MM,
    WALL_TEXTS_MM,
    WIDTH_MM,
    Choice,
    Layout,
    a4_words_mm,
    layout_of,
)
from fixplan.sheet.paper import Paper
from fixplan.sheet.rows import Block
from fixplan.sheet.statements import OPEN_OWNER
from fixplan.sheet.view_plan import Drawn, room_for, useful_height_mm

COLUMN_MM = (WIDTH_MM - BETWEEN_MM) / 2
WANTED_MM = 156.0
"""A drawing on A4 need not be higher before the words may be larger."""
POINTER_MM = 5.0
"""Room for the line that names what goes on overleaf."""
WALL_OWNER = "table:wall"
ORDER_OWNER = "table:order"
WALL_WORDS = {
    WALL_OWNER: "pins",
    ORDER_OWNER: "build order",
    OPEN_OWNER: "open findings",
    "table:kit": "kit to open",
}
SHORTER = ((0, 0), (0, 1), (1, 1))
"""Small figures, and findings in brief: what is tried where the wall side does not hold all."""
UNCUT = ("table:bars", "table:counts", "table:signatures", "table:hold")


class Arranged(NamedTuple):
    """A layout with its words in place; `is_whole`: the wall side holds all that belongs to it."""

    choice: Choice
    layout: Layout
    flow: Flow
    is_whole: bool

    @property
    def last_page(self) -> int:
        """The number of the last page, counted from 0."""
        spot = self.layout.section
        return max(self.flow.last_page, 0 if spot is None else spot.page)


def arranged_as(
    content: Content, paper: Paper, title_mm: float, choice: Choice, *, with_details: bool = True
) -> Arranged:
    """The words put into the layout of a choice; without details only the wall side is whole.

    What of the wall side has to go on overleaf is named at its foot.
    """
    layout = layout_of(paper, title_mm, choice)
    found = _arranged(content, layout, choice, with_details=with_details)
    if found.is_whole:
        return found
    room = layout.tables
    shorter = layout._replace(tables=room._replace(height=room.height - POINTER_MM))
    found = _arranged(content, shorter, choice, with_details=with_details)
    foot = Box(room.x, room.bottom - POINTER_MM, room.width, POINTER_MM)
    found.flow.put_at(0, foot, Block("table:overleaf", _pointer(found), ()))
    return found


def _pointer(arranged: Arranged) -> str:
    """What of the wall side stands on a later page, in words."""
    later = {owner for page, groups in arranged.flow.pages.items() if page > 0 for owner in groups}
    told = [words for owner, words in WALL_WORDS.items() if owner in later]
    return f"CONTINUED ON PAGE 2: {', '.join(told)}"


def _arranged(content: Content, layout: Layout, choice: Choice, *, with_details: bool) -> Arranged:
    wall = wall_blocks(
        content,
        layout.paper,
        WIDTH_MM,
        COLUMN_MM,
        layout.size_mm,
        small=bool(choice.small),
        brief=bool(choice.brief),
    )
    flow = _below_wide(content, layout, wall.pins, with_details=with_details)
    slotted = _kit_in_slot(content, layout)
    if choice.brief:
        wall = wall._replace(building=(), finding=(*wall.finding, *wall.building))
    _fill_wall(flow, wall, layout, slotted, is_even=bool(choice.even) and not choice.brief)
    is_whole = flow.column[0] == 0
    for block in wall.rest:
        flow.add(block)
    if not with_details:
        return Arranged(choice, layout, flow, is_whole)
    flow.leave_first_page()
    for block in detail_blocks(content, COLUMN_MM, layout.detail_mm):
        flow.add(block, whole=block.owner in UNCUT)
    return Arranged(choice, layout, flow, is_whole)


def _below_wide(content: Content, layout: Layout, pins: Block, *, with_details: bool) -> Flow:
    """The narrow columns that the pins in figures and the wide tables leave, with these put in.

    The tables begin on the detail side, below pins that run over to it.
    """
    wide = Flow([(0, layout.tables)], layout.more_wide)
    wide.add(pins)
    runs_over = wide.column[0] > 0
    tables = wide
    if not runs_over:
        tables = Flow([(1, box) for box in layout.detail_boxes(1)], layout.more_wide)
    for block in wide_blocks(content, WIDTH_MM, layout.detail_mm) if with_details else ():
        tables.add(block)
    columns = layout.columns_below(tables)
    if not runs_over:
        columns = [*layout.columns_below(wide), *columns]
    flow = Flow(columns, layout.more)
    _merge(flow, wide, *(() if runs_over else (tables,)))
    return flow


def _merge(flow: Flow, *others: Flow) -> None:
    """Takes over what other flows have put on their pages."""
    for other in others:
        for page, groups in other.pages.items():
            for owner, shapes in groups.items():
                flow.pages.setdefault(page, {}).setdefault(owner, []).extend(shapes)


def _fill_wall(
    flow: Flow, wall: WallBlocks, layout: Layout, slotted: Block | None, *, is_even: bool
) -> None:
    """Building, what was found, and the kit: in the slot beside the patient's field if it fits."""
    for block in wall.building:
        flow.add(block)
    if is_even and flow.column[0] == 0:
        flow.next_column()
    for block in wall.finding:
        flow.add(block)
    if slotted is not None and layout.slot is not None:
        flow.put_at(0, layout.slot, slotted)
        return
    for block in wall.kit:
        flow.add(block)


def _kit_in_slot(content: Content, layout: Layout) -> Block | None:
    """The kit in the largest words that fit the layout's slot; None where nothing fits."""
    slot = layout.slot
    if slot is None or not content.blocks.has("kit"):
        return None
    sizes = [size for size in WALL_TEXTS_MM[layout.paper] if size <= layout.size_mm]
    blocks = (brief_block(content.kit.brief, slot.width, size) for size in sizes)
    return next((one for one in blocks if height_of(one, slot.width) <= slot.height), None)


def arrangement(
    content: Content, drawn: Drawn, paper: Paper, title_mm: float, *, with_section: bool
) -> Arranged:
    """The arrangement with the largest words, and on A4 a drawing of good height, that fits.

    What was found is told in brief only where not all has room, and the figures of the pins are
    smaller than the wall asks for only where else some pins, or all of the build order or of what
    was found, would go overleaf.
    """
    tried = None
    for small, brief in SHORTER:
        tried = _largest(
            content, drawn, paper, title_mm, with_section=with_section, small=small, brief=brief
        )
        if tried.is_whole or (brief and _has_begun(content, tried)):
            break
    assert tried is not None
    return _with_details(content, paper, title_mm, tried.choice)


def arrangement_in(
    content: Content, paper: Paper, title_mm: float, place: int, drawing: int
) -> Arranged:
    """The arrangement with the largest words beside a drawing and a section that stay in place.

    `place` and `drawing` as in `Choice`. What of the wall side does not fit goes on overleaf.
    """
    sizes = range(len(WALL_TEXTS_MM[paper]))
    tried: Arranged | None = None
    for (small, brief), size, even in product(SHORTER, sizes, (1, 0)):
        choice = Choice(place, drawing, size, even, small=small, brief=brief)
        tried = _arranged(content, layout_of(paper, title_mm, choice), choice, with_details=False)
        if tried.is_whole:
            break
        if brief and (size, even) == (sizes[-1], 0) and _has_begun(content, tried):
            break
    assert tried is not None
    return _with_details(content, paper, title_mm, tried.choice)


def _largest(
    content: Content,
    drawn: Drawn,
    paper: Paper,
    title_mm: float,
    *,
    with_section: bool,
    small: int,
    brief: int,
) -> Arranged:
    """The first choice whose wall side is whole, else the last one."""
    tried = None
    for choice in _wall_choices(
        content, drawn, paper, title_mm, with_section=with_section, small=small, brief=brief
    ):
        tried = _arranged(content, layout_of(paper, title_mm, choice), choice, with_details=False)
        if tried.is_whole:
            break
    assert tried is not None
    return tried


def _has_begun(content: Content, arranged: Arranged) -> bool:
    """Whether all pins, and build order and findings at least in part, stand on the wall side."""
    pages = arranged.flow.pages
    over = any(WALL_OWNER in groups for page, groups in pages.items() if page > 0)
    order = ORDER_OWNER in pages.get(0, {}) or not content.blocks.has("order")
    return order and OPEN_OWNER in pages.get(0, {}) and not over


def _with_details(content: Content, paper: Paper, title_mm: float, wall: Choice) -> Arranged:
    """The wall side of a choice, with the largest detail words that fit on as few pages as can be.

    Smaller words are tried only where larger ones need more than the fewest pages.
    """
    tried: list[Arranged] = []
    for k in range(len(DETAIL_TEXTS_MM[paper])):
        tried.append(arranged_as(content, paper, title_mm, wall._replace(detail=k)))
        if tried[-1].last_page <= DETAIL_PAGES[paper][0]:
            return tried[-1]
    for pages in DETAIL_PAGES[paper][1:]:
        for one in tried:
            if one.last_page <= pages:
                return one
    return tried[-1]


def _wall_choices(
    content: Content,
    drawn: Drawn,
    paper: Paper,
    title_mm: float,
    *,
    with_section: bool,
    small: int,
    brief: int,
) -> Iterator[Choice]:
    if paper == "A3":
        place = _a3_place(drawn, title_mm) if with_section else 0
        for size in range(len(WALL_TEXTS_MM["A3"])):
            yield from (Choice(place, 0, size, even, small=small, brief=brief) for even in (1, 0))
        return
    place = PLACES.index("overleaf") if with_section else 0
    room, wanted = a4_words_mm(title_mm), _wanted_mm(drawn)
    words = [_words_mm(_walled(content, text, small, brief)) for text in WALL_TEXTS_MM["A4"]]
    for size, taken in enumerate(words):
        for mixed, mm in enumerate(taken):
            if room - mm >= wanted:
                steps = int((room - mm) // STEP_MM)
                yield Choice(place, steps, size, 1 - mixed, small=small, brief=brief)
    last = len(WALL_TEXTS_MM["A4"]) - 1
    for high in (max(LEAST_DRAWING_MM, room - min(words[-1])), LEAST_DRAWING_MM):
        for even in (1, 0):
            yield Choice(place, int(high // STEP_MM), last, even, small=small, brief=brief)


def _walled(content: Content, text_mm: float, small: int, brief: int) -> WallBlocks:
    """The blocks of A4's wall side in one size of words."""
    blocks = functools.partial(wall_blocks, content, "A4", WIDTH_MM, COLUMN_MM, text_mm)
    return blocks(small=bool(small), brief=bool(brief))


def _wanted_mm(drawn: Drawn) -> float:
    """How high a drawing on A4 should be before words may be larger."""
    return useful_height_mm(drawn, WIDTH_MM, WANTED_MM)


def _words_mm(wall: WallBlocks) -> tuple[float, float]:
    """Height that the words of A4's wall side take with building and findings apart, and mixed."""
    heights = [
        sum(height_of(block, COLUMN_MM) + BLOCK_GAP_MM for block in blocks)
        for blocks in (wall.building, (*wall.finding, *wall.kit))
    ]
    pins = height_of(wall.pins, WIDTH_MM) + BLOCK_GAP_MM
    return pins + max(heights), pins + 0.5 * sum(heights) + 7.0


def _a3_place(drawn: Drawn, title_mm: float) -> int:
    """Below the drawing if that stays large enough, else beside it."""
    below = PLACES.index("below")
    box = layout_of("A3", title_mm, Choice(below)).drawing
    return below if room_for(drawn, box) >= ENOUGH else PLACES.index("beside")
