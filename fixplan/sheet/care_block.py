"""Dead space, debridement and cover as a block of rows on the sheet; beads are counted there."""

import functools

from fixplan.sheet.rows import Block, Row, text_row
from fixplan.trips.care_words import care_lines

__all__ = ["care_blocks", "care_lines"]

HEADING = "DEAD SPACE, DEBRIDEMENT AND COVER"
INDENT_MM = 2.5


@functools.lru_cache(maxsize=64)
def care_blocks(lines: tuple[str, ...], width_mm: float, size_mm: float) -> tuple[Block, ...]:
    """The block with one row a line; none where there is nothing to say."""
    if not lines:
        return ()
    rows: list[Row] = []
    heads: list[Row] = []
    for line in lines:
        row = _row(line, width_mm, size_mm)
        if line.startswith(" ") and heads:
            rows.append(_under(heads.pop(), row))
        elif line.startswith(" ") or _is_prompt(line):
            rows += [*heads, row]
            heads.clear()
        else:
            rows += heads
            heads[:] = [row]
    rows += heads
    return (Block("table:care", HEADING, tuple(rows)),)


def _row(line: str, width_mm: float, size_mm: float) -> Row:
    if line.startswith(" "):
        return text_row(line.strip(), width_mm, size_mm, dx=INDENT_MM)
    return text_row(line, width_mm, size_mm, bold=not _is_prompt(line))


def _under(head: Row, first: Row) -> Row:
    """The head of a record with its first line, so that no column ends between them."""
    moved = tuple(words._replace(dy=words.dy + head.height_mm) for words in first.words)
    return Row(head.height_mm + first.height_mm, head.words + moved)


def _is_prompt(line: str) -> bool:
    """Whether a line is a prompt, not the head of a record."""
    return line.startswith(("Stop:", "Caution:", "Not assessed"))
