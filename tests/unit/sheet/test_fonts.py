import pytest
from PySide6.QtGui import QFont, QRawFont

from fixplan.limb.library import resources_dir
from fixplan.sheet.fonts import shortened, text_width_mm, wrapped

TEXT = "AVATAR: tip of the medial malleolus, 83 mm ± 3, 35° Ø 5 fi ffl"


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize(
    ("file", "bold", "italic"),
    [
        ("DejaVuSansCondensed.ttf", False, False),
        ("DejaVuSansCondensed-Bold.ttf", True, False),
        ("DejaVuSansCondensed-Oblique.ttf", False, True),
    ],
)
def test_widths_are_those_of_the_bundled_font(file: str, bold: bool, italic: bool) -> None:
    font = QRawFont(str(resources_dir() / "fonts" / file), 1000)
    assert font.isValid()
    glyphs = font.glyphIndexesForString(TEXT)
    plain = QFont.HintingPreference.PreferNoHinting
    sharp = QRawFont(str(resources_dir() / "fonts" / file), 1000, plain)
    width = sum(point.x() for point in sharp.advancesForGlyphIndexes(glyphs)) / 1000
    assert text_width_mm(TEXT, 1.0, bold, italic) == pytest.approx(width, rel=1e-3)


def test_width_grows_with_size() -> None:
    assert text_width_mm("tibia", 6.0) == pytest.approx(2 * text_width_mm("tibia", 3.0))


def test_unknown_characters_count_one_em() -> None:
    assert text_width_mm("\U0001f9b4", 3.0) == 3.0


@pytest.mark.parametrize("width_mm", [12.0, 25.0, 60.0])
def test_wrapped_lines_fit_and_lose_no_word(width_mm: float) -> None:
    lines = wrapped(TEXT, 2.6, width_mm)
    assert all(text_width_mm(line, 2.6) <= width_mm for line in lines)
    assert "".join(lines).replace(" ", "") == TEXT.replace(" ", "")


def test_a_word_longer_than_the_line_is_cut() -> None:
    lines = wrapped("metatarsophalangeal", 3.0, 10.0)
    assert len(lines) > 1
    assert "".join(lines) == "metatarsophalangeal"


def test_line_breaks_are_kept_and_hard_spaces_hold() -> None:
    assert wrapped("one\ntwo", 3.0, 100.0) == ("one", "two")
    assert wrapped("", 3.0, 100.0) == ("",)
    assert wrapped("4\u00a0pins", 3.0, text_width_mm("4\u00a0pins", 3.0)) == ("4\u00a0pins",)


def test_a_shortened_text_ends_in_dots_and_fits() -> None:
    short = shortened(TEXT, 3.0, 30.0)
    assert short.endswith("…")
    assert text_width_mm(short, 3.0) <= 30.0
    assert shortened("pin", 3.0, 30.0) == "pin"
