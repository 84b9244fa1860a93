"""Blocks of text put into columns, one after the other, over as many pages as they need."""

import functools
from collections.abc import Callable, Sequence
from typing import NamedTuple

from fixplan.sheet.box import Box
from fixplan.sheet.rows import Block, Row, heading_row, placed
from fixplan.sheet.shapes import AnyShape

BLOCK_GAP_MM = 2.2
SHORT_MM = 40.0
"""A column shorter than this is left empty rather than run over; those of a new page are longer."""
Groups = dict[str, list[AnyShape]]


class Piece(NamedTuple):
    """Rows of one block that stand together in one column, with the heading they are put under."""

    owner: str
    rows: tuple[Row, ...]

    @property
    def height_mm(self) -> float:
        """Height of all its rows."""
        return sum([row.height_mm for row in self.rows])


@functools.lru_cache(maxsize=2048)
def _placed_piece(piece: Piece, x: float, y: float, width_mm: float) -> tuple[AnyShape, ...]:
    shapes: list[AnyShape] = []
    for row in piece.rows:
        shapes += placed(piece.owner, row, x, y, width_mm)
        y += row.height_mm
    return tuple(shapes)


def _whole_rows(block: Block, width_mm: float) -> tuple[Row, ...]:
    """All rows of a block with its heading."""
    head = () if block.head is None else (block.head,)
    first = heading_row(block.heading, block.aside, width_mm, block.heading_mm)
    return (first, *head, *block.rows)


def height_of(block: Block, width_mm: float) -> float:
    """Height of a block with its heading in a column of that width."""
    return sum([row.height_mm for row in _whole_rows(block, width_mm)])


class Flow:
    """Fills columns from the first to the last, and asks for more when they are full.

    `more` is called with the number of the page wanted and returns that page's columns.
    """

    def __init__(
        self, columns: Sequence[tuple[int, Box]], more: Callable[[int], list[Box]]
    ) -> None:
        self._columns = list(columns)
        self._more = more
        self._at = 0
        self._used = 0.0
        self.pages: dict[int, Groups] = {}

    @property
    def last_page(self) -> int:
        """The number of the last page that holds something, counted from 0."""
        return max(self.pages, default=0)

    @property
    def column(self) -> tuple[int, Box]:
        """The page and the column that is being filled."""
        return self._columns[self._at]

    @property
    def used_mm(self) -> float:
        """How much of that column is taken."""
        return self._used

    def _room(self) -> float:
        return self.column[1].height - self._used

    def next_column(self) -> None:
        """Leaves the rest of this column empty."""
        self._at += 1
        self._used = 0.0
        if self._at == len(self._columns):
            page = self._columns[-1][0] + 1
            self._columns += [(page, box) for box in self._more(page)]

    def leave_first_page(self) -> None:
        """Goes on to the first column that is not on the first page."""
        while self.column[0] == 0:
            self.next_column()

    def put_at(self, page: int, box: Box, block: Block) -> None:
        """Puts a whole block into a box of its own, outside the columns."""
        piece = Piece(block.owner, _whole_rows(block, box.width))
        shapes = _placed_piece(piece, box.x, box.y, box.width)
        self.pages.setdefault(page, {}).setdefault(block.owner, []).extend(shapes)

    def _put(self, piece: Piece) -> None:
        page, box = self.column
        shapes = _placed_piece(piece, box.x, box.y + self._used, box.width)
        self.pages.setdefault(page, {}).setdefault(piece.owner, []).extend(shapes)
        self._used += piece.height_mm

    def _head(self, block: Block, again: bool) -> tuple[Row, ...]:
        heading = f"{block.heading}, continued" if again else block.heading
        aside = "" if again else block.aside
        rows = (heading_row(heading, aside, self.column[1].width, block.heading_mm),)
        return rows if block.head is None else (*rows, block.head)

    def add(self, block: Block, *, whole: bool = False) -> None:
        """Puts a block in; `whole` moves it to the next column rather than cut it."""
        rows, again = list(block.rows), False
        if self._used:
            self._used += BLOCK_GAP_MM
        while rows:
            head = self._head(block, again)
            fits, height = 0, sum([row.height_mm for row in head])
            needed = height + sum([row.height_mm for row in rows])
            for row in rows:
                height += row.height_mm
                if height > self._room() + 1e-6:
                    break
                fits += 1
            fresh = self._used == 0.0 and self.column[1].height >= SHORT_MM
            if not fresh and (fits == 0 or (whole and needed > self._room())):
                self.next_column()
                continue
            fits = max(fits, 1)
            self._put(Piece(block.owner, head + tuple(rows[:fits])))
            rows, again = rows[fits:], True
            if rows:
                self.next_column()
