"""Why?, and the page of rules, with real keys."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWhatsThis, QWidget

from fixplan.desk.why_dialog import WhyDialog

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support")


def test_why_shows_a_diagram_and_names_its_source(hand):
    hand.pin(level=3.0)
    finding = hand.window.document.findings[0]
    dialog = WhyDialog(hand.case, finding, hand.window)
    told = dialog.page.toPlainText()
    assert finding.rule in told
    assert "Strength:" in told
    assert "\ufffc" in told  # the picture


def test_rules_are_searched_by_key_and_written_as_html(hand, answer, home):
    target = home / "rules.html"
    answer("ask_save_path", target)
    hand.window.activateWindow()
    hand.window.actions_by_name["rules_and_sources"].trigger()
    shown = hand.window.features.of("fixplan.desk.explaining")._shown
    all_rules = shown.count.text()
    QTest.keyClicks(shown.search, "dissaneewate")
    assert shown.count.text() != all_rules
    assert "pouch" in shown.page.toPlainText()
    QTest.mouseClick(shown.write, Qt.MouseButton.LeftButton)
    assert target.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    shown.close()


def test_the_control_with_the_keys_tells_what_it_is_for(hand, monkeypatch):
    told = []
    monkeypatch.setattr(QWhatsThis, "showText", lambda _at, html, _widget: told.append(html))
    hand.pin(level=120.0)
    editor = hand.window.column.thing.findChild(QWidget, "diameter_mm")
    editor.setFocus()
    monkeypatch.setattr(QApplication, "focusWidget", lambda: editor)
    hand.window.actions_by_name["why_control"].trigger()
    assert "fourth power" in told[0]


def test_without_keys_the_next_click_tells(hand, monkeypatch):
    entered = []
    monkeypatch.setattr(QWhatsThis, "enterWhatsThisMode", lambda: entered.append(True))
    monkeypatch.setattr(QApplication, "focusWidget", lambda: None)
    hand.window.actions_by_name["why_control"].trigger()
    assert entered
    assert "One cortex" not in hand.window.view.whatsThis()
    pin = next(one for one in hand.window.findChildren(QAction) if one.text() == "Pin")
    assert "cylinder" in pin.whatsThis()
