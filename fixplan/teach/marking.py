"""The mark of an answer, worked out part by part from the exercise, its key and the answer.

Only pins, bars, supports and replies of an answer count, and what it draws where a region was
asked; limb, fracture and tissue are the exercise's own, whatever a trainee's file says of them.

- A rule: each pin (bar, or the frame) that the rule finds something about keeps the credit of
  `scheme.credit_of`, every other has full credit; the rule's credit is half that of the worst and
  half their mean, times the share of the needed pins that are there. Nothing there: no credit.
- Something needed: the share that is there (`needs`).
- An asked region: by intersection over union (`regions`).
- A question: against its key (`questions`).
The mark is all credits times their weights over all weights, in percent, to a tenth. Nothing
depends on the teacher's own frame: any frame that keeps the rules has full credit. An answer passes
from the exercise's percentage up, and only without a stop of a rule that counts.
"""

from collections.abc import Iterator
from typing import NamedTuple

from msgspec.structs import replace

from fixplan.case.records import Case
from fixplan.case.scalars import Record
from fixplan.checks.finding import SEVERITIES, Finding
from fixplan.checks.rules import Rule, by_id, rules
from fixplan.checks.run import check_only
from fixplan.errors import ExerciseError
from fixplan.teach.files import Lesson, print_of
from fixplan.teach.marks import Mark, Part, percent_of
from fixplan.teach.needs import completeness, need_part
from fixplan.teach.questions import question_part
from fixplan.teach.records import Answer, Exercise, Reply, RuleWeight, Teacher, Try
from fixplan.teach.regions import own_things, region_part, things_named
from fixplan.teach.rule_words import rule_words
from fixplan.teach.scheme import FULL, NONE, CreditScheme, credit_of, scheme, together
from fixplan.teach.sense import reply_problems, with_hidden

STOP_FAILS = "A rule that counts has found a stop, so the answer does not pass."
CASE_ANSWER = "case"
"""What a plain case file has for the exercise's id."""


def mark_answer(lesson: Lesson, answer: Answer) -> tuple[Mark, ...]:
    """The mark of each try of an answer, the first first.

    Raises:
        ExerciseError: a trainee's copy, an answer to another exercise or for another limb.
    """
    if answer.exercise not in (lesson.exercise.id, CASE_ANSWER):
        raise ExerciseError(
            f"it answers the exercise {answer.exercise}, not {lesson.exercise.id}; "
            "mark it with that one"
        )
    stale = answer.print and answer.print != print_of(lesson.exercise)
    remarks = ("The exercise was changed after it was sat.",) if stale else ()
    return tuple(mark_try(lesson, one, remarks) for one in answer.tries)


def mark_try(lesson: Lesson, one: Try, remarks: tuple[str, ...] = ()) -> Mark:
    """The mark of one try. Raises ExerciseError as `mark_answer` does."""
    exercise, teacher = lesson.exercise, lesson.teacher
    if teacher is None:
        raise ExerciseError(
            f"{exercise.id} is a trainee's copy without the answer; mark with the teacher's file"
        )
    _refuse_other_limb(exercise.given, one.case)
    strange = tuple(reply_problems(exercise, "the answer", one.replies))
    if strange:
        raise ExerciseError(f"{strange[0]}; correct the file")
    judged = judged_case(exercise, teacher, one.case)
    complete = completeness(exercise.needs, judged)
    parts = (
        *_rule_parts(exercise, judged, complete),
        *(need_part(n, need, judged) for n, need in enumerate(exercise.needs, 1)),
        *_region_parts(exercise, teacher, one.case, judged),
        *_question_parts(exercise, teacher, one.replies),
    )
    percent = percent_of(parts)
    stops = exercise.stop_fails and any(part.severity == "stop" for part in parts)
    return Mark(
        percent=percent,
        passes=percent >= exercise.pass_percent and not stops,
        parts=parts,
        complete=complete,
        minutes=one.minutes,
        remarks=(*remarks, *_remarks(exercise, one), *((STOP_FAILS,) if stops else ())),
    )


def parts_asked(exercise: Exercise) -> tuple[str, ...]:
    """Ids of all parts that a mark of this exercise has, in their order."""
    return (
        *(one.rule for one in exercise.rules),
        *(f"need.{number}" for number, _ in enumerate(exercise.needs, 1)),
        *(f"region.{one.id}" for one in exercise.asked),
        *(f"question.{one.id}" for one in exercise.questions),
    )


def judged_case(exercise: Exercise, teacher: Teacher | None, case: Case) -> Case:
    """The exercise's own limb and tissue, what is hidden too, with a trainee's frame."""
    return replace(
        with_hidden(exercise.given, teacher),
        pins=case.pins,
        bars=case.bars,
        supports=case.supports,
        acceptances=(),
        last_number=max((pin.number for pin in case.pins), default=0),
    )


def _refuse_other_limb(given: Case, case: Case) -> None:
    if case.limb != given.limb:
        raise ExerciseError(
            f"it plans the {case.limb}, and the exercise is about the {given.limb}; "
            "hand in an answer to this exercise"
        )
    if case.side != given.side:
        raise ExerciseError(
            f"it plans the {case.side} side, and the exercise is about the {given.side} side; "
            "plan that one"
        )


def _rule_parts(exercise: Exercise, judged: Case, complete: float) -> Iterator[Part]:
    asked = frozenset(one.rule for one in exercise.rules if one.weight > 0)
    by_rule: dict[str, list[Finding]] = {}
    for found in check_only(judged, asked):
        by_rule.setdefault(found.rule, []).append(found)
    known, credit = by_id(rules()), scheme().credit
    for weighed in exercise.rules:
        rule = known.get(weighed.rule)
        if rule is None:
            raise ExerciseError(f"{weighed.rule} is not in the rules; take it off the exercise")
        subjects = _subjects(rule, judged)
        told = _Told(rule, subjects, by_rule.get(rule.id, []), credit)
        yield _rule_part(weighed, told, complete)


class _Told(NamedTuple):
    """What a rule found, of which subjects, and how credit is given."""

    rule: Rule
    subjects: tuple[str, ...]
    found: list[Finding]
    given: CreditScheme

    @property
    def worst(self) -> Finding | None:
        """Stops first, then what costs most."""
        return min(self.found, key=self._gravity, default=None)

    def _gravity(self, finding: Finding) -> tuple[int, float]:
        return SEVERITIES.index(finding.severity), credit_of(finding, self.given)

    def shares(self) -> dict[str, float]:
        """The credit of each subject: the least that any finding leaves it."""
        shares = dict.fromkeys(self.subjects, FULL)
        for one in self.found:
            named = [name for name in one.subjects if name in shares] or list(self.subjects)
            for name in named:
                shares[name] = min(shares[name], credit_of(one, self.given))
        return shares


def _rule_part(weighed: RuleWeight, told: _Told, complete: float) -> Part:
    rule, worst, shares = told.rule, told.worst, told.shares()
    credit = complete * together(list(shares.values()), told.given) if shares else NONE
    return Part(
        id=rule.id,
        kind="rule",
        words=rule_words(rule),
        weight=weighed.weight,
        credit=credit,
        reason=_reason(worst, len(told.found), bool(shares), complete),
        measured=None if worst is None else worst.measured,
        limit=None if worst is None else worst.limit,
        unit=rule.unit,
        sources=(*rule.all_evidence, *rule.sources),
        subjects=() if worst is None else worst.subjects,
        severity=None if worst is None else worst.severity,
    )


def _subjects(rule: Rule, judged: Case) -> tuple[str, ...]:
    """What a rule can find something about: the pins, the bars, or the frame as one."""
    if rule.subject == "pin":
        return tuple(pin.id for pin in judged.pins)
    if rule.subject == "bar":
        return tuple(bar.id for bar in judged.bars)
    return ("frame",) if judged.pins else ()


def _reason(worst: Finding | None, count: int, is_judged: bool, complete: float) -> str:
    if not is_judged:
        return "There is nothing to judge."
    missing = f" Only {100 * complete:.0f} % of the needed pins are there." if complete < 1 else ""
    if worst is None:
        return f"Nothing found.{missing}"
    more = f" And {count - 1} more." if count > 1 else ""
    return f"{worst.message}.{more}{missing}"


def _region_parts(exercise: Exercise, teacher: Teacher, case: Case, judged: Case) -> Iterator[Part]:
    if not exercise.asked:
        return
    own = own_things(case, exercise.given)
    truths = {one.asked: one.things for one in teacher.truths}
    for asked in exercise.asked:
        true: tuple[Record, ...] = things_named(judged, truths[asked.id])
        yield region_part(asked, true, own, judged, scheme().overlap)


def _question_parts(
    exercise: Exercise, teacher: Teacher, replies: tuple[Reply, ...]
) -> Iterator[Part]:
    keys = {key.question: key for key in teacher.keys}
    given = {reply.question: reply for reply in replies}
    for question in exercise.questions:
        yield question_part(question, keys[question.id], given.get(question.id))


def _remarks(exercise: Exercise, one: Try) -> Iterator[str]:
    limit = exercise.time_limit_min
    if limit is not None and one.minutes is not None and one.minutes > limit:
        yield f"Handed in after {one.minutes:.0f} minutes; the limit was {limit:g}."
    if one.away_min >= 1:
        yield f"The sitting was interrupted for {one.away_min:.0f} minutes, which are not counted."
    if one.hints:
        yield f"{one.hints} of {len(exercise.hints)} hints were read."
    if _tissue(one.case, exercise.given) != _tissue(exercise.given, exercise.given):
        yield "What was given was changed in the answer; marked on the exercise's own limb."


def _tissue(case: Case, given: Case) -> tuple[object, ...]:
    """What was given, as far as a case still holds it."""
    kept = (given.fractures, given.wounds, given.injuries, given.candidates)
    own = (case.fractures, case.wounds, case.injuries, case.candidates)
    still = (
        tuple(one for one in mine if one in theirs) for mine, theirs in zip(own, kept, strict=True)
    )
    return (case.size, *still)
