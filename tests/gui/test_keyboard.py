"""Everything by keyboard too."""

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLabel,
    QLineEdit,
    QWidget,
)

from fixplan.case.file import read_case
from fixplan.desk.actions import COMMANDS, TOOLS
from fixplan.desk.panels.number_forms import NumbersForm

Key = Qt.Key
CTRL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def keys(hand, qtbot):
    """Keys into whatever has the focus."""
    hand.window.activateWindow()
    qtbot.waitUntil(lambda: QApplication.focusWidget() is not None)

    def press(key, modifiers=Qt.KeyboardModifier.NoModifier, times=1):
        for _ in range(times):
            QTest.keyClick(QApplication.focusWidget() or hand.window, key, modifiers)

    return press


def caret_to(hand, view, segment, u, level):
    drawn = hand.window.bench.drawn
    (at,) = drawn.at_in(drawn.view_frame(view), segment, [(u, level)])
    hand.view.put_caret(at)


@pytest.mark.parametrize("tool", TOOLS, ids=lambda tool: tool.name)
@pytest.mark.usefixtures("keys")
def test_each_tool_has_a_letter(hand, tool):
    hand.window.pick_tool("bar" if tool.name != "bar" else "pin")
    QTest.keyClicks(QApplication.focusWidget(), tool.keys[0])
    assert hand.view.tool.name == tool.name


def test_arrow_keys_move_the_caret_and_space_places_a_pin(hand, keys):
    QTest.keyClicks(QApplication.focusWidget(), "p")
    keys(Key.Key_Down)
    before = hand.view.caret
    keys(Key.Key_Down, SHIFT, times=3)
    frame = hand.window.bench.drawn.views[0]
    assert hand.view.caret[1] - before[1] == pytest.approx(15 * frame.scale)
    caret_to(hand, "front", "leg", 0.0, 150.0)
    keys(Key.Key_Space)
    (pin,) = hand.case.pins
    assert pin.level_mm == pytest.approx(150, abs=1)


def test_space_and_enter_draw_an_injury(hand, keys):
    QTest.keyClicks(QApplication.focusWidget(), "i")
    for u, level in ((-20, 100), (20, 100), (20, 150), (-20, 150)):
        caret_to(hand, "front", "leg", u, level)
        keys(Key.Key_Space)
    keys(Key.Key_Return)
    assert len(hand.case.injuries[0].front) == 4


def test_a_bar_by_keyboard(hand, keys):
    hand.pin(level=100.0)
    hand.pin(level=160.0)
    QTest.keyClicks(hand.view, "b")
    for level in (100.0, 160.0):
        caret_to(hand, "front", "leg", 0.0, level)
        keys(Key.Key_Space)
    assert len(hand.case.bars) == 1


def focus_name():
    widget = QApplication.focusWidget()
    return widget.accessibleName() or widget.text()


def test_tab_after_a_tools_letter_goes_through_its_card(hand, keys):
    QTest.keyClicks(QApplication.focusWidget(), "f")
    passed = []
    for _ in range(4):
        keys(Key.Key_Tab)
        passed.append(focus_name())
    assert passed[0] == "Bone"
    keys(Key.Key_Backtab, times=3)
    QTest.keyClicks(QApplication.focusWidget(), "tib")
    keys(Key.Key_Tab)
    assert focus_name() == "From level"
    keys(Key.Key_Tab)
    assert focus_name() == "Length"
    keys(Key.Key_Tab)
    assert focus_name() == "Mark fracture"
    keys(Key.Key_Escape)
    assert hand.view.hasFocus()


def test_a_new_fracture_by_keys_names_no_bone_by_itself_and_says_its_datum(hand, keys):
    QTest.keyClicks(QApplication.focusWidget(), "f")
    card = hand.window.column.tool
    form = card._forms["fracture"].findChild(NumbersForm)
    assert form.chooser.currentIndex() == -1
    assert not form.button.isEnabled()
    keys(Key.Key_Tab)
    QTest.keyClicks(QApplication.focusWidget(), "tib")
    assert form.button.isEnabled()
    told = " ".join(label.text() for label in form.findChildren(QLabel))
    assert "mm below the knee joint line" in told


def test_a_pin_by_numbers_goes_on_the_broken_bone(hand, keys):
    hand.window.edits.add_fracture("tibia", 150.0, 30.0)
    hand.window.selection.select(None)
    QTest.keyClicks(QApplication.focusWidget(), "p")
    keys(Key.Key_Tab, times=2)
    QTest.keyClicks(QApplication.focusWidget(), "100")
    keys(Key.Key_Tab)
    keys(Key.Key_Space)
    assert (hand.case.pins[0].bone, hand.case.pins[0].level_mm) == ("tibia", 100.0)


def test_the_selected_things_card_names_the_datum_of_its_levels(hand):
    hand.pin(level=100.0)
    card = hand.window.column.thing
    assert any("knee joint line" in label.text() for label in card.findChildren(QLabel))


def test_enter_and_ctrl_t_go_to_the_selected_thing(hand, keys):
    hand.pin(level=100.0)
    hand.window.pick_tool("select")
    keys(Key.Key_Return)
    assert focus_name() == "Level"
    keys(Key.Key_Escape)
    assert hand.view.hasFocus()
    keys(Key.Key_T, CTRL)
    assert focus_name() == "Level"
    hand.window.selection.select(None)
    hand.window.pick_tool("fracture")
    keys(Key.Key_T, CTRL)
    assert focus_name() == "Bone"


def test_tab_comes_round_and_passes_every_stop_once(hand, keys):
    hand.pin(level=100.0)
    hand.window.pick_tool("pin")
    seen = []
    keys(Key.Key_Tab)
    while QApplication.focusWidget() is not hand.view and len(seen) < 200:
        seen.append(QApplication.focusWidget())
        keys(Key.Key_Tab)
    assert QApplication.focusWidget() is hand.view
    assert len(seen) == len(set(map(id, seen)))
    assert len(seen) > 20
    keys(Key.Key_Backtab)
    assert QApplication.focusWidget() is seen[-1]


def test_an_injury_in_both_views_and_a_bar_by_keys_alone(hand, keys):
    QTest.keyClicks(QApplication.focusWidget(), "i")
    keys(Key.Key_Tab)
    assert focus_name() == "Grade"
    keys(Key.Key_Tab)
    QTest.keyClicks(QApplication.focusWidget(), "leg")
    keys(Key.Key_Tab)
    QTest.keyClicks(QApplication.focusWidget(), "120")
    keys(Key.Key_Tab)
    QTest.keyClicks(QApplication.focusWidget(), "170")
    keys(Key.Key_Tab)
    keys(Key.Key_Space)
    (injury,) = hand.case.injuries
    for outline in (injury.front, injury.side):
        assert min(v for _, v in outline) == 120
        assert max(v for _, v in outline) == 170
    for level in (60.0, 100.0):
        hand.window.edits.add_pin("tibia", level)
    hand.window.view.setFocus()
    QTest.keyClicks(QApplication.focusWidget(), "b")
    keys(Key.Key_Tab, times=3)
    keys(Key.Key_Space)
    assert [anchor.pin for anchor in hand.case.bars[0].anchors] == ["pin-1", "pin-2"]


WHOLE_JOB = (
    ("f Tab tib Tab 140 Tab Tab Space Esc", "a fracture"),
    ("l Tab Down Return Esc", "a usual plate or nail"),
    *((f"p Tab Tab {level} Tab Space Esc", "a pin") for level in (60, 95, 240, 280)),
    ("b Tab Home Tab Tab Space Esc", "a bar"),
)
NAMED = {
    "Tab": Key.Key_Tab,
    "Space": Key.Key_Space,
    "Esc": Key.Key_Escape,
    "Return": Key.Key_Return,
    "Down": Key.Key_Down,
    "Home": Key.Key_Home,
}


@pytest.mark.qt_log_ignore("This plugin does not support")
def test_the_whole_job_by_keys_alone(window, qtbot, answer, tmp_path):
    """New case to saved frame: not one click."""
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)

    def fill():
        dialog = QApplication.activeModalWidget()
        QTest.keyClick(dialog.right, Key.Key_Space)
        dialog.stature.setFocus()
        QTest.keyClicks(dialog.stature, "172")
        QTest.keyClick(dialog.stature, Key.Key_Return)

    QTimer.singleShot(50, fill)
    QTest.keyClick(window, Key.Key_N, CTRL)
    qtbot.waitUntil(lambda: window.document.is_open)
    window.activateWindow()
    qtbot.waitUntil(window.view.hasFocus)
    for line, _ in WHOLE_JOB:
        for word in line.split():
            if word in NAMED:
                QTest.keyClick(QApplication.focusWidget(), NAMED[word])
            else:
                QTest.keyClicks(QApplication.focusWidget(), word)
    path = tmp_path / "by-keys.json"
    answer("ask_save_path", path)
    QTest.keyClick(QApplication.focusWidget(), Key.Key_S, CTRL)
    saved = read_case(path)
    assert [pin.level_mm for pin in saved.pins] == [60, 95, 240, 280]
    assert len(saved.fractures) == len(saved.candidates) == len(saved.bars) == 1
    assert [anchor.pin for anchor in saved.bars[0].anchors] == ["pin-1", "pin-4"]


def test_tab_goes_through_the_things_and_then_on(hand, keys):
    first, second = hand.pin(level=100.0), hand.pin(level=160.0)
    hand.window.pick_tool("select")
    hand.window.selection.select(None)
    keys(Key.Key_Tab)
    assert hand.window.selection.subject == first.id
    keys(Key.Key_Tab)
    assert hand.window.selection.subject == second.id
    keys(Key.Key_Backtab)
    assert hand.window.selection.subject == first.id
    keys(Key.Key_Tab)
    keys(Key.Key_Tab)
    assert hand.window.selection.subject is None
    assert QApplication.focusWidget() is not hand.view


def test_arrow_keys_nudge_and_are_one_undo_step(hand, keys):
    pin = hand.pin(level=100.0)
    hand.window.pick_tool("select")
    keys(Key.Key_Down, times=4)
    keys(Key.Key_Down, SHIFT)
    assert hand.case.pins[0].level_mm == pin.level_mm + 9
    keys(Key.Key_Z, CTRL)
    assert hand.case.pins[0] == pin


def test_brackets_turn_and_tilt_the_pin(hand, keys):
    pin = hand.pin(level=100.0)
    QTest.keyClicks(QApplication.focusWidget(), "]]")
    assert hand.case.pins[0].bearing_deg == pytest.approx((pin.bearing_deg + 10) % 360)
    keys(Key.Key_BracketLeft)
    keys(Key.Key_BracketRight, CTRL)
    assert hand.case.pins[0].bearing_deg == pytest.approx((pin.bearing_deg + 5) % 360)
    assert hand.case.pins[0].tilt_deg == 1.0


def test_delete_undo_and_redo(hand, keys):
    hand.pin(level=100.0)
    keys(Key.Key_Delete)
    assert hand.case.pins == ()
    keys(Key.Key_Z, CTRL)
    assert len(hand.case.pins) == 1
    keys(Key.Key_Z, CTRL | SHIFT)
    assert hand.case.pins == ()


def test_letters_and_delete_typed_into_a_field_stay_in_it(hand, qtbot):
    hand.pin(level=100.0)
    note = hand.window.column.thing.input_of("note").editor()
    note.setFocus()
    qtbot.waitUntil(note.hasFocus)
    QTest.keyClicks(note, "pib[")
    QTest.keyClick(note, Key.Key_Home)
    QTest.keyClick(note, Key.Key_Delete)
    QTest.keyClick(note, Key.Key_Return)
    assert hand.case.pins[0].note == "ib["
    assert len(hand.case.pins) == 1


def test_zoom_pan_and_fit(hand, keys):
    fitted = hand.view.zoom
    keys(Key.Key_Plus, CTRL)
    assert hand.view.zoom > fitted
    corner = hand.view.mapToScene(0, 0)
    keys(Key.Key_Right, CTRL)
    assert hand.view.mapToScene(0, 0).x() > corner.x()
    keys(Key.Key_1, CTRL)
    assert hand.view.zoom > fitted
    keys(Key.Key_0, CTRL)
    assert hand.view.zoom == pytest.approx(fitted)


def test_the_check_list_is_reached_and_walked_by_keys(hand, keys):
    hand.pin(level=5.0)
    QTest.keyClicks(QApplication.focusWidget(), "c")
    findings = hand.window.column.findings
    assert findings.list.hasFocus()
    assert findings.current is not None
    keys(Key.Key_Down)
    assert findings.list.currentIndex().row() == 1


def test_whole_limb_toggles(hand, keys):
    hand.pin(level=100.0)
    hand.pin(level=200.0)
    printed = hand.window.bench.drawn.views[0].v_range
    keys(Key.Key_2, CTRL)
    whole = hand.window.bench.drawn.views[0].v_range
    assert whole[1] - whole[0] > printed[1] - printed[0]


def test_every_command_has_a_method_and_no_key_is_given_twice(window):
    keys = [key for command in COMMANDS for key in command.keys]
    keys += [key for tool in TOOLS for key in tool.keys]
    assert len(keys) == len(set(keys))
    for name in window.actions_by_name:
        assert callable(window._work_of(name))


def test_every_widget_that_takes_keys_has_a_name_to_be_read_out(hand):
    hand.pin(level=100.0)
    for tool in TOOLS:
        hand.window.pick_tool(tool.name)
    hand.window.edit_limb()
    nameless = [
        widget
        for widget in hand.window.findChildren(QWidget)
        if isinstance(widget, QAbstractSpinBox | QComboBox | QLineEdit | QAbstractButton)
        and widget.focusPolicy() & Qt.FocusPolicy.TabFocus
        and not (widget.accessibleName() or _text(widget) or _is_inside_named(widget))
    ]
    assert nameless == []


def _text(widget):
    return widget.text() if isinstance(widget, QAbstractButton) else ""


def _is_inside_named(widget):
    parent = widget.parentWidget()
    return isinstance(parent, QAbstractSpinBox | QComboBox) and parent.accessibleName()
