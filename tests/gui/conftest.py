"""A real window in a home of its own, and a hand that works on its sheet."""

from itertools import pairwise

import numpy as np
import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from fixplan.case.records import Case, LimbSize
from fixplan.desk.settings import Settings
from fixplan.desk.theme import dress
from fixplan.desk.window import DeskWindow

LEFT, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    """Settings and recovery copies of this test alone."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("FIXPLAN_HOUSE", "")
    return tmp_path


@pytest.fixture
def make_window(qtbot):
    """Windows as the program makes them; closed at the end without questions."""
    if not QApplication.instance().styleSheet():
        dress(QApplication.instance())
    made = []

    def make():
        window = DeskWindow(Settings(), make)
        qtbot.addWidget(window, before_close_func=lambda w: w.document.close())
        window.resize(1400, 900)
        window.show()
        made.append(window)
        return window

    yield make
    for window in made:
        window.document.close()
    made.clear()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)  # none outlives its test


@pytest.fixture
def window(make_window):
    return make_window()


@pytest.fixture
def hand(window):
    """A hand on the sheet of a new case of the right leg."""
    window.document.start(Case(side="right", size=LimbSize(stature_mm=1750, sex="male")))
    window.show_recovered()
    return Hand(window)


class Hand:
    """Real mouse and keys on the viewport, at places of the limb."""

    def __init__(self, window):
        self.window = window
        self.view = window.view

    @property
    def case(self):
        return self.window.document.case

    @property
    def shown(self):
        return self.window.document.shown

    def screen(self, view, segment, u, level):
        """The viewport's pixel at (u, level) of a segment."""
        drawn = self.window.bench.drawn
        (at,) = drawn.at_in(drawn.view_frame(view), segment, [(u, level)])
        return self.pixel(at)

    def pixel(self, at):
        return self.view.mapFromScene(QPointF(float(at[0]), float(at[1])))

    def solid(self, view, segment, point):
        """The pixel of an (x, y, level) point."""
        drawn = self.window.bench.drawn
        (at,) = drawn.at_of(drawn.view_frame(view), segment, [np.asarray(point, dtype=float)])
        return self.pixel(at)

    def send(self, kind, pixel, keys=NONE, button=LEFT):
        """A mouse event of our own: QTest's moves do not carry the held button."""
        buttons = Qt.MouseButton.NoButton if kind == QEvent.Type.MouseButtonRelease else button
        port = self.view.viewport()
        spot = QPointF(pixel)
        event = QMouseEvent(
            kind, spot, QPointF(port.mapToGlobal(spot.toPoint())), button, buttons, keys
        )
        QApplication.sendEvent(port, event)

    def press(self, pixel, keys=NONE):
        self.send(QEvent.Type.MouseButtonPress, pixel, keys)

    def move(self, pixel, keys=NONE):
        self.send(QEvent.Type.MouseMove, pixel, keys)

    def release(self, pixel, keys=NONE):
        self.send(QEvent.Type.MouseButtonRelease, pixel, keys)

    def drag(self, *pixels, keys=NONE):
        self.press(pixels[0], keys)
        for start, end in pairwise(pixels):
            for step in (0.25, 0.5, 0.75, 1.0):
                self.move(QPoint(*(round(a + step * (b - a)) for a, b in _pairs(start, end))), keys)
        self.release(pixels[-1], keys)

    def click(self, pixel, keys=NONE):
        QTest.mouseClick(self.view.viewport(), LEFT, keys, pixel)

    def double_click(self, pixel):
        QTest.mouseDClick(self.view.viewport(), LEFT, NONE, pixel)

    def key(self, key, keys=NONE):
        QTest.keyClick(self.view, key, keys)

    def pin(self, view="side", level=120.0, u=0.0, segment="leg"):
        """Place a pin with the pin tool and return it."""
        self.window.pick_tool("pin")
        self.click(self.screen(view, segment, u, level))
        return self.case.pins[-1]


def _pairs(start, end):
    return ((start.x(), end.x()), (start.y(), end.y()))


@pytest.fixture
def answer(monkeypatch):
    """Answer a dialog's question: answer("ask_unsaved", "save")."""
    from fixplan.desk import dialogs

    def set_answer(name, value):
        asked = []

        def reply(*arguments):
            asked.append((name, arguments))
            return value

        monkeypatch.setattr(dialogs, name, reply)
        return asked

    return set_answer
