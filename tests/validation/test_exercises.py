"""The shipped exercises: every teacher's answer passes, every common wrong one has its mark."""

import json
from collections import Counter

import pytest
from msgspec.structs import replace

from fixplan.limb.library import resources_dir
from fixplan.teach.files import encode_lesson
from fixplan.teach.marking import mark_try
from fixplan.teach.records import Try
from fixplan.teach.shelf import shelf, shelf_titles, shipped

NAMES = sorted(path.stem for path in (resources_dir() / "exercises").glob("*.json"))
ONE_SIDED = [name for name in NAMES if shipped(name).exercise.given.side != "both"]
PLACES = ("leg", "foot", "arm", "hand", "pelvis")


def mark_of(lesson, model):
    return mark_try(lesson, Try(case=model.case, replies=model.replies, handed_in=""))


def test_there_are_twelve_or_more_across_all_places_and_grades():
    assert len(NAMES) >= 12
    assert set(Counter(name.split("-")[0] for name in NAMES)) == set(PLACES)
    assert {grade for _, _, _, grade in shelf_titles()} == {1, 2, 3}
    assert set(shelf()) == set(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_the_file_bears_its_exercises_name(name):
    assert shipped(name).exercise.id == name


@pytest.mark.parametrize("name", NAMES)
def test_every_good_answer_passes(name):
    lesson = shipped(name)
    assert lesson.teacher.good
    for model in lesson.teacher.good:
        mark = mark_of(lesson, model)
        assert mark.percent >= 90
        assert mark.passes


@pytest.mark.parametrize("name", NAMES)
def test_the_common_wrong_answer_has_its_mark_and_does_not_pass(name):
    lesson = shipped(name)
    assert lesson.teacher.wrong
    for model in lesson.teacher.wrong:
        mark = mark_of(lesson, model)
        assert mark.percent == pytest.approx(model.mark_percent, abs=0.1)
        assert not mark.passes
        assert model.text


@pytest.mark.parametrize("name", NAMES)
def test_an_empty_answer_is_worth_next_to_nothing(name):
    lesson = shipped(name)
    empty = mark_try(lesson, Try(case=lesson.exercise.given, handed_in=""))
    assert empty.percent == 0


@pytest.mark.parametrize("name", NAMES)
def test_a_trainees_copy_has_neither_answer_nor_hidden_things(name):
    lesson = shipped(name)
    text = encode_lesson(lesson.exercise, None).decode()
    hidden = lesson.teacher.hidden
    for thing in (*hidden.injuries, *hidden.candidates, *hidden.fractures, *hidden.wounds):
        assert thing.id not in text
    assert json.loads(text)["exercise"]["given"]["pins"] == []


@pytest.mark.parametrize("name", ONE_SIDED)
def test_marks_are_the_same_on_the_other_side(name):
    """D12: the mirrored exercise gives the mirrored answer the same mark, part by part."""
    lesson = shipped(name)
    other = "left" if lesson.exercise.given.side == "right" else "right"
    flipped = replace(
        lesson,
        exercise=replace(lesson.exercise, given=replace(lesson.exercise.given, side=other)),
    )
    for model in (*lesson.teacher.good, *lesson.teacher.wrong):
        mirrored = replace(model, case=replace(model.case, side=other))
        assert mark_of(flipped, mirrored).parts == mark_of(lesson, model).parts
