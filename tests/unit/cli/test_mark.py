"""`fixplan mark`: one sentence for each input that cannot be used, marks and files for the rest."""

import json

import pytest
from msgspec.structs import replace

from fixplan.cli.commands import work_of
from fixplan.errors import FixplanError
from fixplan.teach.files import encode_answer, encode_lesson
from fixplan.teach.records import Answer, Try
from fixplan.teach.shelf import shipped

EXERCISE = "leg-tibial-shaft"


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("FIXPLAN_HOUSE", "")


@pytest.fixture
def lesson():
    return shipped(EXERCISE)


@pytest.fixture
def answer(tmp_path):
    """Writes an answer's file, perhaps with the plain JSON changed by hand."""

    def write(name, model, label="T1", change=None):
        one = Try(case=model.case, replies=model.replies, handed_in="")
        content = encode_answer(Answer(exercise=EXERCISE, label=label, tries=(one,)))
        if change is not None:
            value = json.loads(content)
            change(value["answer"])
            content = json.dumps(value).encode()
        path = tmp_path / f"{name}.json"
        path.write_bytes(content)
        return str(path)

    return write


def mark(*typed):
    return work_of("mark")(list(typed))


def one_sentence(text):
    """What stands on standard error: one line, no traceback."""
    assert text.count("\n") == 1, text
    assert "Traceback" not in text
    return text


@pytest.mark.usefixtures("qapp")  # an application of pytest-qt's kind, for the tests after this
def test_the_report_is_a_pdf_of_its_own(lesson, answer, tmp_path, capsys):
    out = tmp_path / "class.pdf"
    files = [answer("a", lesson.teacher.good[0]), answer("b", lesson.teacher.wrong[0], "T2")]
    assert mark(EXERCISE, *files, "--report", str(out)) == 0
    assert out.read_bytes().startswith(b"%PDF")
    assert "T1: 100.0 %, passes" in capsys.readouterr().out


def test_a_report_with_another_ending_is_refused(lesson, answer, tmp_path):
    with pytest.raises(FixplanError, match=r"ends in \.pdf"):
        mark(EXERCISE, answer("a", lesson.teacher.good[0]), "--report", str(tmp_path / "x.doc"))


def test_nothing_marked_gives_no_report(tmp_path, capsys):
    (tmp_path / "a.json").write_text("{")
    with pytest.raises(FixplanError, match="no answer could be marked"):
        mark(EXERCISE, str(tmp_path / "a.json"), "--report", str(tmp_path / "x.pdf"))
    capsys.readouterr()


def test_an_answer_for_another_limb_is_one_sentence(lesson, answer, capsys):
    other = shipped("arm-humeral-shaft").teacher.good[0]
    file = answer("other", replace(other, replies=()))
    assert mark(EXERCISE, file, answer("a", lesson.teacher.good[0], "T2")) == 2
    told = capsys.readouterr()
    assert "it plans the arm, and the exercise is about the leg" in one_sentence(told.err)
    assert "T2: 100.0 %" in told.out


def test_a_model_answer_for_another_limb_is_one_sentence(lesson, answer, tmp_path):
    other = shipped("arm-humeral-shaft")
    value = json.loads(encode_lesson(lesson.exercise, lesson.teacher))
    arm = json.loads(encode_lesson(other.exercise, other.teacher))
    value["teacher"]["good"][0]["case"] = arm["teacher"]["good"][0]["case"]
    path = tmp_path / "exercise.json"
    path.write_text(json.dumps(value))
    with pytest.raises(
        FixplanError, match="good answer 1 is for the arm, the exercise for the leg"
    ):
        mark(str(path), answer("a", lesson.teacher.good[0]))


def test_weights_that_sum_to_zero_are_one_sentence(lesson, answer, tmp_path):
    value = json.loads(encode_lesson(lesson.exercise, lesson.teacher))
    for kind in ("rules", "needs", "asked", "questions"):
        for one in value["exercise"].get(kind, []):
            one["weight"] = 0
    path = tmp_path / "exercise.json"
    path.write_text(json.dumps(value))
    with pytest.raises(FixplanError, match="all weights together are 0"):
        mark(str(path), answer("a", lesson.teacher.good[0]))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda v: v["tries"][0]["case"]["pins"][0].update(level_mm="high"), "level_mm"),
        (lambda v: v["tries"][0]["case"]["pins"][0].update(level=1), "unknown field"),
        (lambda v: v["tries"][0]["case"]["pins"][0].update(bone="tibbia"), "tibbia"),
        (lambda v: v["tries"][0].update(mark=100), "unknown field"),
        (lambda v: v.update(label=""), "label"),
        (lambda v: v["tries"][0]["replies"].append({"question": "gone", "chosen": []}), "gone"),
        (
            lambda v: v["tries"][0]["replies"].append({"question": "ward", "chosen": ["x"]}),
            "reply to",
        ),
        (lambda v: v.update(exercise="another"), "answers the exercise another"),
    ],
)
def test_an_answer_edited_by_hand_is_one_sentence(lesson, answer, capsys, change, words):
    file = answer("edited", lesson.teacher.good[0], "T1", change)
    assert mark(EXERCISE, file, answer("a", lesson.teacher.good[0], "T2")) == 2
    told = capsys.readouterr()
    assert words in one_sentence(told.err)
    assert "T2: 100.0 %" in told.out


def test_a_limb_changed_by_hand_gains_nothing_and_is_told(lesson, answer, capsys):
    wrong = lesson.teacher.wrong[0]
    plain = answer("plain", wrong, "T1")
    bare = answer("bare", replace(wrong, case=replace(wrong.case, injuries=(), fractures=())), "T2")
    assert mark(EXERCISE, plain, bare, "--json") == 0
    told = json.loads(capsys.readouterr().out)["answers"]
    assert told[0]["percent"] == told[1]["percent"]
    assert any("changed in the answer" in one for one in told[1]["tries"][0]["remarks"])


def test_labels_that_stand_twice_are_told_once_and_both_are_marked(lesson, answer, capsys):
    files = [answer(name, lesson.teacher.good[0], "T1") for name in "abc"]
    assert mark(EXERCISE, *files) == 0
    told = capsys.readouterr()
    assert "The label T1 stands on more than one answer" in one_sentence(told.err)
    assert told.out.count("T1: 100.0 %") == 3


@pytest.mark.parametrize("what", ["exercise", "answer"])
def test_a_newer_version_is_one_sentence(lesson, answer, tmp_path, capsys, what):
    file = answer("a", lesson.teacher.good[0])
    exercise = tmp_path / "exercise.json"
    exercise.write_bytes(encode_lesson(lesson.exercise, lesson.teacher))
    path = exercise if what == "exercise" else tmp_path / "a.json"
    value = json.loads(path.read_text())
    value["version"] = 99
    path.write_text(json.dumps(value))
    if what == "exercise":
        with pytest.raises(FixplanError, match="version 99, and this program reads up to 1"):
            mark(str(exercise), file)
    else:
        assert mark(str(exercise), file) == 2
        assert "version 99" in one_sentence(capsys.readouterr().err)


def test_a_trainees_copy_cannot_mark(lesson, answer, tmp_path):
    path = tmp_path / "copy.json"
    path.write_bytes(encode_lesson(lesson.exercise, None))
    with pytest.raises(FixplanError, match="without the answer; mark with the teacher's file"):
        mark(str(path), answer("a", lesson.teacher.good[0]))
