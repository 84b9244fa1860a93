"""The card "Vary one thing" follows the drawing and tells its plot in words too."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from fixplan.case import edits

CASES = Path(__file__).parents[2] / "sample_cases"


@pytest.fixture
def feature(window):
    window.open_path(CASES / "open-tibial-shaft.json")
    return window.features.of("fixplan.desk.varying")


def test_nothing_is_worked_out_until_a_thing_is_chosen(feature):
    assert feature.card.plot.isHidden()
    QTest.keyClick(feature.card.thing, Qt.Key.Key_Down)
    assert not feature.card.plot.isHidden()
    assert "5 (present): Along the bone 100 %" in feature.card.plot.accessibleDescription()


def test_the_plot_follows_a_change_of_the_frame(feature, window, qtbot):
    window.actions_by_name["vary_one_thing"].trigger()
    before = feature.card.plot.varied
    window.document.commit("Move", edits.remove(window.document.case, "bar-3"))
    qtbot.waitUntil(lambda: feature.card.plot.isHidden(), timeout=3000)
    assert feature.card.said.text()
    window.document.undo()
    qtbot.waitUntil(lambda: not feature.card.plot.isHidden(), timeout=3000)
    assert feature.card.plot.varied == before


def test_what_speaks_against_is_told_once(feature):
    feature.card.thing.setCurrentIndex(feature.card.thing.findText("bar distance"))
    assert feature.card.said.text().count("under 21 mm from the skin") == 1
    assert "7, 12 and 17" in feature.card.said.text()
