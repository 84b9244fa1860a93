"""A saved exercise opened again: nothing of it is lost, and what is changed is changed alone."""

import pytest
from msgspec.structs import replace

from fixplan.errors import ExerciseError
from fixplan.teach.editing import draft_of
from fixplan.teach.files import Lesson
from fixplan.teach.making import answer_drawn, lesson_of, try_of
from fixplan.teach.marking import mark_try
from fixplan.teach.posing import posed, typed_of
from fixplan.teach.shelf import shelf, shipped


@pytest.mark.parametrize("name", shelf())
def test_an_exercise_comes_back_as_it_was(name):
    before = shipped(name)
    after = lesson_of(draft_of(before))
    assert after.exercise == before.exercise
    was, now = before.teacher, after.teacher
    assert (now.hidden, now.truths, now.keys) == (was.hidden, was.truths, was.keys)
    assert now.good[1:] == was.good[1:]
    assert [(one.text, one.case, one.replies) for one in now.wrong] == [
        (one.text, one.case, one.replies) for one in was.wrong
    ]
    marks = mark_try(after, try_of(now.good[0])), mark_try(before, try_of(was.good[0]))
    assert marks[0] == marks[1]


def test_a_trainees_copy_is_not_opened(lesson):
    with pytest.raises(ExerciseError, match="without the teacher's part"):
        draft_of(Lesson(exercise=lesson.exercise))


def test_another_title_keeps_the_id_that_answers_name(lesson):
    draft = draft_of(lesson)._replace(title="Another shaft", asked_weight=9.0)
    made = lesson_of(draft).exercise
    assert (made.id, made.given.label) == ("shaft", "Another shaft")
    assert made.asked == (replace(lesson.exercise.asked[0], weight=9.0),)


def test_what_is_no_longer_asked_goes_and_what_is_new_comes(lesson):
    draft = draft_of(lesson)
    assert draft.placing == {"candidate-9": "asked"}
    made = lesson_of(draft._replace(placing={"candidate-9": "hidden", "injury-1": "asked"}))
    assert [one.id for one in made.exercise.asked] == ["injury-1"]
    assert made.teacher.truths[0].things == ("injury-1",)
    assert made.exercise.given.injuries == ()
    shown = lesson_of(draft._replace(placing={"candidate-9": "shown"}))
    assert shown.exercise.asked == ()
    assert [one.id for one in shown.exercise.given.candidates] == ["candidate-9"]


def test_a_mistake_has_the_mark_that_it_gets_now(lesson):
    draft = draft_of(lesson)
    fewer = replace(draft.case, pins=draft.case.pins[:1], bars=(), label="Mrs Somebody")
    wrong = answer_drawn(draft, fewer, "One pin alone")
    assert wrong.case.label == lesson.exercise.given.label
    teacher = lesson_of(draft._replace(wrong=(wrong,))).teacher
    first = teacher.wrong[0].mark_percent
    assert first == mark_try(lesson, try_of(wrong)).percent < 100.0
    heavier = dict.fromkeys(draft.weights, 30.0)
    teacher = lesson_of(draft._replace(wrong=(wrong,), weights=heavier)).teacher
    assert teacher.wrong[0].mark_percent < first


@pytest.mark.parametrize("number", range(4))
def test_a_question_comes_back_as_typed(lesson, number):
    one = draft_of(lesson).posed[number]
    typed = typed_of(one)
    again = posed(0, typed, one)
    assert again.key == one.key
    assert {choice.id for choice in again.question.choices} == {
        choice.id for choice in one.question.choices
    }
    assert again.question.id == one.question.id


def test_a_changed_choice_has_an_id_of_its_own(lesson):
    one = draft_of(lesson).posed[0]
    typed = typed_of(one)
    again = posed(0, typed._replace(lines=typed.lines.replace("A", "Another")), one)
    assert [choice.id for choice in again.question.choices] == ["c1", "b", "c"]
