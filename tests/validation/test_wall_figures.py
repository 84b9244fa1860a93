"""The wall side can be read from across the theatre: height of its figures by viewing distance.

NUREG-0700 rev. 2 (US Nuclear Regulatory Commission, Human-system interface design review
guidelines, 2002), guideline 1.3.1-4: characters are at least 16 minutes of arc high, at most 24 for
text, 20 to 22 preferred; height = 6.283 D (MA) / 21600. ISO 9241-3:1992 gives the same 16 as the
least and 20 to 22 as preferred (as quoted by a maker of displays; the standard was not read).
Smith SL, Letter size and legibility, Hum Factors 1979;21:661: over 90 % of displayed letters
were legible at 0.003 rad in 2,000 measures (abstract).

The sheet promises capitals of 14 mm on A3, read at 3 m, and of 10 mm on A4.
"""

from pathlib import Path

import pytest
from PySide6.QtGui import QImage, qGray

from fixplan.case.file import read_case
from fixplan.sheet import paint
from fixplan.sheet.pages import Page, compose
from fixplan.sheet.paper import Paper
from fixplan.sheet.shapes import Text
from fixplan.sheet.standing import text_box
from tests.unit.drawn_cases import CASES

LEAST_ARC_MIN = 16.0
PROMISED_MM = {"A4": 10.0, "A3": 14.0}
DISTANCE_MM = {"A4": 2100.0, "A3": 3000.0}
LEGIBLE_RAD = 0.003
DPI = 300.0
DARK = 128


def _least_mm(distance_mm: float) -> float:
    """NUREG-0700, 1.3.1-4."""
    return 6.283 * distance_mm * LEAST_ARC_MIN / 21600.0


def _wall(paper: str) -> Page:
    return compose(read_case(CASES / "knee-right.json"), (), paper)[0]


def _figures(page: Page) -> list[Text]:
    texts = [s for s in page.groups["table:wall"] if isinstance(s, Text)]
    largest = max(text.size_mm for text in texts)
    return [text for text in texts if text.size_mm == largest]


def _printed_mm(image: QImage, text: Text) -> float:
    """Height of the ink of a text in the painted page."""
    dots = DPI / 25.4
    box = text_box(text)
    rows = [
        any(
            qGray(image.pixel(x, y)) < DARK
            for x in range(round(box.x * dots), round(box.right * dots), 4)
        )
        for y in range(round((box.y - 1.0) * dots), round((box.bottom + 1.0) * dots))
    ]
    inked = [row for row, is_dark in enumerate(rows) if is_dark]
    return (inked[-1] - inked[0] + 1) / dots


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize("paper", ["A4", "A3"])
def test_number_diameter_and_level_are_high_enough(paper: str) -> None:
    page = _wall(paper)
    image = paint.page_image(page, DPI)
    figures = _figures(page)
    assert len(figures) == 3 * 4
    for text in figures:
        height = _printed_mm(image, text)
        assert height >= PROMISED_MM[paper], text.text
        assert height >= _least_mm(DISTANCE_MM[paper]), text.text
        assert height >= LEGIBLE_RAD * 3000.0, text.text


APART_EM = 0.25
"""A space of the font is 0.31 em; figures nearer than that are read as one number (ours)."""


@pytest.mark.parametrize("paper", ["A4", "A3"])
@pytest.mark.parametrize("case", sorted(CASES.glob("*.json")), ids=lambda path: path.stem)
def test_diameter_and_level_are_not_read_as_one_number(case: Path, paper: Paper) -> None:
    figures = _figures(compose(read_case(case), (), paper)[0])
    rows: dict[float, list[Text]] = {}
    for text in figures:
        rows.setdefault(round(text.at[1], 3), []).append(text)
    for row in rows.values():
        boxes = sorted((text_box(text) for text in row), key=lambda box: box.x)
        gaps_mm = [
            level.x - diameter.right
            for diameter, level in zip(boxes[1::3], boxes[2::3], strict=True)
        ]
        assert min(gaps_mm) >= APART_EM * row[0].size_mm
