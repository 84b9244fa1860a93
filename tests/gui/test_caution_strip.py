"""The cautions of the first start: the sheet can be used beneath them, one key takes them away."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

CAUTIONS = ("Confirm each pin.", "Do not measure from the drawing.")


@pytest.mark.parametrize("key", [Qt.Key.Key_Escape, Qt.Key.Key_Return, Qt.Key.Key_Space])
def test_one_key_takes_the_cautions_away_and_they_are_kept_as_read(hand, key):
    kept: list[bool] = []
    strip = hand.window.cautions
    strip.show_cautions(CAUTIONS, kept.append)
    assert all(words in strip.words.text() for words in CAUTIONS)
    QTest.keyClick(strip.away, key)
    assert strip.isHidden()
    assert kept == [False]


def test_a_pin_is_placed_while_the_cautions_are_in_sight(hand, qtbot):
    kept: list[bool] = []
    strip = hand.window.cautions
    strip.show_cautions(CAUTIONS, kept.append)
    qtbot.waitUntil(strip.isVisible)
    assert hand.pin(level=130.0).bone == "tibia"
    strip.again.setChecked(True)
    strip.away.click()
    assert kept == [True]
