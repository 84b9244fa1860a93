"""What a trainee is told of a mark, part by part: the finding behind it, and what to try."""

from collections.abc import Sequence
from typing import NamedTuple

from msgspec.structs import replace

from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.checks.run import check
from fixplan.errors import ExerciseError
from fixplan.teach.files import Lesson
from fixplan.teach.marking import judged_case, mark_try
from fixplan.teach.marks import Mark, Part
from fixplan.teach.records import Try

TRY_BY_KIND = {
    "rule": "Move what is named until the value keeps its limit; Why? shows by how much.",
    "need": "Add or take off until the count is right, then join all with bars.",
    "region": "Draw it again beside the dashed outline in the picture.",
    "question": "Read the reason, then reply again.",
}
NOTHING_TO_JUDGE = "Place the pins that are needed; there is nothing to judge yet."


class Told(NamedTuple):
    """A part of the last mark; `earlier` are its credits in the tries before, the first first.

    `finding` is the worst one of a rule, `advice` what to try; empty where the part is kept.
    """

    part: Part
    earlier: tuple[float, ...]
    finding: Finding | None
    advice: str


class Feedback(NamedTuple):
    """All that is told after handing in: a mark for each try, and the parts of the last one.

    `case` is the answer as it was judged, with what was hidden drawn in; `drawn` has what the
    trainee drew instead. `model` is the teacher's answer, `hidden` the ids of what was hidden.
    """

    marks: tuple[Mark, ...]
    told: tuple[Told, ...]
    case: Case
    drawn: Case
    model: Case | None
    hidden: tuple[str, ...]

    @property
    def last(self) -> Mark:
        """The mark that counts."""
        return self.marks[-1]


def feedback(lesson: Lesson, tries: Sequence[Try]) -> Feedback:
    """Marks of all tries, with what is told of the last. Raises ExerciseError without a try."""
    if not tries:
        raise ExerciseError(f"{lesson.exercise.id} was not handed in yet; hand it in first")
    marks = tuple(mark_try(lesson, one) for one in tries)
    judged = judged_case(lesson.exercise, lesson.teacher, tries[-1].case)
    found = check(judged)
    told = tuple(
        _told(part, tuple(mark.parts[number].credit for mark in marks[:-1]), found)
        for number, part in enumerate(marks[-1].parts)
    )
    last = tries[-1].case
    drawn = replace(
        judged,
        fractures=last.fractures,
        wounds=last.wounds,
        injuries=last.injuries,
        candidates=last.candidates,
    )
    return Feedback(marks, told, judged, drawn, *_model(lesson))


def _model(lesson: Lesson) -> tuple[Case | None, tuple[str, ...]]:
    """The teacher's own answer with what was hidden, and the ids of that."""
    teacher = lesson.teacher
    if teacher is None:
        return None, ()
    case = teacher.good[0].case if teacher.good else lesson.exercise.given
    hidden = teacher.hidden
    ids = [one.id for one in hidden.fractures] + [one.id for one in hidden.wounds]
    ids += [one.id for one in hidden.injuries] + [one.id for one in hidden.candidates]
    return judged_case(lesson.exercise, teacher, case), tuple(ids)


def _told(part: Part, earlier: tuple[float, ...], found: Sequence[Finding]) -> Told:
    finding = next(
        (one for one in found if one.rule == part.id and one.subjects == part.subjects), None
    )
    if part.is_kept:
        return Told(part, earlier, finding, "")
    if part.kind == "rule" and part.severity is None:
        return Told(part, earlier, finding, NOTHING_TO_JUDGE)
    advice = finding.advice if finding is not None else ""
    return Told(part, earlier, finding, sentence(advice) or TRY_BY_KIND[part.kind])


def sentence(words: str) -> str:
    """Words as a sentence of their own; empty for none."""
    return f"{words[:1].upper()}{words[1:].rstrip('.')}." if words else ""
