"""Sitting an exercise with real mouse and keys: hidden findings, questions, two tries, the mark."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from fixplan.desk import dialogs
from fixplan.desk import sitting as desk_sitting
from fixplan.desk.mark_dialog import MarkDialog
from fixplan.desk.panels.question_fields import ChoiceField, NumberField, OrderField, field_of
from fixplan.teach.feedback import feedback
from fixplan.teach.files import read_answer, read_sitting
from fixplan.teach.records import Choice, Question
from fixplan.teach.shelf import shipped

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support")
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def sit(window, monkeypatch, answer, home):
    """Begin an exercise; marks are kept instead of shown, answers go to one file."""
    shown = []
    monkeypatch.setattr(desk_sitting.MarkDialog, "exec", lambda self: shown.append(self))
    answer("ask_save_path", home / "answer.json")
    answer("ask_sure", True)

    def begin(name):
        feature = window.features.of("fixplan.desk.sitting")
        feature.begin_exercise(name, "A7")
        feature.shown = shown
        return feature

    return begin


def click(button):
    QTest.mouseClick(button, LEFT)


def test_a_whole_sitting_with_two_tries(window, sit, home):
    feature = sit("leg-tibial-shaft")
    good = shipped("leg-tibial-shaft").teacher.good[0]
    assert window.document.case == feature.sitting.exercise.given
    click(feature.panel.hand_in)
    window.document.commit("Lay the frame", good.case)
    order = next(one for one in feature.panel.fields if isinstance(one, OrderField))
    click(order.later)
    click(feature.panel.hand_in)
    assert len(feature.sitting.tries) == 2
    first, second = feature.shown
    assert "Try 1:" in second.page.toPlainText()
    assert "try 2:" in second.page.toPlainText()
    kept = read_answer(home / "answer.json")
    assert kept.label == "A7"
    assert len(kept.tries) == 2
    assert kept.tries[1].case == good.case
    assert kept.tries[1].replies[0].question == "order"
    assert "Try 1" in feature.panel.state.text()
    del first


def test_findings_are_kept_back_until_the_exercise_is_left(window, sit):
    feature = sit("leg-where-the-nail-goes")
    wrong = shipped("leg-where-the-nail-goes").teacher.wrong[0]
    window.document.commit("Lay the frame", wrong.case)
    assert [one.subject for one in window.document.findings] == ["Exercise"]
    window.column.findings.refresh()
    assert window.column.findings.beside == "hidden"
    words = [
        s.text for page in window.bench.drawn.pages for s in page.shapes() if hasattr(s, "text")
    ]
    assert not any("No stop or caution" in text for text in words)
    click(feature.panel.leave)
    assert len(window.document.findings) > 1
    assert feature.sitting is None


def test_another_case_ends_the_sitting(window, sit):
    feature = sit("leg-plateau")
    window.document.start(shipped("leg-femoral-shaft").exercise.given)
    window.show_recovered()
    assert feature.sitting is None
    assert window.document.hidden_findings == ()


def test_open_questions_are_told_before_handing_in(sit, monkeypatch):
    told = []
    monkeypatch.setattr(dialogs, "ask_sure", lambda *words: bool(told.append(words[2])))
    feature = sit("leg-tibial-shaft")
    click(feature.panel.hand_in)
    assert "not answered" in told[0]
    assert feature.sitting.tries == ()


def test_hints_and_time_are_told(sit):
    feature = sit("leg-where-the-nail-goes")
    assert "left of 20 minutes" in feature.panel.time.text()
    assert feature.panel.hints.isHidden()
    click(feature.panel.hint)
    assert "finger's breadth" in feature.panel.hints.text()
    assert feature.panel.hint.isHidden()


def test_without_an_exercise_the_commands_say_so(hand):
    hand.window.actions_by_name["hand_in"].trigger()
    assert "No exercise is being sat" in hand.window.said()


def test_why_leads_from_the_mark_to_its_diagram(window):
    lesson = shipped("leg-tibial-shaft")
    model = lesson.teacher.wrong[0]
    found = feedback(lesson, (desk_try(model),))
    dialog = MarkDialog(lesson.exercise, found, window)
    number = next(n for n, one in enumerate(found.told) if one.finding and not one.part.is_kept)
    assert found.told[number].part.id in dialog.why_of(f"why:{number}").page.toPlainText()


def desk_try(model):
    from fixplan.teach.records import Try

    return Try(case=model.case, replies=model.replies, handed_in="")


CHOICES = tuple(Choice(id=name, text=f"Say {name}") for name in "abc")


def test_questions_are_answered_by_mouse_and_keys(qtbot):
    one = field_of(Question(id="q", kind="one", text="One?", choices=CHOICES))
    several = field_of(Question(id="q", kind="several", text="Some?", choices=CHOICES))
    order = field_of(Question(id="q", kind="order", text="Order?", choices=CHOICES))
    number = field_of(Question(id="q", kind="number", text="How far?", unit="mm"))
    for field in (one, several, order, number):
        qtbot.addWidget(field)
        assert field.reply() is None
    assert isinstance(one, ChoiceField)
    assert isinstance(number, NumberField)
    for name in "ab":
        one.buttons[name].click()
        several.buttons[name].click()
    assert one.reply().chosen == ("b",)
    assert several.reply().chosen == ("a", "b")
    click(order.later)
    assert order.reply().chosen == ("b", "a", "c")
    QTest.keyClicks(number.typed, "12,5")
    assert number.reply().value == 12.5
    QTest.keyClicks(number.typed, "x")
    assert number.reply() is None
    assert number.said.text() == "not a number"


def reply_to_some(feature):
    order = next(one for one in feature.panel.fields if isinstance(one, OrderField))
    click(order.later)
    return feature.panel.replies()


def test_a_sitting_is_saved_and_gone_on_with(window, sit, home, answer):
    feature = sit("leg-tibial-shaft")
    good = shipped("leg-tibial-shaft").teacher.good[0]
    window.document.commit("Lay the frame", good.case)
    replies = reply_to_some(feature)
    assert window.document.is_changed
    answer("ask_save_path", home / "sitting.json")
    window.actions_by_name["save"].trigger()
    assert not window.document.is_changed
    assert read_sitting(home / "sitting.json").case == good.case
    window.document.start(shipped("leg-plateau").exercise.given)
    window.show_recovered()
    assert window.files.saver is None
    answer("ask_file", home / "sitting.json")
    window.actions_by_name["resume_sitting"].trigger()
    assert window.document.case == good.case
    assert feature.panel.replies() == replies
    assert feature.sitting.can_be_marked


def test_a_sitting_comes_back_after_a_crash(make_window, window, sit, answer, monkeypatch):
    feature = sit("leg-where-the-nail-goes")
    click(feature.panel.hint)
    good = shipped("leg-where-the-nail-goes").teacher.good[0]
    window.document.commit("Lay the frame", good.case)
    window.document.write_recovery_now()
    window.document._recovery._lock.unlock()
    monkeypatch.setattr(window.document._recovery, "drop", lambda: None)
    answer("ask_recovery", "recover")
    other = make_window()
    assert other.ask_about_copies()
    found = other.features.of("fixplan.desk.sitting")
    assert found.sitting.label == "A7"
    assert found.sitting.hints == 1
    assert other.document.case == good.case
    assert other.document.is_changed
    assert [one.subject for one in other.document.findings] == ["Exercise"]
