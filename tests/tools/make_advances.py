"""Writes resources/fonts/advances.json from the bundled fonts; run by hand when a font changes.

QT_QPA_PLATFORM=offscreen python tests/tools/make_advances.py
"""

import json
import sys
from pathlib import Path

from PySide6.QtGui import QFont, QGuiApplication, QRawFont

FONTS = Path(__file__).parents[2] / "resources" / "fonts"
FACES = {
    "regular": "DejaVuSansCondensed.ttf",
    "bold": "DejaVuSansCondensed-Bold.ttf",
    "italic": "DejaVuSansCondensed-Oblique.ttf",
}
RANGES = ((0x20, 0x7F), (0xA0, 0x250), (0x370, 0x460), (0x2010, 0x2070), (0x2080, 0x2090))
SINGLE = "€№™←↑→↓↔⇒\u2212∅≈≠≤≥∞√■□▲△●○◆◇✓✗"


def characters() -> list[str]:
    """Every character the table knows, in order."""
    return [chr(code) for low, high in RANGES for code in range(low, high)] + list(SINGLE)


def advances(path: Path) -> dict[str, int]:
    """Advance of each character the font has, in units of its em."""
    em = round(QRawFont(str(path), 100, QFont.HintingPreference.PreferNoHinting).unitsPerEm())
    font = QRawFont(str(path), em, QFont.HintingPreference.PreferNoHinting)
    known = [c for c in characters() if font.supportsCharacter(ord(c))]
    widths = font.advancesForGlyphIndexes(font.glyphIndexesForString("".join(known)))
    return {c: round(point.x()) for c, point in zip(known, widths, strict=True)}


def by_width(table: dict[str, int]) -> dict[str, str]:
    """The same table, turned round so that the file stays small: width to characters."""
    turned: dict[str, str] = {}
    for character, width in table.items():
        turned[str(width)] = turned.get(str(width), "") + character
    return turned


def main() -> None:
    """Writes the file."""
    application = QGuiApplication(sys.argv)
    faces = {name: by_width(advances(FONTS / file)) for name, file in FACES.items()}
    text = {"schema": 1, "units_per_em": 2048, "origin": "tests/tools/make_advances.py", **faces}
    (FONTS / "advances.json").write_text(
        json.dumps(text, ensure_ascii=False, indent=0) + "\n", "utf-8"
    )
    application.quit()


if __name__ == "__main__":
    main()
