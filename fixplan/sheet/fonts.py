"""How wide a text is on paper, and how it wraps, without asking Qt.

The advances come from resources/fonts/advances.json, made once from the bundled fonts (DejaVu Sans
Condensed; licence beside it). The painter switches kerning and ligatures off, so they add up.
"""

import functools
from typing import Literal

import msgspec

from fixplan.limb.library import read_bytes

Face = Literal["regular", "bold", "italic"]
FAMILY = "DejaVu Sans Condensed"
TEXT_UNIT_MM = 0.1
"""In what the painter counts a text's size: a font's pixel size is whole."""


class _Table(msgspec.Struct, frozen=True):
    """The file: for each face, the characters of each width in units of the em."""

    units_per_em: int
    regular: dict[str, str]
    bold: dict[str, str]
    italic: dict[str, str]


@functools.cache
def _advances(face: Face) -> dict[str, float]:
    """Advance of each known character in em."""
    table = msgspec.json.decode(read_bytes("fonts/advances.json"), type=_Table)
    em = table.units_per_em
    widths: dict[str, str] = getattr(table, face)
    return {character: int(width) / em for width, group in widths.items() for character in group}


@functools.lru_cache(maxsize=16384)
def _ems(text: str, face: Face) -> float:
    advances = _advances(face)
    return sum([advances.get(character, 1.0) for character in text])


def text_width_mm(text: str, size_mm: float, bold: bool = False, italic: bool = False) -> float:
    """Width in mm of one line of text of that size; unknown characters count one em."""
    return _ems(text, "bold" if bold else "italic" if italic else "regular") * size_mm


def _pieces(word: str, size_mm: float, width_mm: float, bold: bool) -> list[str]:
    """A word too long for a line, cut where it no longer fits."""
    pieces, piece = [], ""
    for character in word:
        if piece and text_width_mm(piece + character, size_mm, bold) > width_mm:
            pieces.append(piece)
            piece = ""
        piece += character
    return [*pieces, piece]


@functools.lru_cache(maxsize=4096)
def wrapped(text: str, size_mm: float, width_mm: float, bold: bool = False) -> tuple[str, ...]:
    """The text in lines no wider than `width_mm`; breaks at plain spaces, else in a word.

    Line breaks in the text are kept. An empty text is one empty line.
    """
    lines: list[str] = []
    space = text_width_mm(" ", size_mm, bold)
    for paragraph in text.split("\n"):
        line, used = "", 0.0
        for word in paragraph.split(" "):
            wide = text_width_mm(word, size_mm, bold)
            if not line and wide <= width_mm:
                line, used = word, wide
            elif line and used + space + wide <= width_mm:
                line, used = f"{line} {word}", used + space + wide
            else:
                lines += [line] if line else []
                *full, line = _pieces(word, size_mm, width_mm, bold)
                lines += full
                used = text_width_mm(line, size_mm, bold)
        lines.append(line)
    return tuple(lines)


def shortened(text: str, size_mm: float, width_mm: float, bold: bool = False) -> str:
    """The text on one line; where it does not fit it ends in three dots."""
    if text_width_mm(text, size_mm, bold) <= width_mm:
        return text
    while text and text_width_mm(text + "…", size_mm, bold) > width_mm:
        text = text[:-1]
    return text.rstrip() + "…"
