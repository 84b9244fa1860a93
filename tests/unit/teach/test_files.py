"""The files: both ways, copies without the answer, and one sentence for every bad one."""

import json

import msgspec
import pytest
from msgspec.structs import replace

from fixplan.case.file import encode as encode_case
from fixplan.errors import ExerciseError
from fixplan.teach.files import (
    Lesson,
    decode_answer,
    decode_lesson,
    encode_answer,
    encode_lesson,
    print_of,
    read_lesson,
    schemas,
    write_answer,
    write_lesson,
)
from fixplan.teach.records import Answer, Key, Question, Reply, RuleWeight, Truth


def lesson_dict(lesson):
    return json.loads(encode_lesson(lesson.exercise, lesson.teacher))


def refused(value, words):
    content = value if isinstance(value, bytes) else json.dumps(value).encode()
    with pytest.raises(ExerciseError, match=words) as found:
        decode_lesson(content, "x.json")
    assert "\n" not in str(found.value)


def test_an_exercise_reads_back_as_it_was(lesson, tmp_path):
    path = tmp_path / "x.json"
    write_lesson(path, lesson.exercise, lesson.teacher, rules="1")
    assert read_lesson(path) == lesson


def test_a_trainees_copy_holds_nothing_of_the_teachers_part(lesson):
    content = encode_lesson(lesson.exercise, None)
    assert decode_lesson(content, "x") == Lesson(exercise=lesson.exercise)
    text = content.decode()
    assert "teacher" not in text
    assert "candidate-9" not in text
    assert "Because." not in text


def test_an_answer_reads_back_as_it_was(good):
    answer = Answer(exercise="shaft", label="A7", tries=(good, good))
    assert decode_answer(encode_answer(answer), "x", "y") == answer


def test_a_case_file_is_taken_as_an_answer_under_its_own_name(good):
    answer = decode_answer(encode_case(good.case), "b3.json", "b3")
    assert answer.label == "b3"
    assert answer.tries[0].case == good.case


def test_the_print_changes_with_the_exercise(lesson):
    other = replace(lesson.exercise, task="Another task.")
    assert len(print_of(lesson.exercise)) == 6
    assert print_of(other) != print_of(lesson.exercise)


def test_a_newer_exercise_is_refused_by_its_version(lesson):
    refused(
        {**lesson_dict(lesson), "version": 2}, "format version 2, and this program reads up to 1"
    )


def test_a_newer_answer_is_refused_by_its_version(good):
    told = json.loads(encode_answer(Answer(exercise="shaft", label="A", tries=(good,))))
    with pytest.raises(ExerciseError, match="format version 7"):
        decode_answer(json.dumps({**told, "version": 7}).encode(), "x", "y")


def test_another_file_is_refused(given):
    refused(encode_case(given), "not an exercise")
    refused(b"[]", "not an exercise")
    refused(b"", "empty")
    refused(b'{"format": "fixplan exercise", "version": true}', "whole number")


def test_a_field_nobody_knows_is_refused_with_its_place(lesson):
    told = lesson_dict(lesson)
    told["exercise"]["secret"] = 1
    refused(told, r"secret.*\$\.exercise")


def test_weights_that_sum_to_nothing_are_refused(lesson):
    told = lesson_dict(lesson)
    for kind in ("rules", "needs", "asked", "questions"):
        for one in told["exercise"][kind]:
            one["weight"] = 0
    refused(told, "all weights together are 0")


def test_a_good_answer_for_another_limb_is_refused(lesson):
    told = lesson_dict(lesson)
    told["teacher"]["good"][0]["case"] = {"limb": "arm", "side": "right"}
    refused(told, "good answer 1 is for the arm, the exercise for the leg")


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"rules": (RuleWeight(rule="rule.pin.nothing"),)}, "not in the rules"),
        ({"rules": (RuleWeight(rule="rule.pin.side"),) * 2}, "stands 2 times"),
        ({"questions": (Question(id="one", kind="one", text="?"),)}, "fewer than two choices"),
    ],
)
def test_exercises_without_sense_are_refused(lesson, change, words):
    exercise = replace(lesson.exercise, **change)
    with pytest.raises(ExerciseError, match=words):
        encode_lesson(exercise, None)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"keys": ()}, "question one has no key"),
        ({"keys": (Key(question="one", right=("z",)),)}, "no choice z"),
        ({"truths": ()}, "nothing says where nail is"),
        ({"truths": (Truth(asked="nail", things=("candidate-3",)),)}, "which is not drawn"),
    ],
)
def test_keys_and_truths_must_lead_somewhere(lesson, change, words):
    with pytest.raises(ExerciseError, match=words):
        encode_lesson(lesson.exercise, replace(lesson.teacher, **change))


def test_an_answer_edited_by_hand_tells_its_first_fault(good):
    told = json.loads(encode_answer(Answer(exercise="shaft", label="A", tries=(good,))))
    told["answer"]["tries"][0]["case"]["pins"][0]["level_mm"] = "high"
    with pytest.raises(ExerciseError, match=r"level_mm|pins\[0\]"):
        decode_answer(json.dumps(told).encode(), "x", "y")


def test_two_replies_to_one_question_are_refused(good):
    twice = replace(good, replies=(Reply(question="one"), Reply(question="one")))
    with pytest.raises(ExerciseError, match="stands 2 times"):
        encode_answer(Answer(exercise="shaft", label="A", tries=(twice,)))


def test_an_unwritable_place_is_told(good, tmp_path):
    with pytest.raises(Exception, match="folder does not exist"):
        write_answer(tmp_path / "no" / "a.json", Answer(exercise="s", label="A", tries=(good,)))


def test_the_schemas_name_every_record():
    told = schemas()
    assert set(told) == {"fixplan exercise", "fixplan answer", "fixplan sitting"}
    assert {"Exercise", "Teacher", "Key"} <= set(told["fixplan exercise"]["$defs"])
    assert msgspec.json.encode(told)
