"""Pictures on the printed sheet: only where chosen, blended, without transparency, told."""

import re
import zlib
from hashlib import sha256
from pathlib import Path

import msgspec
import numpy as np
import pytest
from msgspec.structs import replace
from PIL import Image

from fixplan.case.file import read_case, write_case
from fixplan.case.film_records import Film, FilmScale
from fixplan.case.records import Case
from fixplan.cli import main
from fixplan.desk.drawn import DrawnSheet
from fixplan.desk.film.printed import with_pictures
from fixplan.errors import FilmError
from fixplan.sheet.pages import compose
from fixplan.sheet.paint import page_image, pdf_bytes, svg_bytes
from fixplan.sheet.paper import Page
from fixplan.sheet.shapes import Picture, Text
from fixplan.teach.making import Draft, lesson_of, usual_needs

ROOT = Path(__file__).parents[3]


@pytest.fixture
def case(tmp_path) -> Case:
    """The open tibial shaft with a dark film under its front view, 1 mm a pixel."""
    Image.new("L", (200, 300), 20).save(tmp_path / "film.png")
    film = Film(
        id="film-1",
        view="front",
        segment="leg",
        file="film.png",
        digest=sha256((tmp_path / "film.png").read_bytes()).hexdigest(),
        width_px=200,
        height_px=300,
        placing=(1.0, 0.0, -100.0, 0.0, 1.0, 20.0),
        scale=FilmScale(how="two points", mm_per_px=1.0, error_percent=1.5),
    )
    return replace(read_case(ROOT / "sample_cases" / "open-tibial-shaft.json"), films=(film,))


def chosen(case: Case, **fields: object) -> Case:
    return replace(case, films=(replace(case.films[0], **({"is_printed": True} | fields)),))


def pages_of(case: Case, folder: Path) -> tuple[Page, ...]:
    return with_pictures(compose(case, (), "A4"), case, folder / "plan.json")


def pictures_in(page: Page) -> list[Picture]:
    return [one for one in page.printed() if isinstance(one, Picture)]


def told_on(page: Page) -> str:
    own = [one for one in page.printed() if one.owner == "film-1"]
    return " ".join(one.text for one in own if isinstance(one, Text))


def test_only_where_it_is_chosen_and_not_hidden(case: Case, tmp_path: Path) -> None:
    assert not pictures_in(pages_of(case, tmp_path)[0])
    assert not pictures_in(pages_of(chosen(case, is_hidden=True), tmp_path)[0])
    first, *others = pages_of(chosen(case), tmp_path)
    (laid,) = pictures_in(first)
    assert laid.owner == "film-1"
    assert not any(pictures_in(page) for page in others)


def test_a_slice_lies_in_the_section_on_whatever_page_that_is(case: Case, tmp_path: Path) -> None:
    frame = DrawnSheet(case, compose(case, (), "A4")).section
    assert frame is not None
    sliced = chosen(case, view="section", level_mm=frame.level_mm, segment=frame.segment)
    pages = pages_of(sliced, tmp_path)
    (at,) = [number for number, page in enumerate(pages) if pictures_in(page)]
    assert pages[at].section is not None
    (laid,) = pictures_in(pages[at])
    inner = pages[at].section.inner
    assert inner.x - 0.01 <= laid.at[0] <= inner.x + inner.width
    assert pages[at].laid.keys() >= {"section"}
    away = chosen(sliced, level_mm=frame.level_mm + 40)
    assert not any(pictures_in(page) for page in pages_of(away, tmp_path))


@pytest.mark.parametrize("opacity", [0.25, 0.6, 1.0])
def test_it_is_blended_with_what_it_lies_on(case: Case, tmp_path: Path, opacity: float) -> None:
    """Beside the limb, white paper shows through by one less its opacity."""
    (laid,) = pictures_in(pages_of(chosen(case, opacity=opacity), tmp_path)[0])
    rows = np.frombuffer(laid.rgb, np.uint8).reshape(laid.height_px, laid.width_px, 3)
    assert int(rows.max()) == pytest.approx(255 - opacity * 235, abs=2)
    assert int(rows.min()) <= int(rows.max())


def test_scale_mirror_and_number_stand_on_it(case: Case, tmp_path: Path) -> None:
    turned = chosen(case, placing=(-1.0, 0.0, 100.0, 0.0, 1.0, 20.0))
    page = pages_of(turned, tmp_path)[0]
    assert told_on(page) == "MIRRORED. Film 1: 1 mm a pixel \u00b1 1.5 % by two points"
    plain = pages_of(chosen(case, scale=None), tmp_path)[0]
    assert "no scale" in told_on(plain)


def test_pdf_svg_and_png_carry_it_without_transparency(case: Case, tmp_path: Path) -> None:
    pages = pages_of(chosen(case), tmp_path)
    for is_archival in (False, True):
        content = pdf_bytes(pages, is_archival=is_archival)
        assert b"/Subtype /Image" in content
        assert b"/SMask" not in content.replace(b"/SMask /None", b"")
        streams = re.findall(rb"stream\r?\n(.*?)\r?\nendstream", content, re.S)
        drawn = [zlib.decompressobj().decompress(one) for one in streams if one[:1] == b"\x78"]
        assert drawn
    assert b"<image" in svg_bytes(pages[0])
    assert b"<image" not in svg_bytes(pages_of(case, tmp_path)[0])
    plain, with_film = (page_image(pages_of(one, tmp_path)[0], 40) for one in (case, chosen(case)))
    assert plain != with_film


def test_one_that_cannot_be_read_is_told_not_left_out(case: Case, tmp_path: Path) -> None:
    (tmp_path / "film.png").unlink()
    with pytest.raises(FilmError, match=r"film\.png: cannot be read"):
        pages_of(chosen(case), tmp_path)


def test_the_command_line_prints_it_too(case: Case, tmp_path: Path) -> None:
    written = {}
    for name, one in (("plain", case), ("chosen", chosen(case))):
        write_case(one, tmp_path / f"{name}.json")
        source, out = (str(tmp_path / f"{name}.{ending}") for ending in ("json", "svg"))
        assert main(["sheet", source, "-o", out]) == 0
        written[name] = (tmp_path / f"{name}-1.svg").read_text()
    assert "<image" not in written["plain"]
    assert "<image" in written["chosen"]


def test_never_in_an_exercise(case: Case) -> None:
    needs = usual_needs(case)
    lesson = lesson_of(Draft(case=chosen(case), title="T", task="Plan", needs=needs))
    assert b"film" not in msgspec.json.encode(lesson).replace(b'"films":[]', b"").replace(
        b'"pins_on_films":[]', b""
    )
