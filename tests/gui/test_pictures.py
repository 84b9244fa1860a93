"""Pictures under the drawing, by real mouse and keys; questions are answered for the test."""

import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QInputDialog

from fixplan.case.records import Case, LimbSize
from fixplan.desk import dialogs
from fixplan.desk.film import adding, feature, fitting
from fixplan.film.edits import place_film
from tests.gui.conftest import Hand

MODULE = "fixplan.desk.film.feature"


@pytest.fixture
def saved(window, tmp_path, monkeypatch):
    """A saved case of the right leg with one tibial pin, and a hand on it."""
    window.document.start(Case(side="right", size=LimbSize(stature_mm=1750, sex="male")))
    window.show_recovered()
    window.document.save(tmp_path / "plan.json")
    monkeypatch.setattr(feature, "ask_view", lambda _: "front")
    return Hand(window)


@pytest.fixture
def film_file(tmp_path) -> Path:
    """A grey film of 400 x 600 with a name burnt in, a camera's words, and a white square."""
    rows = np.full((600, 400), 90, dtype=np.uint8)
    rows[20:40, 20:120] = 255
    exif = Image.Exif()
    exif[0x010E] = "A name that must not stay"
    path = tmp_path / "from-the-scanner.jpg"
    Image.fromarray(rows).save(path, quality=95, exif=exif, comment=b"also a name")
    return path


def pictures(window):
    return window.features.of(MODULE)


def item(window):
    return pictures(window).shown.item("film-1")


def click_pixel(hand, x: float, y: float) -> None:
    """Click on a pixel of the picture."""
    back, _ = item(hand.window).to_pixels.inverted()
    at = back.map(QPointF(x, y))
    hand.click(hand.pixel((at.x(), at.y())))


def answer(monkeypatch, value: float) -> None:
    monkeypatch.setattr(QInputDialog, "getDouble", lambda *_: (value, True))


def test_a_picture_is_kept_beside_the_case_without_its_words(saved, film_file, tmp_path) -> None:
    pictures(saved.window).add_file(film_file)
    (film,) = saved.case.films
    kept = tmp_path / film.file
    assert (film.width_px, film.height_px) == (400, 600)
    assert b"must not stay" in film_file.read_bytes()
    assert b"name" not in kept.read_bytes()
    with Image.open(kept) as found, Image.open(film_file) as given:
        assert not found.getexif()
        assert np.array_equal(np.asarray(found), np.asarray(given))
    assert film_file.name not in json.dumps(str(saved.case))


def test_it_is_seen_under_the_frame_and_hidden_by_one_key(saved, film_file) -> None:
    window = saved.window
    pictures(window).add_file(film_file)
    pictures(window).card.opacity.setValue(100)
    box = item(window).boundingRect()
    spot = window.view.mapFromScene(box.left() + 2, box.center().y())
    inside = window.view.mapFromScene(box.center())
    QApplication.processEvents()
    shown = window.view.viewport().grab().toImage().pixelColor(inside).lightness()
    window.view.setFocus()
    QTest.keyClick(window.view, Qt.Key.Key_H)
    QApplication.processEvents()
    assert not item(window).isVisible()
    assert not saved.case.films[0].is_hidden
    hidden = window.view.viewport().grab().toImage().pixelColor(inside).lightness()
    assert shown < hidden
    assert spot is not None


def test_two_points_give_the_scale_and_its_error(saved, film_file, monkeypatch) -> None:
    window = saved.window
    pictures(window).add_file(film_file)
    assert saved.case.films[0].scale is None
    assert "not assessed" in pictures(window).card.words.text()
    answer(monkeypatch, 80.0)
    pictures(window).scale_two_points()
    click_pixel(saved, 100, 150)
    click_pixel(saved, 100, 450)
    scale = saved.case.films[0].scale
    assert scale.mm_per_px == pytest.approx(80 / 300, rel=0.02)
    assert "by two points" in pictures(window).card.words.text()
    window.document.undo()
    assert saved.case.films[0].scale is None


def test_a_ball_is_clicked_round_and_ended_with_enter(saved, film_file, monkeypatch) -> None:
    window = saved.window
    pictures(window).add_file(film_file)
    answer(monkeypatch, 25.0)
    pictures(window).scale_ball()
    for x, y in ((250, 300), (200, 350), (150, 300), (200, 250)):
        click_pixel(saved, x, y)
    QTest.keyClick(window.view, Qt.Key.Key_Return)
    assert saved.case.films[0].scale.mm_per_px == pytest.approx(0.25, rel=0.03)


def test_matched_landmarks_lie_on_the_schematics(saved, film_file, monkeypatch) -> None:
    window = saved.window
    pictures(window).add_file(film_file)
    segment = saved.case.films[0].segment
    own = [one for one in window.bench.drawn.limb.landmarks if one.segment == segment]
    first, second = own[0], own[-1]
    names = iter((first.name, second.name))
    monkeypatch.setattr(dialogs, "ask_choice", lambda *_: next(names))
    pictures(window).match_landmarks()
    click_pixel(saved, 200, 100)
    click_pixel(saved, 210, 500)
    film = saved.case.films[0]
    from fixplan.film.built import on_limb

    gap = abs(on_limb(film, saved.case, (200, 100))[1] - first.level_mm)
    assert gap < 3 * film.scale.mm_per_px + 1e-6


def test_black_out_takes_the_pixels_for_good(saved, film_file, monkeypatch, tmp_path) -> None:
    window = saved.window
    pictures(window).add_file(film_file)
    old = tmp_path / saved.case.films[0].file
    monkeypatch.setattr(fitting, "ask_sure", lambda *_: True)
    pictures(window).black_out()
    click_pixel(saved, 10, 10)
    click_pixel(saved, 130, 50)
    film = saved.case.films[0]
    with Image.open(tmp_path / film.file) as found:
        pixels = np.asarray(found)
    assert pixels[20:40, 20:120].max() == 0
    assert pixels[300, 200] in range(86, 95)
    assert not old.exists() or old == tmp_path / film.file
    assert [path.name for path in tmp_path.glob("plan-film*")] == [film.file]


def test_blacking_out_shows_what_the_view_cuts_off_and_esc_ends_it(saved, film_file) -> None:
    window = saved.window
    pictures(window).add_file(film_file)
    cut = item(window).boundingRect()
    document, film = window.document, saved.case.films[0]
    placing = tuple(4.0 * one for one in film.placing)
    document.commit("Larger", place_film(document.case, film.id, placing))
    pictures(window).black_out()
    saved.move(QPoint(30, 30))
    assert item(window).boundingRect().width() > 2 * cut.width()
    saved.key(Qt.Key.Key_Escape)
    assert window.view.tool.name == "select"
    assert item(window).boundingRect() == cut


def test_mirroring_warns_first_and_then_always(saved, film_file, monkeypatch) -> None:
    window = saved.window
    pictures(window).add_file(film_file)
    monkeypatch.setattr(feature, "ask_sure", lambda *_: False)
    pictures(window).mirror_picture()
    assert pictures(window).card.warning.isHidden()
    monkeypatch.setattr(feature, "ask_sure", lambda *_: True)
    pictures(window).mirror_picture()
    assert "MIRRORED" in pictures(window).card.warning.text()
    assert not pictures(window).card.warning.isHidden()


def test_moved_by_the_mouse_and_turned_with_shift(saved, film_file) -> None:
    window = saved.window
    pictures(window).add_file(film_file)
    before = saved.case.films[0].placing
    pictures(window).move_picture()
    start = window.view.mapFromScene(item(window).boundingRect().center())
    saved.drag(start, start + QPoint(40, 0))
    moved = saved.case.films[0].placing
    assert moved[2] > before[2]
    assert moved[:2] == pytest.approx(before[:2])
    saved.drag(
        start + QPoint(40, 60), start + QPoint(90, 60), keys=Qt.KeyboardModifier.ShiftModifier
    )
    assert saved.case.films[0].placing[1] != pytest.approx(0.0, abs=1e-6)


def test_a_case_opens_without_its_picture_and_says_so(saved, film_file, tmp_path) -> None:
    window = saved.window
    pictures(window).add_file(film_file)
    window.document.save(tmp_path / "plan.json")
    (tmp_path / saved.case.films[0].file).unlink()
    window.open_path(tmp_path / "plan.json")
    assert len(saved.case.films) == 1
    assert item(window) is None
    assert "cannot be read" in pictures(window).shown.problems["film-1"]


def test_a_picture_that_changed_is_shown_and_told(saved, film_file, tmp_path) -> None:
    window = saved.window
    pictures(window).add_file(film_file)
    window.document.save(tmp_path / "plan.json")
    Image.new("L", (400, 600), 10).save(tmp_path / saved.case.films[0].file)
    window.open_path(tmp_path / "plan.json")
    assert item(window) is not None
    assert "has changed" in pictures(window).shown.problems["film-1"]


def test_saved_elsewhere_the_pictures_go_along(saved, film_file, tmp_path) -> None:
    window = saved.window
    pictures(window).add_file(film_file)
    (tmp_path / "other").mkdir()
    window.document.save(tmp_path / "other" / "plan.json")
    assert (tmp_path / "other" / saved.case.films[0].file).exists()


def test_a_case_without_a_file_keeps_no_picture(hand, film_file, monkeypatch) -> None:
    monkeypatch.setattr(feature, "ask_view", lambda _: "front")
    found = pictures(hand.window)
    assert not hand.window.attempt(lambda: found.add_file(film_file))
    assert hand.case.films == ()


def test_a_picture_is_dropped_on_the_window(saved, film_file) -> None:
    window = saved.window
    pictures(window)
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(film_file))])
    copy = Qt.DropAction.CopyAction
    left, plain = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    QApplication.sendEvent(window, QDragEnterEvent(QPoint(5, 5), copy, mime, left, plain))
    QApplication.sendEvent(window, QDropEvent(QPointF(5, 5), copy, mime, left, plain))
    assert len(saved.case.films) == 1


def test_a_clipboard_picture_and_views_by_words(saved, monkeypatch) -> None:
    window = saved.window
    from PySide6.QtGui import QColor, QImage

    image = QImage(60, 50, QImage.Format.Format_ARGB32)
    image.fill(QColor("red"))
    QApplication.clipboard().setImage(image)
    monkeypatch.setattr(dialogs, "ask_choice", lambda *_: "Side view")
    monkeypatch.setattr(feature, "ask_view", adding.ask_view)
    pictures(window).paste_picture()
    assert saved.case.films[0].view == "side"


def test_a_built_pin_is_clicked_and_listed(saved, film_file, monkeypatch) -> None:
    window = saved.window
    saved.window.pick_tool("pin")
    saved.click(saved.screen("side", "leg", 0.0, 150.0))
    pictures(window).add_file(film_file)
    own = [one for one in window.bench.drawn.limb.landmarks if one.segment == "leg"]
    names = iter((own[0].name, own[-1].name))
    monkeypatch.setattr(dialogs, "ask_choice", lambda *_: next(names))
    pictures(window).match_landmarks()
    click_pixel(saved, 200, 100)
    click_pixel(saved, 210, 500)
    (pin,) = saved.case.pins
    window.selection.select(pin.id)
    film = saved.case.films[0]
    if film.segment != "leg":
        pytest.fail("the picture belongs to the pin's segment")
    pictures(window).click_built()
    click_pixel(saved, 120, 200)
    click_pixel(saved, 220, 220)
    assert len(saved.case.pins_on_films) == 1
    words = pictures(window).built_words()
    assert "Pin 1, front film: entry" in words
    assert "error of the fit" in words
