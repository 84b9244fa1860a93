"""A class marked at the desk gives what the command line gives."""

import pytest
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog

from fixplan.desk.exercise_dialog import ExerciseDialog
from fixplan.errors import ExerciseError
from fixplan.teach.files import Lesson, encode_answer
from fixplan.teach.records import Answer, Try
from fixplan.teach.shelf import shelf, shipped

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support")


@pytest.fixture
def answers(tmp_path):
    lesson = shipped("leg-tibial-shaft")
    paths = []
    for number, model in enumerate((*lesson.teacher.good, *lesson.teacher.wrong)):
        one = Try(case=model.case, replies=model.replies, handed_in="")
        answer = Answer(exercise=lesson.exercise.id, label=f"T{number}", tries=(one,))
        path = tmp_path / f"{number}.json"
        path.write_bytes(encode_answer(answer))
        paths.append(str(path))
    (tmp_path / "broken.json").write_text("{", encoding="utf-8")
    return [*paths, str(tmp_path / "broken.json")]


def test_report_and_table_are_written_and_what_failed_is_told(window, answers, tmp_path):
    feature = window.features.of("fixplan.desk.class_marking")
    feature.write_report(shipped("leg-tibial-shaft"), answers, tmp_path / "class.pdf")
    assert (tmp_path / "class.pdf").read_bytes().startswith(b"%PDF")
    rows = (tmp_path / "class.csv").read_text(encoding="utf-8").splitlines()
    assert len(rows) == 1 + len(answers)
    assert "3 answers marked" in window.said()
    assert "broken.json" in window.said()


def test_a_trainees_copy_is_refused(window, answers, tmp_path):
    feature = window.features.of("fixplan.desk.class_marking")
    copy = Lesson(exercise=shipped("leg-tibial-shaft").exercise)
    with pytest.raises(ExerciseError, match="without the key"):
        feature.write_report(copy, answers, tmp_path / "class.pdf")


def test_the_class_is_chosen_in_dialogs(window, answers, answer, tmp_path, monkeypatch):
    monkeypatch.setattr(ExerciseDialog, "exec", lambda _: ExerciseDialog.DialogCode.Accepted)
    monkeypatch.setattr(ExerciseDialog, "chosen", lambda _: "leg-tibial-shaft")
    monkeypatch.setattr(QFileDialog, "getOpenFileNames", lambda *_: (answers, ""))
    answer("ask_save_path", tmp_path / "out.pdf")
    window.actions_by_name["mark_class"].trigger()
    assert (tmp_path / "out.pdf").exists()


def test_an_exercise_alone_needs_no_label(qtbot, tmp_path):
    dialog = ExerciseDialog(tmp_path, with_label=False)
    qtbot.addWidget(dialog)
    assert dialog.begin.isEnabled()
    sits = ExerciseDialog(tmp_path)
    qtbot.addWidget(sits)
    assert not sits.begin.isEnabled()
    QTest.keyClicks(sits.label, "A7")
    assert sits.begin.isEnabled()
    assert sits.chosen() in shelf()
