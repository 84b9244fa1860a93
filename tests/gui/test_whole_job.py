"""From an empty window to a saved knee-spanning frame with injury, plate candidate and PDF.

At most 25 actions: one click, drag, key chord or typed field each. Real dialogs, real keys.
"""

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QLineEdit

from fixplan.case.file import read_case
from fixplan.case.limbs import spans
from fixplan.desk.new_case import NewCaseDialog
from tests.gui.conftest import Hand

# The offscreen platform says so of menus and dialogs; it says nothing about the program.
pytestmark = pytest.mark.qt_log_ignore("This plugin does not support")

MOST_ACTIONS = 25
CTRL = Qt.KeyboardModifier.ControlModifier


class Counting(Hand):
    """A hand that counts what it does."""

    def __init__(self, window, qtbot):
        super().__init__(window)
        self._qtbot = qtbot
        self.actions = 0

    def click(self, pixel, keys=Qt.KeyboardModifier.NoModifier):
        self.actions += 1
        super().click(pixel, keys)

    def drag(self, *pixels, keys=Qt.KeyboardModifier.NoModifier):
        self.actions += 1
        super().drag(*pixels, keys=keys)

    def chord(self, widget, key, keys=Qt.KeyboardModifier.NoModifier):
        self.actions += 1
        if widget.window() is self.window:
            self.window.activateWindow()
            self._qtbot.waitUntil(self.window.isActiveWindow)
        QTest.keyClick(widget, key, keys)

    def button(self, widget):
        self.actions += 1
        QTest.mouseClick(widget, Qt.MouseButton.LeftButton)

    def type(self, field, text):
        self.actions += 1
        field.clear()
        QTest.keyClicks(field, text)

    def tool(self, name):
        bar = self.window._strip_of_tools
        self.button(bar.widgetForAction(bar.tools[name]))

    def during(self, work):
        """Do something in the modal dialog that is about to open."""
        problems = []

        def run():
            dialog = QApplication.activeModalWidget()
            if dialog is None:
                QTimer.singleShot(20, run)
                return
            try:
                work(dialog)
            except Exception as problem:  # noqa: BLE001 (told by the test that waits)
                problems.append(problem)
                dialog.reject()

        QTimer.singleShot(0, run)
        return problems


@pytest.fixture
def counting(window, qtbot):
    return Counting(window, qtbot)


def begin(hand):
    def fill(dialog):
        assert isinstance(dialog, NewCaseDialog)
        assert not dialog.start.isEnabled()
        hand.button(dialog.left)
        hand.type(dialog.stature, "168")
        hand.button(dialog.start)

    problems = hand.during(fill)
    hand.chord(hand.window, Qt.Key.Key_N, CTRL)
    assert problems == []


def give_name(hand, key, name):
    def fill(dialog):
        assert isinstance(dialog, QFileDialog)
        field = dialog.findChild(QLineEdit, "fileNameEdit")
        hand.type(field, name)
        hand.chord(field, Qt.Key.Key_Return)

    problems = hand.during(fill)
    hand.chord(hand.window, key, CTRL)
    assert problems == []


def lay_knee_spanning_frame(hand):
    """The bar's button opens the menu; the third entry is the knee-spanning frame."""
    menu = hand.window.listed_menus["starting_frame"]
    button = next(
        b
        for b in hand.window._strip_of_tools.findChildren(object)
        if getattr(b, "accessibleName", lambda: "")() == "Starting frame"
    )

    def choose():
        entry = next(a for a in menu.actions() if a.text().startswith("Knee-spanning"))
        hand.actions += 1
        QTest.mouseClick(menu, Qt.MouseButton.LeftButton, pos=menu.actionGeometry(entry).center())

    QTimer.singleShot(50, choose)
    hand.button(button)


CORNERS = ((-35, 15), (35, 15), (35, 70), (-35, 70))


def by_points_and_the_other_view_by_a_key(hand):
    for u, level in CORNERS:
        hand.click(hand.screen("front", "leg", u, level))
    hand.chord(hand.view, Qt.Key.Key_Return)
    hand.chord(hand.view, Qt.Key.Key_O)


def by_a_sweep_in_each_view(hand):
    for view in ("front", "side"):
        ring = (*CORNERS, (-35, 20))
        hand.drag(*(hand.screen(view, "leg", u, level) for u, level in ring))


@pytest.mark.parametrize("draw", [by_points_and_the_other_view_by_a_key, by_a_sweep_in_each_view])
def test_the_whole_job_in_at_most_25_actions(counting, qtbot, tmp_path, monkeypatch, draw):
    monkeypatch.setenv("HOME", str(tmp_path))
    hand = counting
    begin(hand)
    hand.tool("fracture")
    hand.drag(hand.screen("front", "leg", 0, 10), hand.screen("front", "leg", 0, 60))
    hand.tool("injury")
    draw(hand)
    hand.tool("later")
    presets = hand.window.column.tool.findChild(object, "presets")
    qtbot.waitUntil(presets.isVisible)
    hand.actions += 1
    spot = presets.visualItemRect(presets.item(0)).center()
    QTest.mouseClick(presets.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    lay_knee_spanning_frame(hand)
    qtbot.waitUntil(lambda: len(hand.case.bars) > 0)
    path = tmp_path / "knee.json"
    give_name(hand, Qt.Key.Key_S, "knee.json")
    give_name(hand, Qt.Key.Key_E, "knee.pdf")

    saved = read_case(path)
    assert saved.side == "left"
    assert saved.size.stature_mm == 1680
    assert spans(saved, "knee")
    (injury,) = saved.injuries
    assert injury.front
    assert injury.side
    assert len(saved.fractures) == 1
    assert saved.candidates[0].kind in ("plate", "dual plate")
    assert (tmp_path / "knee.pdf").read_bytes().startswith(b"%PDF")
    assert not hand.window.document.is_changed
    assert hand.actions <= MOST_ACTIONS, f"{hand.actions} actions"
    print(f"{hand.actions} actions")


def test_a_side_must_be_chosen(window, qtbot):
    dialog = NewCaseDialog(window)
    qtbot.addWidget(dialog)
    assert not dialog.start.isEnabled()
    dialog.right.setChecked(True)
    assert dialog.start.isEnabled()
    dialog.stature.setText("17")
    assert not dialog.start.isEnabled()
    dialog.stature.setText("170,5")
    assert dialog.case().size.stature_mm == 1705
