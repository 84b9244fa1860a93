"""The trips as a block of rows on the sheet."""

import functools

from fixplan.sheet.rows import Block, text_row
from fixplan.trips.sheet_words import trip_lines

__all__ = ["trip_blocks", "trip_lines"]

HEADING = "TRIPS AND WHAT IS DUE"


@functools.lru_cache(maxsize=64)
def trip_blocks(lines: tuple[str, ...], width_mm: float, size_mm: float) -> tuple[Block, ...]:
    """The block with one row a line, trips in bold; none where there is nothing to say."""
    if not lines:
        return ()
    rows = tuple(text_row(line, width_mm, size_mm, bold=line.startswith("Trip ")) for line in lines)
    return (Block("table:trips", HEADING, rows),)
