"""PDF, SVG and PNG as a reader meets them."""

import re
import shutil
import subprocess
from pathlib import Path

import pytest
from PySide6.QtGui import QColor, QFontMetricsF, QImage

from fixplan.case.records import Case
from fixplan.errors import CaseFileError, FixplanError
from fixplan.sheet import paint
from fixplan.sheet.fonts import text_width_mm
from fixplan.sheet.ink import DASHES_MM
from fixplan.sheet.pages import Page, compose
from fixplan.sheet.shapes import Disc, Fill, Line, Polygon, Stroke, Text
from fixplan.sheet.writing import write_sheet

pytestmark = pytest.mark.usefixtures("qapp")
needs_poppler = pytest.mark.skipif(shutil.which("pdftotext") is None, reason="no poppler-utils")


def _page(*shapes: Line | Polygon | Disc | Text) -> Page:
    return Page(50.0, 40.0, {"x": shapes})


def _ink(image: QImage, x_mm: float, y_mm: float, dpi: float = 254.0) -> str:
    return str(QColor(image.pixel(round(x_mm * dpi / 25.4), round(y_mm * dpi / 25.4))).name())


def test_text_is_as_wide_as_the_table_says() -> None:
    text = "Pin 3: 83 mm above the tip of the medial malleolus, AVATAR fi ffl"
    for bold, italic in ((False, False), (True, False), (False, True)):
        font = paint._font(300, bold, italic)
        width = QFontMetricsF(font).horizontalAdvance(text) / 10
        assert width == pytest.approx(text_width_mm(text, 30.0, bold, italic), rel=2e-3)


def test_a_tinted_polygon_with_a_hole() -> None:
    ring = ((10.0, 10.0), (30.0, 10.0), (30.0, 30.0), (10.0, 30.0))
    hole = ((15.0, 15.0), (25.0, 15.0), (25.0, 25.0), (15.0, 25.0))
    shape = Polygon(owner="x", points=ring, holes=(hole,), stroke=None, fill=Fill("#ff0000"))
    image = paint.page_image(_page(shape), 254.0)
    assert _ink(image, 12, 12) == "#ff0000"
    assert _ink(image, 20, 20) == "#ffffff"
    assert _ink(image, 5, 5) == "#ffffff"


def test_a_hatch_leaves_paper_between_its_lines() -> None:
    ring = ((10.0, 10.0), (30.0, 10.0), (30.0, 30.0), (10.0, 30.0))
    shape = Polygon(
        owner="x", points=ring, stroke=None, fill=Fill(hatch="sparse", colour="#000000")
    )
    image = paint.page_image(_page(shape), 254.0)
    column = [_ink(image, 20.0, y / 10) for y in range(100, 300)]
    assert 0.3 < column.count("#ffffff") / len(column) < 0.98


def test_a_dashed_line_has_gaps() -> None:
    line = Line(
        owner="x", points=((5.0, 20.0), (45.0, 20.0)), stroke=Stroke("#000000", 0.6, "dash")
    )
    image = paint.page_image(_page(line), 254.0)
    row = [_ink(image, x / 10, 20.0) for x in range(60, 440)]
    assert {"#000000", "#ffffff"} <= set(row)


def test_turned_text_runs_up_the_page() -> None:
    text = Text(
        owner="x", at=(25.0, 35.0), text="IIIIIIIIII", size_mm=4.0, bold=True, turn_deg=-90.0
    )
    image = paint.page_image(_page(text), 254.0)
    dark = [
        (x, y)
        for x in range(0, 500, 2)
        for y in range(0, 400, 2)
        if image.pixelColor(x, y).lightness() < 128
    ]
    xs, ys = zip(*dark, strict=True)
    assert max(ys) - min(ys) > 2 * (max(xs) - min(xs))


@pytest.mark.parametrize("dpi", [100.0, 200.0])
def test_png_size_follows_from_dpi(dpi: float) -> None:
    image = QImage.fromData(paint.png_bytes(_page(), dpi))
    assert (image.width(), image.height()) == (round(50 / 25.4 * dpi), round(40 / 25.4 * dpi))
    assert image.dotsPerMeterX() == pytest.approx(dpi / 0.0254, abs=1)


@pytest.mark.parametrize(("paper", "size"), [("A4", (210, 297)), ("A3", (420, 297))])
def test_svg_is_in_millimetres_and_twice_the_same(
    tibia: Case, paper: str, size: tuple[int, int]
) -> None:
    page = compose(tibia, (), paper)[0]
    svg = paint.svg_bytes(page)
    text = svg.decode()
    assert f'viewBox="0 0 {size[0]} {size[1]}"' in text
    assert f'width="{size[0]}mm" height="{size[1]}mm"' in text
    assert "Schematic, do not measure" in text
    assert "<image" not in text
    assert text.count("textLength=") == text.count("<text ") > 100
    assert svg == paint.svg_bytes(page)


@pytest.mark.parametrize("dash", ["dash", "dot", "dash-dot", "dash-dot-dot"])
@pytest.mark.parametrize("width_mm", [0.18, 0.5, 1.0])
def test_svg_dashes_are_as_long_as_on_paper(dash: str, width_mm: float) -> None:
    line = Line(
        owner="x", points=((5.0, 5.0), (45.0, 5.0)), stroke=Stroke("#000000", width_mm, dash)
    )
    found = re.findall(r'stroke-dasharray="([^"]+)"', paint.svg_bytes(_page(line)).decode())
    expected = DASHES_MM[dash]
    assert [tuple(map(float, one.split(","))) for one in found] == [pytest.approx(expected)]


@needs_poppler
@pytest.mark.parametrize(("paper", "points"), [("A4", (595.3, 841.9)), ("A3", (1190.6, 841.9))])
def test_pdf_has_the_paper_size_and_real_text(
    tibia: Case, tmp_path: Path, paper: str, points: tuple[float, float]
) -> None:
    pages = compose(tibia, (), paper, printed_at="2030-01-02 21:40")
    (path,) = write_sheet(pages, tmp_path / "plan.pdf", title="plan")
    about = subprocess.run(["pdfinfo", path], capture_output=True, text=True, check=True).stdout
    size = re.search(r"Page size:\s+([\d.]+) x ([\d.]+)", about)
    assert size is not None
    assert [float(value) for value in size.groups()] == pytest.approx(points, abs=0.6)
    assert f"Pages:           {len(pages)}" in about
    said = subprocess.run(
        ["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True
    )
    for must in ("RIGHT", "do not measure", "anteromedial", "BUILD ORDER", "± 3"):
        assert must in said.stdout
    fonts = subprocess.run(["pdffonts", path], capture_output=True, text=True, check=True).stdout
    rows = fonts.splitlines()[2:]
    assert rows
    assert all("DejaVuSansCondensed" in row and " yes " in row for row in rows)


def test_pdf_is_written_without_poppler_too(tibia: Case) -> None:
    content = paint.pdf_bytes(compose(tibia, (), "A4"))
    assert content.startswith(b"%PDF-")
    assert b"/MediaBox [0 0 595" in content
    assert b"/FontFile2" in content


def test_several_pages_of_pictures_are_numbered(tibia: Case, tmp_path: Path) -> None:
    page = compose(tibia, (), "A4")[0]
    written = write_sheet([page, page], tmp_path / "plan.svg")
    assert [path.name for path in written] == ["plan-1.svg", "plan-2.svg"]
    assert all(path.stat().st_size > 1000 for path in written)


def test_another_ending_is_refused_in_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(FixplanError, match=r"\.pdf, \.svg or \.png"):
        write_sheet([_page()], tmp_path / "plan.docx")


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(CaseFileError):
        write_sheet([_page()], tmp_path / "nowhere" / "plan.png")
