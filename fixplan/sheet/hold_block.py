"""How firmly the frame holds, and the length of the limb, as a block of rows on the sheet."""

import functools

from fixplan.sheet.rows import Block, text_row

HEADING = "HOW FIRMLY IT HOLDS"


@functools.lru_cache(maxsize=64)
def hold_blocks(lines: tuple[str, ...], width_mm: float, size_mm: float) -> tuple[Block, ...]:
    """The block with one row a line; none where there is nothing to say."""
    if not lines:
        return ()
    rows = tuple(text_row(line, width_mm, size_mm) for line in lines)
    return (Block("table:hold", HEADING, rows),)
