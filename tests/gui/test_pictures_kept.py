"""Pictures kept inside the case file: told before, taken out again, blacked out for good."""

from hashlib import sha256

import numpy as np
import pytest
from PIL import Image
from PySide6.QtTest import QTest

from fixplan.case.file import read_case
from fixplan.case.film_pixels import inside_bytes
from fixplan.case.records import Case, LimbSize
from fixplan.case.recovery import read_copy
from fixplan.case.safe_write import backup_of
from fixplan.desk.film import feature, fitting
from tests.gui.conftest import Hand
from tests.gui.test_pictures import click_pixel, pictures


@pytest.fixture
def with_film(window, tmp_path, monkeypatch) -> Hand:
    """A saved case with a PNG under its front view, white words at its upper left corner."""
    rows = np.full((600, 400), 90, dtype=np.uint8)
    rows[20:40, 20:120] = 255
    rows[500:520, 300:380] = 255
    Image.fromarray(rows).save(tmp_path / "scan.png")
    window.document.start(Case(side="right", size=LimbSize(stature_mm=1750, sex="male")))
    window.show_recovered()
    window.document.save(tmp_path / "plan.json")
    monkeypatch.setattr(feature, "ask_view", lambda _: "front")
    pictures(window).add_file(tmp_path / "scan.png")
    return Hand(window)


def pixels_of(case: Case) -> np.ndarray:
    from io import BytesIO

    with Image.open(BytesIO(inside_bytes(case.films[0]))) as found:
        return np.asarray(found.convert("L"))


def test_inside_after_telling_and_out_again(with_film, monkeypatch, tmp_path) -> None:
    window, told = with_film.window, []
    beside = tmp_path / with_film.case.films[0].file
    content = beside.read_bytes()
    monkeypatch.setattr(feature, "ask_sure", lambda *words: told.append(words[2]) or False)
    tick = pictures(window).card.inside
    assert tick.text().endswith("kB)")
    tick.click()
    assert "The case file grows by 0.0 MB" in told[0]
    assert not with_film.case.films[0].inside
    assert not tick.isChecked()
    monkeypatch.setattr(feature, "ask_sure", lambda *_: True)
    tick.click()
    assert inside_bytes(with_film.case.films[0]) == content
    window.document.write_recovery_now()
    assert read_copy(window.document._recovery.copy_path).case == with_film.case
    window.document.save(tmp_path / "plan.json")
    window.document.save(tmp_path / "plan.json")
    assert read_case(backup_of(tmp_path / "plan.json")) == with_film.case
    beside.unlink()
    window.open_path(tmp_path / "plan.json")
    assert pictures(window).shown.item("film-1") is not None
    assert pictures(window).shown.problems == {}
    pictures(window).card.inside.click()
    film = with_film.case.films[0]
    assert film.inside == ""
    assert (tmp_path / film.file).read_bytes() == content
    assert film.digest == sha256(content).hexdigest()


def test_black_out_reaches_case_backup_undo_and_the_file_beside(
    with_film, monkeypatch, tmp_path
) -> None:
    window = with_film.window
    monkeypatch.setattr(feature, "ask_sure", lambda *_: True)
    monkeypatch.setattr(fitting, "ask_sure", lambda *_: True)
    pictures(window).card.inside.click()
    window.document.save(tmp_path / "plan.json")
    for first, second in (((10, 10), (130, 50)), ((290, 490), (390, 530))):
        pictures(window).black_out()
        click_pixel(with_film, *first)
        click_pixel(with_film, *second)
    assert window.document.undo_text == ""
    for path in (tmp_path / "plan.json", backup_of(tmp_path / "plan.json")):
        assert pixels_of(read_case(path)).max() < 100
    with Image.open(tmp_path / with_film.case.films[0].file) as found:
        assert np.asarray(found.convert("L")).max() < 100


def test_of_a_png_two_boxes_are_gone_and_shown_gone(with_film, monkeypatch, tmp_path) -> None:
    """Its file keeps its name when it is blacked out; what is shown must not be the old pixels."""
    window = with_film.window
    monkeypatch.setattr(fitting, "ask_sure", lambda *_: True)
    for first, second in (((10, 10), (130, 50)), ((290, 490), (390, 530))):
        pictures(window).black_out()
        click_pixel(with_film, *first)
        click_pixel(with_film, *second)
    QTest.qWait(1)
    with Image.open(tmp_path / with_film.case.films[0].file) as found:
        assert np.asarray(found.convert("L")).max() < 100
    shown = pictures(window).shown.item("film-1").pyramid.image
    assert shown.pixelColor(60, 30).lightness() == 0
