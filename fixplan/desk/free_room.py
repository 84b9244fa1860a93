"""Where on the sheet a box of the screen covers least of what is drawn. No Qt."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fixplan.desk.drawn import DrawnSheet
from fixplan.desk.extent import edges_mm
from fixplan.sheet.shapes import AnyShape, Text

CELL_PX = 6
WORDS, LINES = 5, 3
"""What words and other shapes weigh (ours)."""

Boxes = NDArray[np.float64]


class Spot(NamedTuple):
    """Upper left corner of a box on the screen, and what weighs all that it covers."""

    x: int
    y: int
    covered: int


def drawn_boxes(drawn: DrawnSheet) -> Boxes:
    """Left, top, right and bottom of every shape on all pages, scene mm, and what it weighs."""
    boxes = [
        (edges[0] + origin, edges[1], edges[2] + origin, edges[3], _weight(shape))
        for index, page in enumerate(drawn.pages)
        for origin in (drawn.page_origin_mm(index),)
        for shapes in page.groups.values()
        for shape in shapes
        if (edges := edges_mm(shape)) is not None
    ]
    return np.array(boxes, dtype=float).reshape(-1, 5)


def _weight(shape: AnyShape) -> int:
    return WORDS if isinstance(shape, Text) else LINES


def least_covering(boxes_px: Boxes, area_px: tuple[int, int], size_px: tuple[int, int]) -> Spot:
    """The place in an area where a box of a size covers least; of equal ones the lowest.

    `boxes_px` are left, top, right and bottom of what must rather be seen, and what it weighs.
    """
    taken = _taken(boxes_px, area_px)
    rows, columns = taken.shape
    high, wide = min(-(-size_px[1] // CELL_PX), rows), min(-(-size_px[0] // CELL_PX), columns)
    sums = np.zeros((rows + 1, columns + 1), dtype=int)
    sums[1:, 1:] = taken.cumsum(axis=0).cumsum(axis=1)
    covered = sums[high:, wide:] - sums[:-high, wide:] - sums[high:, :-wide] + sums[:-high, :-wide]
    best = int(covered.min())
    row, column = max(map(tuple, np.argwhere(covered == best).tolist()), key=_lowest)
    return Spot(column * CELL_PX, row * CELL_PX, best)


def _lowest(cell: tuple[int, ...]) -> tuple[int, int]:
    """Lower before higher, then further left."""
    row, column = cell
    return row, -column


def _taken(boxes_px: Boxes, area_px: tuple[int, int]) -> NDArray[np.int_]:
    """What lies in each cell of an area weighs; 0 where nothing is drawn."""
    taken = np.zeros((max(area_px[1] // CELL_PX, 1), max(area_px[0] // CELL_PX, 1)), dtype=int)
    cells = np.floor(boxes_px[:, :4] / CELL_PX).astype(int)
    cells[:, 2:] += 1
    order = np.argsort(boxes_px[:, 4], kind="stable")
    weights = boxes_px[order, 4].astype(int).tolist()
    for (left, top, right, bottom), weight in zip(
        cells[order].clip(min=0).tolist(), weights, strict=True
    ):
        taken[top:bottom, left:right] = weight
    return taken
