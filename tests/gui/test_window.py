"""The window's frame: its title, the folders it offers, what fits at a small size."""

from collections import Counter
from pathlib import Path

import pytest

from fixplan.case.file import write_case
from fixplan.case.records import Case
from fixplan.desk.actions import TOOLS
from fixplan.desk.settings import Settings
from fixplan.limb.library import resources_dir

SAMPLES = resources_dir().parent / "sample_cases"


def offered_folder(hand, answer):
    asked = answer("ask_save_path", None)
    hand.window.files.save_as()
    return asked[0][1][2].parent


def test_the_title_names_the_file_and_the_label(hand, tmp_path):
    assert hand.window.windowTitle() == "not saved yet[*] - fixplan"
    path = tmp_path / "shin.json"
    write_case(Case(side="left", label="Shaft, second look"), path)
    hand.window.open_path(path)
    assert hand.window.windowTitle() == "shin.json[*] (Shaft, second look) - fixplan"


def test_saving_a_case_of_ones_own_offers_its_folder(hand, answer, tmp_path):
    path = tmp_path / "shin.json"
    write_case(Case(side="left"), path)
    hand.window.open_path(path)
    assert offered_folder(hand, answer) == tmp_path


def test_saving_a_sample_never_offers_the_folder_of_the_samples(
    hand, answer, tmp_path, monkeypatch
):
    monkeypatch.setenv("HOME", str(tmp_path))
    hand.window.open_path(SAMPLES / "open-tibial-shaft.json")
    assert SAMPLES not in (offered := offered_folder(hand, answer), *offered.parents)
    assert offered in (tmp_path, tmp_path / "Documents", Path.home())


def test_a_new_case_is_offered_the_folder_of_the_last_one_saved(hand, answer, tmp_path):
    mine = tmp_path / "mine"
    mine.mkdir()
    answer("ask_save_path", mine / "first.json")
    hand.window.files.save()
    hand.window.open_path(SAMPLES / "open-tibial-shaft.json")
    assert offered_folder(hand, answer) == mine


@pytest.mark.parametrize("width", [1400, 853, 640])
def test_every_button_of_the_bar_is_in_sight(hand, qtbot, width):
    window = hand.window
    window.resize(width, 420)
    buttons = [one.button for one in window._strip_of_tools._words]
    qtbot.waitUntil(lambda: window._strip_of_tools.width() == width)
    qtbot.waitUntil(lambda: all(button.isVisible() for button in buttons))
    right = max(button.mapTo(window, button.rect().topRight()).x() for button in buttons)
    assert right < width
    assert {"Undo", "Redo"} <= {button.accessibleName() for button in buttons}


def test_two_pages_of_a4_are_seen_whole(hand, qtbot):
    hand.window.open_path(SAMPLES / "open-tibial-shaft.json")
    hand.window.set_paper("A4")
    hand.window.resize(1680, 1000)
    view, drawn = hand.view, hand.window.bench.drawn
    assert len(drawn.pages) >= 2
    right_mm = drawn.page_origin_mm(1) + drawn.pages[1].width_mm

    def is_whole():
        seen = view.mapToScene(view.viewport().rect()).boundingRect()
        return seen.left() <= 0 and seen.right() >= right_mm

    qtbot.waitUntil(is_whole)


def test_the_part_as_printed_keeps_the_limbs_size_and_place(hand):
    hand.pin(level=120.0)
    hand.window.bench.show_whole_limb(True)
    hand.view.zoom_by(5.0)
    box = hand.window.bench.drawn.view_frame("side").box
    hand.view.centerOn(box.x + box.width / 2, box.y + box.height / 2)
    centre = hand.view.viewport().rect().center()

    def middle():
        at = hand.view.mapToScene(centre)
        frame = hand.window.bench.drawn.place((at.x(), at.y()), 0.0).frame
        return frame.from_page(at.x(), at.y()), frame.scale * hand.view.zoom

    (u, v), size = middle()
    hand.window.actions_by_name["whole_limb"].setChecked(False)
    hand.window.whole_limb()
    (u_after, v_after), size_after = middle()
    assert (u_after, v_after) == pytest.approx((u, v), abs=1.0)
    assert size_after == pytest.approx(size, rel=1e-6)


def grabbed_colour(widget, x, y):
    return widget.grab().toImage().pixelColor(x, y)


def test_a_dark_desk_round_white_paper(hand):
    hand.window.selection.select(None)
    try:
        hand.window.set_colours("dark")
        corner = grabbed_colour(hand.window, 3, hand.window.height() - 3)
        assert corner.lightness() < 80
        box = hand.window.bench.drawn.view_frame("front").box
        paper = hand.pixel((box.x + 1.0, box.y - 12.0))
        assert grabbed_colour(hand.view.viewport(), paper.x(), paper.y()).name() == "#ffffff"
        assert Settings().colours == "dark"
    finally:
        hand.window.set_colours("light")
    corner = grabbed_colour(hand.window, 3, hand.window.height() - 3)
    assert corner.lightness() > 200


def test_without_the_side_panel_the_sheet_has_the_window(hand, qtbot):
    before = hand.view.width()
    hand.window.actions_by_name["side_panel"].trigger()
    qtbot.waitUntil(lambda: hand.view.width() > before + 200)
    hand.window.actions_by_name["check_list"].trigger()
    assert not hand.window.column.isHidden()
    assert hand.window.actions_by_name["side_panel"].isChecked()


def test_no_key_is_given_to_two_commands(window):
    given = Counter(key for entry in (*window.commands, *TOOLS) for key in entry.keys)
    assert [key for key, count in given.items() if count > 1] == []
