"""A sitting that is interrupted: its file, what it says, and going on with it."""

import json
from datetime import UTC, datetime, timedelta

import pytest
from msgspec.structs import replace

from fixplan.errors import ExerciseError
from fixplan.teach.files import (
    Lesson,
    decode_sitting,
    encode_sitting,
    print_of,
    read_answer,
    read_sitting,
    write_lesson,
    write_sitting,
)
from fixplan.teach.marking import mark_try
from fixplan.teach.shelf import shipped
from fixplan.teach.sitting import Sitting, resumed, time_words

NOON = datetime(2026, 3, 29, 0, 30, tzinfo=UTC)


@pytest.fixture
def begun(lesson, good, tmp_path):
    """A sitting with one try, seven minutes into the second."""
    sitting = Sitting(lesson, "A7", origin=str(tmp_path / "shaft.json"))
    sitting = sitting.with_hint().handed_in(good.case, good.replies, 12.0, NOON)
    return sitting._replace(used_min=3.0)


def saved_of(sitting, good):
    return sitting.saved(good.case, good.replies[:2], 4.0, NOON)


def test_the_time_used_counts_on_and_the_time_away_is_told_apart(begun, lesson, good, tmp_path):
    saved = saved_of(begun, good)
    on = resumed(saved, tmp_path, NOON + timedelta(minutes=90))
    assert on.used_min == 7.0
    assert on.away_min == 90.0
    assert "12:00 left" in time_words(lesson.exercise, on.minutes(1.0))
    on = on._replace(lesson=lesson).handed_in(good.case, good.replies, 14.0, NOON)
    assert on.tries[-1].minutes == 21.0
    remarks = " ".join(mark_try(lesson, on.tries[-1]).remarks)
    assert "after 21 minutes; the limit was 20" in remarks
    assert "interrupted for 90 minutes" in remarks
    assert (on.used_min, on.away_min) == (0.0, 0.0)


def test_a_saved_sitting_comes_back_whole_without_the_key(begun, good, tmp_path):
    path = tmp_path / "sitting.json"
    write_sitting(path, saved_of(begun, good))
    text = path.read_text(encoding="utf-8")
    assert '"keys"' not in text
    assert "candidate-9" not in json.dumps(json.loads(text)["sitting"]["exercise"])
    assert str(tmp_path) not in text
    on = resumed(read_sitting(path), tmp_path, NOON)
    assert (on.label, on.hints, on.tries) == (begun.label, begun.hints, begun.tries)
    assert not on.can_be_marked


def test_the_key_is_found_again_unless_the_exercise_was_changed(begun, lesson, good, tmp_path):
    saved = saved_of(begun, good)
    write_lesson(tmp_path / "shaft.json", lesson.exercise, lesson.teacher)
    assert resumed(saved, tmp_path, NOON).lesson == lesson
    changed = replace(lesson.exercise, task="Hold it well.")
    write_lesson(tmp_path / "shaft.json", changed, lesson.teacher)
    on = resumed(saved, tmp_path, NOON)
    assert not on.can_be_marked
    assert print_of(on.exercise) == print_of(saved.exercise)
    shelf = shipped("leg-plateau")
    saved = Sitting(shelf, "B", origin="leg-plateau").saved(shelf.exercise.given, (), 0.0, NOON)
    assert resumed(saved, tmp_path, NOON).lesson == shelf


def test_a_clock_that_was_set_back_takes_no_time_off(begun, good, tmp_path):
    on = resumed(saved_of(begun, good), tmp_path, NOON - timedelta(days=1))
    assert (on.used_min, on.away_min) == (7.0, 0.0)


def test_a_broken_sitting_is_refused_in_one_sentence(begun, good, tmp_path):
    document = json.loads(encode_sitting(saved_of(begun, good)))

    def told(**changes):
        return json.dumps({**document, "sitting": {**document["sitting"], **changes}}).encode()

    for content, words in (
        (told(saved_at="2026-13-01T00:00:00Z"), "no date and time"),
        (told(saved_at="noon"), "saved_at"),
        (told(minutes=-1), "minutes"),
        (told(replies=[{"question": "which"}]), "which is not asked"),
        (json.dumps({**document, "version": 9}).encode(), "newer program"),
        (b"{", "x"),
    ):
        with pytest.raises(ExerciseError, match=words):
            decode_sitting(content, "x.json")
    path = tmp_path / "s.json"
    path.write_bytes(told())
    with pytest.raises(ExerciseError, match="interrupted sitting, not an answer"):
        read_answer(path)


def test_a_sitting_of_a_copy_stays_a_copy(lesson, good, tmp_path):
    copy = Sitting(Lesson(exercise=lesson.exercise), "A")
    assert not resumed(saved_of(copy, good), tmp_path, NOON).can_be_marked
