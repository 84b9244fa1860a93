"""Dead space, debridement and cover as a block of rows on the sheet; beads are counted there."""

import functools

from fixplan.sheet.rows import Block, text_row
from fixplan.trips.care_words import care_lines

__all__ = ["care_blocks", "care_lines"]

HEADING = "DEAD SPACE, DEBRIDEMENT AND COVER"
INDENT_MM = 2.5


@functools.lru_cache(maxsize=64)
def care_blocks(lines: tuple[str, ...], width_mm: float, size_mm: float) -> tuple[Block, ...]:
    """The block with one row a line; none where there is nothing to say."""
    if not lines:
        return ()
    rows = tuple(
        text_row(line.strip(), width_mm, size_mm, dx=INDENT_MM)
        if line.startswith(" ")
        else text_row(line, width_mm, size_mm, bold=not _is_prompt(line))
        for line in lines
    )
    return (Block("table:care", HEADING, rows),)


def _is_prompt(line: str) -> bool:
    """Whether a line is a prompt, not the head of a record."""
    return line.startswith(("Stop:", "Caution:", "Not assessed"))
