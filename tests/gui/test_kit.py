"""The card "Kit to open": live at rest, and a change that is taken by one click."""

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLabel, QPushButton

from fixplan.case.file import read_case, write_case
from fixplan.kit.tray_files import write_trays
from fixplan.kit.trays import shipped_trays

ROOT = Path(__file__).parents[2]
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def kit(window):
    """The card with the open sample case."""
    window.open_path(ROOT / "sample_cases" / "open-tibial-shaft.json")
    window.features.load()
    return window.features.of("fixplan.desk.kit_feature")


def lose(home, monkeypatch, diameter_mm, length_mm):
    """House trays without one size of half-pin."""
    trays = tuple(
        replace(
            tray,
            stock=tuple(
                line
                for line in tray.stock
                if (line.part, line.diameter_mm, line.length_mm)
                != ("half-pin", diameter_mm, length_mm)
            ),
        )
        for tray in shipped_trays().trays
    )
    path = home / "trays.toml"
    write_trays(trays, path)
    monkeypatch.setenv("FIXPLAN_TRAYS", str(path))


def told(card):
    QApplication.processEvents()  # labels of a layout are shown in the next turn
    shown = [one for one in card.findChildren(QLabel) if not one.isHidden()]
    return [one.text().replace("\u00a0", " ") for one in shown]


def test_the_card_says_what_to_open_and_from_whose_trays(kit):
    assert kit.card.headline.text() == "Open Leg A."
    assert kit.card.beside == "invented trays, not this hospital's"
    assert kit.card.is_folded
    kit.go_to_kit()
    assert "4 \u00d7 half-pin 5 mm, 100 mm" in kit.card.details.text()


def test_it_follows_the_drawing_once_that_rests(kit, window, qtbot):
    with qtbot.waitSignal(kit.watch.changed, timeout=5000):
        window.selection.select("pin-1")
        window.edits.delete()
    assert "3 \u00d7 half-pin 5 mm, 100 mm" in kit.card.details.text()


def test_while_something_moves_the_card_is_grey_and_asks_nothing(kit, window):
    document = window.document
    shown = kit.watch.answer
    document.preview(replace(document.case, pins=document.case.pins[:-1]))
    assert not kit.card.headline.isEnabled()
    kit.watch.ask()
    assert kit.watch.answer is shown
    document.cancel_preview()
    assert kit.card.headline.isEnabled()


def test_a_change_is_taken_by_one_click_and_undone_by_one(kit, window, qtbot, home, monkeypatch):
    lose(home, monkeypatch, 5.0, 100.0)
    kit.watch.ask()
    assert any("Missing: 4 \u00d7 half-pin 5 mm, 100 mm" in line for line in told(kit.card))
    qtbot.waitUntil(lambda: bool(kit.watch.offers), timeout=10000)
    button = next(
        one for one in kit.card.findChildren(QPushButton) if one.text() == "Accept this change"
    )
    assert "150 mm" in button.accessibleDescription() or "120" in button.accessibleDescription()
    before = window.document.case
    with qtbot.waitSignal(kit.watch.changed, timeout=5000):
        qtbot.mouseClick(button, LEFT)
    assert len(window.document.case.acceptances) == len(before.acceptances) + 4
    assert kit.watch.answer.is_complete
    assert any("in place of half-pin 5 mm, 100 mm" in line for line in told(kit.card))
    window.document.undo()
    assert window.document.case == before


def test_trays_that_cannot_be_read_are_told_on_the_card(kit, home, monkeypatch):
    path = home / "trays.toml"
    path.write_text("schema = 1\ntray = 5\n", encoding="utf-8")
    monkeypatch.setenv("FIXPLAN_TRAYS", str(path))
    kit.watch.ask()
    assert "see the template" in kit.card.headline.text()


def test_a_linked_case_shares_the_trays(window, tmp_path):
    case = read_case(ROOT / "sample_cases" / "open-tibial-shaft.json")
    write_case(case, tmp_path / "other.json")
    write_case(replace(case, linked=("other.json",)), tmp_path / "this.json")
    window.open_path(tmp_path / "this.json")
    window.features.load()
    kit = window.features.of("fixplan.desk.kit_feature")
    assert "(case 2)" in kit.card.details.text()
    (tmp_path / "other.json").unlink()
    kit.watch.ask()
    assert "other.json" in kit.card.headline.text()
