"""Making an exercise in its window, with mouse and keys."""

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from fixplan.teach.files import read_lesson, write_lesson
from fixplan.teach.shelf import shipped

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support")
LEFT = Qt.MouseButton.LeftButton
CASES = Path(__file__).parents[2] / "sample_cases"


@pytest.fixture
def dialog(window):
    window.open_path(CASES / "open-tibial-shaft.json")
    window.actions_by_name["make_exercise"].trigger()
    return window.features.of("fixplan.desk.making")._dialog


def click(button):
    QTest.mouseClick(button, LEFT)


def test_an_exercise_is_made_saved_and_copied(dialog, answer, home):
    click(dialog.save)
    assert "no title" in dialog.said.text()
    QTest.keyClicks(dialog.task.title, "A shin with a wound")
    QTest.keyClicks(dialog.task.task, "Hold it out to length.")
    nail = dialog.shown.choices["candidate-1"]
    nail.setCurrentIndex(nail.findData("asked"))
    page = dialog.questions
    QTest.keyClicks(page.text, "Which tray?")
    page.lines.setPlainText("small\n* large")
    click(page.add)
    click(dialog.answers.check)
    assert "100.0 %, passes" in dialog.answers.own.text()
    answer("ask_save_path", home / "whole.json")
    click(dialog.save)
    answer("ask_save_path", home / "copy.json")
    click(dialog.copy)
    whole, copy = read_lesson(home / "whole.json"), read_lesson(home / "copy.json")
    assert whole.exercise == copy.exercise
    assert copy.teacher is None
    assert [one.text for one in whole.exercise.questions] == ["Which tray?"]
    assert whole.exercise.given.candidates == ()
    assert '"keys"' not in (home / "copy.json").read_text(encoding="utf-8")


def test_another_good_answer_is_marked_and_kept(dialog):
    QTest.keyClicks(dialog.task.title, "T")
    QTest.keyClicks(dialog.task.task, "t")
    dialog.answers.add_file(CASES / "open-tibial-shaft.json")
    assert "100.0 %" in dialog.answers.list.item(0).text()
    assert len(dialog.lesson().teacher.good) == 2


def test_points_and_needs_are_taken_as_typed(dialog):
    QTest.keyClicks(dialog.task.title, "T")
    QTest.keyClicks(dialog.task.task, "t")
    for box in dialog.rules.points.values():
        box.setValue(0)
    dialog.rules.points["rule.pin.injury"].setValue(4)
    dialog.rules._needs[0][1].setValue(3)
    made = dialog.lesson().exercise
    assert [(one.rule, one.weight) for one in made.rules] == [("rule.pin.injury", 4.0)]
    assert made.needs[0].least == 3
    QTest.keyClicks(dialog.rules.search, "zone of injury")
    hidden = [dialog.rules.rules.isRowHidden(row) for row in range(dialog.rules.rules.rowCount())]
    assert hidden.count(False) == 1


def test_another_case_closes_the_window(dialog, window):
    window.open_path(CASES / "pilon-delta.json")
    assert window.features.of("fixplan.desk.making")._dialog is None
    del dialog


def test_a_mistake_is_added_from_the_drawing_with_its_mark(dialog, window):
    QTest.keyClicks(dialog.task.title, "T")
    QTest.keyClicks(dialog.task.task, "t")
    page, own = dialog.answers, window.document.case
    dialog.pages.setCurrentWidget(page)
    click(page.wrong)
    assert "keep that first" in dialog.said.text()
    click(page.keep)
    window.document.commit("Take pins off", replace(own, pins=own.pins[:1], bars=()))
    QTest.keyClicks(page.text, "One pin alone")
    click(page.wrong)
    teacher = dialog.lesson().teacher
    assert len(teacher.good[0].case.pins) == len(own.pins)
    assert len(teacher.wrong[0].case.pins) == 1
    assert f"{teacher.wrong[0].mark_percent:.1f} %" in page.list.item(0).text()


def test_a_saved_exercise_is_changed_and_previewed(window, answer, home):
    feature = window.features.of("fixplan.desk.making")
    path = home / "nail.json"
    before = shipped("leg-where-the-nail-goes")
    write_lesson(path, before.exercise, before.teacher)
    feature.edit(str(path))
    dialog = feature._dialog
    assert dialog.lesson().exercise == before.exercise
    QTest.keyClicks(dialog.task.title, " again")
    dialog.questions.list.setCurrentRow(1)
    click(dialog.questions.change)
    dialog.questions.points.setValue(7)
    click(dialog.questions.add)
    answer("ask_save_path", path)
    click(dialog.save)
    after = read_lesson(path)
    assert after.exercise.id == before.exercise.id
    assert after.exercise.title.endswith(" again")
    assert after.exercise.questions[1].weight == 7
    assert after.teacher.wrong[0].case == before.teacher.wrong[0].case


def test_a_preview_is_what_a_trainee_gets_and_leaves_nothing(dialog, window, make_window):
    QTest.keyClicks(dialog.task.title, "T")
    QTest.keyClicks(dialog.task.task, "t")
    opened = []
    window._new_window = lambda: opened.append(make_window()) or opened[-1]
    click(dialog.preview)
    sitting = opened[0].features.of("fixplan.desk.sitting").sitting
    assert sitting.label == "preview"
    assert opened[0].document.case.pins == ()
    opened[0].document.commit("Lay", window.document.case)
    assert not opened[0].document.is_changed
    assert window.features.of("fixplan.desk.making")._dialog is dialog
