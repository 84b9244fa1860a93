"""A class: a row for each answer, in order; what cannot be marked has a row with its reason."""

import csv
import io

import pytest
from msgspec.structs import replace

from fixplan.teach import many
from fixplan.teach.class_figures import ClassBook, histogram
from fixplan.teach.files import write_answer
from fixplan.teach.many import rows_of
from fixplan.teach.records import Answer, Try
from fixplan.teach.table import FIXED, MarkTable, plain


@pytest.fixture
def files(good, given, tmp_path):
    """Five answers: full, empty, broken, another limb's, and a second try."""
    answers = {
        "a": Answer(exercise="shaft", label="T1", tries=(good,)),
        "b": Answer(exercise="shaft", label="T2", tries=(Try(case=given, handed_in=""),)),
        "d": Answer(
            exercise="shaft",
            label="T1",
            tries=(replace(good, case=replace(given, limb="arm", fractures=(), injuries=())),),
        ),
        "e": Answer(exercise="shaft", label="=T3", tries=(Try(case=given, handed_in=""), good)),
    }
    for name, answer in answers.items():
        write_answer(tmp_path / f"{name}.json", answer)
    (tmp_path / "c.json").write_text("{ not JSON")
    return [str(tmp_path / f"{name}.json") for name in "abcde"]


def test_every_answer_has_its_row_in_order(lesson, files):
    rows = list(rows_of(lesson, files))
    assert [row.file for row in rows] == files
    assert [None if row.mark is None else row.mark.percent for row in rows] == [
        100.0,
        0.0,
        None,
        None,
        100.0,
    ]
    assert "not sound JSON" in rows[2].error
    assert "plans the arm" in rows[3].error
    assert rows[4].marks[0].percent == 0.0


def test_many_processes_give_the_same_rows(lesson, files, monkeypatch):
    alone = list(rows_of(lesson, files))
    monkeypatch.setattr(many, "ALONE", 0)
    monkeypatch.setattr(many, "_cores", lambda: 2)
    monkeypatch.setattr(many, "_way", lambda: "fork")
    assert list(rows_of(lesson, files)) == alone


def test_the_table_has_a_line_for_each_and_a_column_for_each_part(lesson, files):
    table = MarkTable(lesson.exercise)
    for row in rows_of(lesson, files):
        table.add(row)
    lines = list(csv.reader(io.StringIO(table.content().decode())))
    assert lines[0][: len(FIXED)] == list(FIXED)
    assert lines[0][len(FIXED)] == "rule.pin.injury"
    assert [line[2] for line in lines[1:]] == ["100.0", "0.0", "", "", "100.0"]
    assert lines[5][1] == "'=T3"
    assert {len(line) for line in lines} == {len(lines[0])}


def test_the_book_counts_marks_missed_parts_and_repeated_labels(lesson, files):
    book = ClassBook()
    for row in rows_of(lesson, files):
        book.add(row)
    figures = book.figures()
    assert (figures.answers, figures.unread) == (3, 2)
    assert figures.repeated == ("T1",)
    assert figures.pass_share == pytest.approx(2 / 3)
    assert figures.second_gain == 100.0
    assert {part.mean_credit for part in figures.parts} == {2 / 3}
    assert sum(book.heat.values()) == 8


def test_nothing_marked_has_no_figures():
    assert ClassBook().figures() is None


def test_a_full_mark_belongs_to_the_last_ten():
    assert histogram([0.0, 9.9, 10.0, 100.0]) == (2, 1, 0, 0, 0, 0, 0, 0, 0, 1)


def test_a_label_is_never_a_formula():
    assert plain("=1+1") == "'=1+1"
    assert plain("T1") == "T1"
