"""Linked cases: listed with side and limb, opened beside, forgotten; what is missing is told."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QPushButton

from fixplan.case.file import read_case, write_case
from fixplan.case.records import Case
from fixplan.desk.linked_cases import DeskFeature

MODULE = "fixplan.desk.linked_cases"


@pytest.fixture
def patient(tmp_path):
    """Two cases in one folder."""
    left, pelvis = tmp_path / "left.json", tmp_path / "pelvis.json"
    write_case(Case(side="left", label="shaft of the femur"), left)
    write_case(Case(side="both", limb="pelvis"), pelvis)
    return left, pelvis


@pytest.fixture
def feature(window, patient) -> DeskFeature:
    window.features.load()
    window.open_path(patient[0])
    return window.features.of(MODULE)


def rows(feature):
    return [one.text() for one in feature.card.findChildren(QLabel) if "json" in one.text()]


def press(feature, name):
    (button,) = [one for one in feature.card.findChildren(QPushButton) if one.text() == name]
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def test_a_case_is_linked_saved_and_listed(window, feature, patient, answer):
    answer("ask_open_path", patient[1])
    window.actions_by_name["link_case"].trigger()
    assert rows(feature) == ["both sides pelvis (pelvis.json)"]
    window.files.save()
    assert read_case(patient[0]).linked == ("pelvis.json",)
    window.document.undo()
    assert rows(feature) == []


def test_a_linked_case_opens_in_a_window_of_its_own(window, feature, patient, answer):
    answer("ask_open_path", patient[1])
    feature.link_case()
    before = set(QApplication.topLevelWidgets())
    press(feature, "Open")
    (other,) = [
        one
        for one in QApplication.topLevelWidgets()
        if isinstance(one, type(window)) and one not in before
    ]
    assert other.isVisible()
    assert other.document.path == patient[1]
    assert window.document.path == patient[0]


def test_unlinking_leaves_the_file(feature, patient, answer):
    answer("ask_open_path", patient[1])
    feature.link_case()
    press(feature, "Unlink")
    assert rows(feature) == []
    assert patient[1].exists()


def test_a_case_that_is_not_there_is_told_in_its_row(window, feature, patient, answer):
    answer("ask_open_path", patient[1])
    feature.link_case()
    window.files.save()
    patient[1].unlink()
    window.open_path(patient[0])
    (row,) = rows(feature)
    assert "pelvis.json" in row
    assert "pelvis (" not in row


@pytest.mark.usefixtures("feature")
def test_what_cannot_be_linked_is_told(window, patient, answer, tmp_path):
    answer("ask_open_path", patient[0])
    window.actions_by_name["link_case"].trigger()
    assert "the case itself" in window.said()
    strange = tmp_path / "strange.json"
    strange.write_text("[]", encoding="utf-8")
    answer("ask_open_path", strange)
    window.actions_by_name["link_case"].trigger()
    assert "strange.json" in window.said()
    assert window.document.case.linked == ()


def test_a_case_in_no_file_is_saved_first(hand):
    hand.window.actions_by_name["link_case"].trigger()
    assert "save it" in hand.window.said()
