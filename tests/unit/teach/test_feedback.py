"""What a trainee is told after handing in: parts, tries, advice, the page."""

from datetime import UTC, datetime

import pytest
from msgspec.structs import replace

from fixplan.checks.hidden import HIDDEN, are_hidden
from fixplan.errors import ExerciseError
from fixplan.teach.feedback import feedback
from fixplan.teach.files import Lesson
from fixplan.teach.mark_page import mark_html
from fixplan.teach.marking import mark_answer
from fixplan.teach.records import Reply, Try
from fixplan.teach.shelf import shelf, shipped
from fixplan.teach.sitting import MOST_TRIES, Sitting, time_words

NOW = datetime(2026, 3, 1, 9, 30, tzinfo=UTC)


def wrong_of(lesson):
    model = lesson.teacher.wrong[0]
    return Try(case=model.case, replies=model.replies, handed_in="")


def good_of(lesson):
    model = lesson.teacher.good[0]
    return Try(case=model.case, replies=model.replies, handed_in="")


@pytest.mark.parametrize("name", shelf())
def test_what_is_missed_has_something_to_try_and_what_is_kept_has_not(name):
    lesson = shipped(name)
    found = feedback(lesson, (wrong_of(lesson),))
    missed = [one for one in found.told if not one.part.is_kept]
    assert missed
    assert all(one.advice for one in missed)
    assert not any(one.advice for one in found.told if one.part.is_kept)
    assert all(one.finding for one in missed if one.part.severity in ("stop", "caution"))


def test_the_mark_is_the_one_that_the_command_line_gives():
    lesson = shipped("leg-tibial-shaft")
    sitting = Sitting(lesson, "A7").handed_in(wrong_of(lesson).case, (), 4.0, NOW)
    found = feedback(lesson, sitting.tries)
    assert found.marks == mark_answer(lesson, sitting.answer())


def test_a_second_try_keeps_both():
    lesson = shipped("leg-tibial-shaft")
    found = feedback(lesson, (wrong_of(lesson), good_of(lesson)))
    assert len(found.marks) == 2
    assert found.marks[0].percent < found.last.percent == 100.0
    page = mark_html(lesson.exercise, found)
    assert f"Try 1: {found.marks[0].percent:.1f} %, try 2: 100.0 %" in page
    assert all(len(one.earlier) == 1 for one in found.told)


def test_the_page_has_reason_number_source_and_what_to_try():
    lesson = shipped("leg-tibial-shaft")
    page = mark_html(lesson.exercise, feedback(lesson, (wrong_of(lesson),)))
    assert "Measured" in page
    assert "limit 20 mm" in page
    assert "PP-01" in page
    assert "convention" in page
    assert "<b>Try:</b> Slide it" in page
    assert "does not pass" in page


def test_what_costs_most_stands_first():
    lesson = shipped("leg-tibial-shaft")
    found = feedback(lesson, (wrong_of(lesson),))
    page = mark_html(lesson.exercise, found)
    dearest = max(found.told, key=lambda one: one.part.weight - one.part.points)
    kept = next(one for one in found.told if one.part.is_kept)
    assert page.index(dearest.part.words) < page.index(kept.part.words)


def test_what_was_hidden_is_drawn_over_but_not_in_the_answer():
    lesson = shipped("leg-beyond-the-wound")
    found = feedback(lesson, (good_of(lesson),))
    assert found.hidden
    assert set(found.hidden) <= {one.id for one in found.case.injuries}


def test_words_of_an_exercise_cannot_break_the_page():
    lesson = shipped("leg-tibial-shaft")
    odd = replace(lesson.exercise, title="<b>x")
    assert "&lt;b&gt;x" in mark_html(odd, feedback(lesson, (good_of(lesson),)))


def test_without_a_try_there_is_nothing_to_tell():
    with pytest.raises(ExerciseError, match="not handed in yet"):
        feedback(shipped("leg-tibial-shaft"), ())


def test_findings_are_hidden_only_where_the_exercise_says_so():
    shown = Sitting(shipped("leg-tibial-shaft"), "A7")
    kept_back = Sitting(shipped("leg-plateau"), "A7")
    assert shown.hidden_findings == ()
    assert kept_back.hidden_findings == (HIDDEN,)
    assert are_hidden(kept_back.hidden_findings)
    assert not are_hidden(())


def test_hints_come_one_by_one_and_end():
    sitting = Sitting(shipped("leg-tibial-shaft"), "A7")
    for _ in range(5):
        sitting = sitting.with_hint()
    assert sitting.hints == len(sitting.exercise.hints) == 2


def test_an_answer_carries_label_print_and_all_tries():
    lesson = shipped("leg-tibial-shaft")
    sitting = Sitting(lesson, "A7")
    with pytest.raises(ExerciseError, match="hand in first"):
        sitting.answer()
    reply = Reply(question="ward", chosen=("heel",))
    case = lesson.exercise.given
    sitting = sitting.handed_in(case, (), 3.0, NOW).handed_in(case, (reply,), 1.5, NOW)
    answer = sitting.answer()
    assert (answer.label, len(answer.tries), answer.exercise) == ("A7", 2, "leg-tibial-shaft")
    assert answer.tries[1].replies == (reply,)
    assert answer.tries[0].handed_in == "2026-03-01 09:30"


def test_no_more_tries_than_a_file_can_hold():
    sitting = Sitting(shipped("leg-tibial-shaft"), "A7")
    for _ in range(MOST_TRIES):
        sitting = sitting.handed_in(sitting.exercise.given, (), 1.0, NOW)
    with pytest.raises(ExerciseError, match="20 tries"):
        sitting.handed_in(sitting.exercise.given, (), 1.0, NOW)


def test_a_trainees_copy_cannot_be_marked():
    lesson = shipped("leg-tibial-shaft")
    copy = Sitting(Lesson(exercise=lesson.exercise), "A7")
    assert not copy.can_be_marked
    assert Sitting(lesson, "A7").can_be_marked


def test_time_is_told_as_a_clock():
    exercise = shipped("leg-plateau").exercise
    assert time_words(exercise, 1.5) == "18:30 left of 20 minutes"
    assert time_words(exercise, 20.0).startswith("Time is over")
    assert time_words(shipped("leg-tibial-shaft").exercise, 90.0) == ""
