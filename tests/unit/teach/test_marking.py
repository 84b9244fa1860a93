"""Marks, part by part: partial credit by margin, completeness, hidden things, what is refused."""

import pytest
from msgspec.structs import replace

from fixplan.case.records import Case
from fixplan.checks.run import check, check_only
from fixplan.errors import ExerciseError
from fixplan.teach.files import Lesson
from fixplan.teach.marking import STOP_FAILS, mark_answer, mark_try, parts_asked
from fixplan.teach.records import Answer, Reply, RuleWeight, Try


def part(mark, name):
    return next(one for one in mark.parts if one.id == name)


def moved(one, number, **fields):
    pins = tuple(replace(p, **fields) if p.number == number else p for p in one.case.pins)
    return replace(one, case=replace(one.case, pins=pins))


def test_the_teachers_own_answer_has_full_marks(lesson, good):
    mark = mark_try(lesson, good)
    assert mark.percent == 100.0
    assert mark.passes
    assert [one.id for one in mark.parts] == list(parts_asked(lesson.exercise))


def test_another_frame_that_keeps_the_rules_has_full_marks_too(lesson, good):
    other = moved(good, 1, level_mm=good.case.pins[0].level_mm + 9, diameter_mm=4.0)
    assert other.case != good.case
    assert mark_try(lesson, other).percent == 100.0


def test_an_empty_answer_has_no_marks(lesson, given):
    mark = mark_try(lesson, Try(case=given, handed_in=""))
    assert mark.percent == 0.0
    assert part(mark, "rule.pin.injury").reason == "There is nothing to judge."


def test_credit_falls_with_the_distance_past_the_limit(lesson, good):
    third = 3
    earned = [
        part(mark_try(lesson, moved(good, third, level_mm=level)), "rule.pin.fracture").credit
        for level in (250.0, 240.0, 238.0, 234.0, 224.0)
    ]
    assert earned[0] == 1.0
    assert earned == sorted(earned, reverse=True)
    assert 0 < earned[2] < earned[1] < 1


def test_the_credit_of_a_near_miss_is_the_documented_one(lesson, good):
    """18 of 20 mm is a stop missed by 10 % of the limit: 0.4 x (1 - 0.1/0.5) = 0.32.

    Of four pins that is the worst: 0.8 x 0.32 + 0.2 x (3 + 0.32) / 4 = 0.422.
    """
    pin = next(pin for pin in good.case.pins if pin.number == 3)
    near = moved(good, 3, level_mm=240.0, tilt_deg=0.0)
    found = part(mark_try(lesson, near), "rule.pin.fracture")
    gap = found.measured
    expected = 0.4 * (1 - (20 - gap) / 20 / 0.5)
    assert pin.bone == "tibia"
    assert found.limit == 20
    assert found.credit == pytest.approx(0.8 * expected + 0.2 * (3 + expected) / 4)


def test_rules_count_no_more_than_the_share_of_needed_pins(lesson, good):
    lone = replace(good, case=replace(good.case, pins=good.case.pins[:1], bars=()))
    mark = mark_try(lesson, lone)
    assert mark.complete == 0.25
    assert part(mark, "rule.pin.injury").credit == 0.25
    assert part(mark, "need.1").credit == 0.5
    assert part(mark, "need.2").credit == 0.0
    assert part(mark, "need.3").credit == 0.0


def test_a_stop_of_a_rule_that_counts_does_not_pass_whatever_the_mark(lesson, good):
    mark = mark_try(lesson, moved(good, 3, level_mm=241.0))
    assert mark.percent > lesson.exercise.pass_percent
    assert not mark.passes
    assert STOP_FAILS in mark.remarks


def test_pins_are_judged_against_what_is_hidden(lesson, good):
    nail = lesson.teacher.hidden.candidates[0].parts[0]
    low, high = nail.locking_zones[0]
    mark = mark_try(lesson, moved(good, 1, level_mm=(low + high) / 2))
    assert "locking zone" in part(mark, "rule.pin.nail-locking").reason


def test_what_a_trainee_changed_of_the_given_limb_does_not_count(lesson, good):
    """A file edited by hand: no injury, a fracture of another place, another stature."""
    bad = moved(good, 3, level_mm=226.0)
    edited = replace(bad, case=replace(bad.case, injuries=(), fractures=()))
    honest, told = mark_try(lesson, bad), mark_try(lesson, edited)
    assert honest.parts == told.parts
    assert "changed" in " ".join(told.remarks)
    assert "changed" not in " ".join(honest.remarks)


def test_a_region_drawn_as_the_truth_counts_fully_and_nothing_drawn_not_at_all(lesson, good):
    assert part(mark_try(lesson, good), "region.nail").credit == 1.0
    bare = replace(good, case=replace(good.case, candidates=()))
    found = part(mark_try(lesson, bare), "region.nail")
    assert found.credit == 0.0
    assert found.reason == "Nothing was drawn."


def test_drawing_everything_does_not_help(lesson, good):
    """All things of the asked kind count together, so a second, wrong nail lowers the overlap."""
    nail = good.case.candidates[0]
    wide = replace(
        nail,
        id="candidate-10",
        parts=tuple(replace(one, width_mm=60.0) for one in nail.parts if hasattr(one, "entry")),
    )
    both = replace(good, case=replace(good.case, candidates=(nail, wide)))
    assert part(mark_try(lesson, both), "region.nail").credit < 0.5


@pytest.mark.parametrize(
    ("question", "reply", "credit"),
    [
        ("one", {"chosen": ("b",)}, 1.0),
        ("one", {"chosen": ("a",)}, 0.0),
        ("several", {"chosen": ("a", "c")}, 1.0),
        ("several", {"chosen": ("a",)}, 0.5),
        ("several", {"chosen": ("a", "b", "c")}, 0.5),
        ("several", {"chosen": ("b",)}, 0.0),
        ("order", {"chosen": ("c", "a", "b")}, 1.0),
        ("order", {"chosen": ("c", "b", "a")}, 2 / 3),
        ("order", {"chosen": ("b", "a", "c")}, 0.0),
        ("order", {"chosen": ("c", "a")}, 1 / 3),
        ("number", {"value": 78.0}, 1.0),
        ("number", {"value": 88.0}, 0.5),
        ("number", {"value": 24.0}, 0.0),
        ("number", {}, 0.0),
    ],
)
def test_replies_have_their_credit(lesson, good, question, reply, credit):
    others = tuple(one for one in good.replies if one.question != question)
    answered = replace(good, replies=(*others, Reply(question=question, **reply)))
    found = part(mark_try(lesson, answered), f"question.{question}")
    assert found.credit == pytest.approx(credit)


def test_a_late_answer_is_told_and_marked_alike(lesson, good):
    late = mark_try(lesson, replace(good, minutes=31.0))
    assert late.percent == 100.0
    assert "31 minutes" in late.remarks[0]


def test_both_tries_are_marked(lesson, good, given):
    answer = Answer(exercise="shaft", label="A7", tries=(Try(case=given, handed_in=""), good))
    assert [mark.percent for mark in mark_answer(lesson, answer)] == [0.0, 100.0]


@pytest.mark.parametrize(
    ("case", "words"),
    [
        (Case(limb="arm", side="right"), "plans the arm"),
        (Case(side="left"), "plans the left side"),
    ],
)
def test_an_answer_for_another_limb_or_side_is_refused(lesson, case, words):
    with pytest.raises(ExerciseError, match=words):
        mark_try(lesson, Try(case=case, handed_in=""))


def test_an_answer_to_another_exercise_is_refused(lesson, good):
    with pytest.raises(ExerciseError, match="answers the exercise other"):
        mark_answer(lesson, Answer(exercise="other", label="A", tries=(good,)))


def test_a_trainees_copy_cannot_mark(lesson, good):
    with pytest.raises(ExerciseError, match="trainee's copy"):
        mark_try(Lesson(exercise=lesson.exercise), good)


def test_an_answer_to_a_changed_exercise_is_marked_and_told(lesson, good):
    answer = Answer(exercise="shaft", print="XXXXXX", label="A", tries=(good,))
    (mark,) = mark_answer(lesson, answer)
    assert mark.percent == 100.0
    assert "changed after" in mark.remarks[0]


def test_an_acceptance_does_not_buy_credit(lesson, good):
    from fixplan.case import edits

    bad = moved(good, 3, level_mm=226.0)
    found = next(one for one in check(bad.case) if one.rule == "rule.pin.fracture")
    accepted = replace(bad, case=edits.accept(bad.case, _acceptance(found)))
    assert mark_try(lesson, accepted).percent == mark_try(lesson, bad).percent


def _acceptance(found):
    from fixplan.case.records import Acceptance

    return Acceptance(
        rule=found.rule,
        subjects=found.subjects,
        reason="no better place",
        severity=found.severity,
        measured=found.measured,
        limit=found.limit,
    )


def test_only_the_asked_rules_give_what_all_rules_give(good):
    bad = moved(good, 3, level_mm=226.0)
    asked = frozenset({"rule.pin.fracture", "rule.pin.injury", "rule.pin.side"})
    whole = [one for one in check(bad.case) if one.rule in asked]
    only = check_only(bad.case, asked)
    assert {(one.rule, one.message, one.measured) for one in whole} == {
        (one.rule, one.message, one.measured) for one in only
    }


def test_a_rule_that_weighs_nothing_is_not_even_asked(lesson, good):
    exercise = replace(
        lesson.exercise,
        rules=(*lesson.exercise.rules, RuleWeight(rule="rule.frame.loose", weight=0.0)),
    )
    mark = mark_try(replace(lesson, exercise=exercise), good)
    assert mark.percent == 100.0


@pytest.mark.parametrize("bars", [0, 1, 2, 3])
def test_a_loose_frame_is_told_alike_whether_or_not_its_firmness_is_asked(good, bars):
    case = replace(good.case, bars=good.case.bars[:bars])
    loose = frozenset({"rule.frame.loose"})
    both = loose | {"rule.frame.movement", "rule.pin.stress"}
    told = [one for one in check_only(case, both) if one.rule in loose]
    assert list(check_only(case, loose)) == told
    assert bool(told) == (bars in (2,))
