"""Copy and paste, the measuring tape, and a case file dragged onto the window."""

import pytest
from PySide6.QtCore import QMimeData, QPoint, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from fixplan.case.file import write_case
from fixplan.case.records import Case

CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
Key = Qt.Key


@pytest.fixture
def keys(hand, qtbot):
    hand.window.activateWindow()
    qtbot.waitUntil(hand.window.isActiveWindow)
    hand.view.setFocus()

    def press(key, modifiers=Qt.KeyboardModifier.NoModifier):
        QTest.keyClick(QApplication.focusWidget(), key, modifiers)

    return press


def test_copy_paste_and_undo_by_keys(hand, keys):
    pin = hand.pin(level=120.0)
    keys(Key.Key_C, CTRL)
    keys(Key.Key_V, CTRL)
    assert [one.level_mm for one in hand.case.pins] == [pin.level_mm, pin.level_mm + 20.0]
    assert hand.window.selection.subject == "pin-2"
    keys(Key.Key_V, CTRL | SHIFT)
    assert hand.case.pins[2].bearing_deg == (180.0 - pin.bearing_deg) % 360.0
    keys(Key.Key_D)
    assert len({one.id for one in hand.case.pins}) == 4
    keys(Key.Key_Z, CTRL)
    assert len(hand.case.pins) == 3


def test_a_copy_goes_into_another_window(hand, keys, make_window):
    level = hand.pin(level=120.0).level_mm
    keys(Key.Key_C, CTRL)
    other = make_window()
    other.document.start(Case(side="left"))
    other.show_recovered()
    other.actions_by_name["paste"].trigger()
    (pin,) = other.document.case.pins
    assert (pin.id, pin.level_mm) == ("pin-1", level)


def test_pasting_nothing_and_copying_nothing_is_told(hand):
    QApplication.clipboard().clear()
    hand.window.actions_by_name["paste"].trigger()
    assert "copy one first" in hand.window.said()
    hand.window.selection.select(None)
    hand.window.actions_by_name["copy"].trigger()
    assert "Nothing is selected" in hand.window.said()


def test_the_tape_measures_millimetres_of_the_limb(hand, keys):
    keys(Key.Key_R)
    hand.drag(hand.screen("front", "leg", -20, 100), hand.screen("front", "leg", 20, 200))
    words = hand.view.tool.words()
    length, rest = words.removeprefix("schematic distance ").split(
        " mm as seen in the front view: "
    )
    along, across = (float(part.split()[0]) for part in rest.split(", "))
    assert float(length) == pytest.approx(107.7, abs=3.0)
    assert (along, across) == pytest.approx((100.0, 40.0), abs=3.0)
    marks = hand.view.tool.marks()
    assert len(marks.trail) == 2
    hand.move(hand.screen("front", "leg", 30, 250))
    assert hand.view.tool.marks().words_at == marks.trail[1]
    keys(Key.Key_Escape)
    assert hand.view.tool.words() == ""
    assert hand.case == Case(side="right", size=hand.case.size)


def test_the_tape_by_clicks_and_in_the_section(hand, keys):
    hand.pin(level=120.0)
    keys(Key.Key_R)
    section = hand.window.bench.drawn.section
    x, y = section.target
    hand.click(hand.pixel(section.point(x, y)))
    hand.move(hand.pixel(section.point(x + 10, y)))
    hand.click(hand.pixel(section.point(x + 20, y)))
    words = hand.view.tool.words()
    assert float(words.split(" mm in the section")[0].split()[-1]) == pytest.approx(20.0, abs=1.0)
    assert words.endswith("across, 0 front to back")


def dragged(window, path):
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path))])
    where = QPoint(400, 300)
    action = Qt.DropAction.CopyAction | Qt.DropAction.MoveAction
    buttons, none = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    enter = QDragEnterEvent(where, action, data, buttons, none)
    enter.ignore()
    QApplication.sendEvent(window, enter)
    if enter.isAccepted():
        drop = QDropEvent(where, action, data, buttons, none)
        QApplication.sendEvent(window, drop)
        assert drop.dropAction() == Qt.DropAction.CopyAction
    return enter.isAccepted()


def test_a_case_file_dragged_onto_the_window_is_opened(hand, tmp_path, answer):
    hand.window.features.load()
    path = tmp_path / "shin.json"
    write_case(Case(side="left", label="dragged in"), path)
    assert dragged(hand.window, path)
    assert hand.case.label == "dragged in"
    assert "shin.json" in hand.window.windowTitle()
    assert not dragged(hand.window, tmp_path / "notes.txt")
    hand.pin(level=120.0)
    asked = answer("ask_unsaved", "cancel")
    assert dragged(hand.window, path)
    assert len(asked) == len(hand.case.pins) == 1


def test_a_broken_file_dragged_in_is_told_and_nothing_is_lost(hand, tmp_path):
    hand.window.features.load()
    path = tmp_path / "broken.json"
    path.write_text("{", encoding="utf-8")
    before = hand.case
    dragged(hand.window, path)
    assert "broken.json" in hand.window.said()
    assert hand.case == before
