"""An exercise made from a case: what goes over, what stays behind, what is refused."""

from pathlib import Path

import msgspec
import pytest
from msgspec.structs import replace

from fixplan.case.file import decode
from fixplan.case.records import Case
from fixplan.checks.rules import rules
from fixplan.errors import ExerciseError
from fixplan.teach.asking import asked_kind
from fixplan.teach.draft import Draft, region_words, regions_of
from fixplan.teach.files import decode_lesson, encode_lesson
from fixplan.teach.making import (
    exercise_id,
    given_of,
    lesson_of,
    usual_needs,
    usual_weights,
)
from fixplan.teach.marking import mark_try
from fixplan.teach.posing import Typed, posed
from fixplan.teach.records import FrameNeeded, PinsNeeded, Try

CASES = Path(__file__).parents[3] / "sample_cases"


@pytest.fixture(scope="module")
def case():
    path = CASES / "open-tibial-shaft.json"
    found = decode(path.read_bytes(), str(path))
    return replace(found, label="Mr Somebody", notes="ward 7")


@pytest.fixture
def draft(case):
    return Draft(
        case=case,
        title="A shin with a wound",
        task="Hold it out to length tonight.",
        weights=usual_weights(),
        needs=usual_needs(case),
    )


def own_mark(lesson):
    model = lesson.teacher.good[0]
    return mark_try(lesson, Try(case=model.case, replies=model.replies, handed_in=""))


def test_the_teachers_own_answer_passes_what_was_made_from_it(draft):
    assert own_mark(lesson_of(draft)).percent == 100.0


@pytest.mark.parametrize("path", sorted(CASES.glob("*.json")), ids=lambda path: path.stem)
def test_every_sample_case_makes_an_exercise_that_reads_back(path):
    case = decode(path.read_bytes(), str(path))
    draft = Draft(case=case, title="T", task="t", weights=usual_weights(), needs=usual_needs(case))
    made = lesson_of(draft)
    content = encode_lesson(made.exercise, made.teacher)
    assert decode_lesson(content, "made") == made
    assert own_mark(made).complete == 1.0


def test_the_trainee_is_given_no_frame_and_nothing_about_the_patient(draft):
    text = encode_lesson(lesson_of(draft).exercise, None).decode()
    assert "Somebody" not in text
    assert "ward 7" not in text
    given = given_of(draft)
    assert (given.pins, given.bars, given.supports, given.acceptances) == ((), (), (), ())
    whole = lesson_of(draft)
    assert "Somebody" not in encode_lesson(whole.exercise, whole.teacher).decode()


def test_what_is_hidden_is_not_in_the_trainees_copy(draft):
    injury = draft.case.injuries[0]
    made = lesson_of(draft._replace(placing={injury.id: "hidden"}))
    assert made.exercise.given.injuries == ()
    assert made.teacher.hidden.injuries == (injury,)
    assert "injur" not in msgspec.json.encode(made.exercise.given.injuries).decode()


def test_what_is_asked_is_hidden_and_must_be_drawn(draft):
    candidate = draft.case.candidates[0]
    made = lesson_of(draft._replace(placing={candidate.id: "asked"}, asked_weight=7.0))
    (asked,) = made.exercise.asked
    assert (asked.kind, asked.weight) == ("nail", 7.0)
    assert own_mark(made).percent == 100.0
    empty = Try(case=made.exercise.given, handed_in="")
    part = next(p for p in mark_try(made, empty).parts if p.kind == "region")
    assert (part.credit, part.reason) == (0.0, "Nothing was drawn.")


def test_a_fracture_cannot_be_asked_for(draft):
    fracture = draft.case.fractures[0]
    assert asked_kind(fracture) is None
    with pytest.raises(ExerciseError, match="cannot be asked for"):
        lesson_of(draft._replace(placing={fracture.id: "asked"}))


def test_needs_follow_the_teachers_frame(case):
    needs = usual_needs(case)
    pins = [one for one in needs if isinstance(one, PinsNeeded)]
    assert [(one.bones, one.fragment, one.least) for one in pins] == [
        (("tibia",), 1, 2),
        (("tibia",), 2, 2),
    ]
    assert isinstance(needs[-1], FrameNeeded)
    assert needs[-1].joint is None


@pytest.mark.parametrize(
    ("name", "joint"), [("pilon-delta", "ankle"), ("open-book-pelvis", "pelvic ring")]
)
def test_a_spanning_frame_needs_its_joint(name, joint):
    path = CASES / f"{name}.json"
    needs = usual_needs(decode(path.read_bytes(), str(path)))
    assert needs[-1] == FrameNeeded(joint=joint, weight=2.0)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"title": " "}, "no title"),
        ({"task": ""}, "task is empty"),
        ({"weights": {}, "needs": ()}, "all weights together are 0"),
        ({"case": Case(side="right"), "needs": ()}, "asks for nothing"),
        ({"weights": {"rule.pin.gone": 1.0}}, "rule.pin.gone is not in the rules"),
    ],
)
def test_what_is_missing_is_told_in_a_sentence(draft, change, words):
    with pytest.raises(ExerciseError, match=words):
        lesson_of(draft._replace(**change))


def test_a_rule_without_points_does_not_count(draft):
    made = lesson_of(
        draft._replace(weights={rule.id: 0.0 for rule in rules()} | {"rule.pin.injury": 2})
    )
    assert [one.rule for one in made.exercise.rules] == ["rule.pin.injury"]


def test_ids_come_from_titles():
    assert exercise_id("Tibia: leave the nail its way!") == "tibia-leave-the-nail-its-way"
    assert exercise_id("???") == "exercise"


def test_every_region_has_words(case):
    told = [region_words(one) for one in regions_of(case)]
    assert told[0] == "Fracture of the tibia, 188 to 222 mm (wedge)"
    assert len(told) == len([*case.fractures, *case.wounds, *case.injuries, *case.candidates])


def test_a_question_for_one_choice():
    one = posed(1, Typed("one", "Which tray?", "small\n* large"))
    assert one.key.right == ("c2",)
    assert [choice.text for choice in one.question.choices] == ["small", "large"]
    assert one.right().chosen == ("c2",)


def test_an_order_is_shuffled_always_alike_and_never_right():
    typed = Typed("order", "In which order?", "first\nsecond\nthird\nfourth")
    one = posed(1, typed)
    assert one.key.right == ("c1", "c2", "c3", "c4")
    shown = tuple(choice.id for choice in one.question.choices)
    assert sorted(shown) == ["c1", "c2", "c3", "c4"]
    assert shown != one.key.right
    assert posed(1, typed) == one
    assert posed(1, Typed("order", "?", "a\nb")).question.choices[0].text == "b"


def test_a_number_has_its_widths():
    one = posed(3, Typed("number", "How far?", value=20, within=2, none_beyond=1, unit="mm"))
    assert (one.key.value, one.key.within, one.key.none_beyond) == (20, 2, 2)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        (Typed("one", " ", "a\n*b"), "no words"),
        (Typed("one", "?", "*a"), "two choices"),
        (Typed("one", "?", "*a\n*b"), "one line"),
        (Typed("several", "?", "a\nb"), "each right line"),
        (Typed("number", "?"), "needs the right number"),
    ],
)
def test_a_question_half_typed_is_told(typed, words):
    with pytest.raises(ExerciseError, match=words):
        posed(1, typed)


def test_questions_go_into_the_exercise_and_their_key_stays_with_the_teacher(draft):
    question = posed(
        1, Typed("one", "Which tray?", "small\n*large", why="Thick pins.", evidence="PD-04")
    )
    made = lesson_of(draft._replace(posed=(question,)))
    assert own_mark(made).percent == 100.0
    assert "Thick pins" not in encode_lesson(made.exercise, None).decode()
    bad = posed(1, Typed("one", "?", "a\n*b", evidence="ZZ-99"))
    with pytest.raises(ExerciseError, match="no evidence ZZ-99"):
        lesson_of(draft._replace(posed=(bad,)))
