"""Making an exercise from a case: what is given, what is hidden or asked, what counts, the answers.

Nothing of the case that could name a patient goes over: label, notes, films and answers about the
patient stay behind.
"""

from collections import Counter
from collections.abc import Iterator

from msgspec.structs import replace

from fixplan.case.fragments import fragment_of, fragments
from fixplan.case.limbs import spans
from fixplan.case.records import (
    Candidate,
    Case,
    Fracture,
    Injury,
    Wound,
)
from fixplan.errors import ExerciseError
from fixplan.limb.kinds import limb_kind
from fixplan.teach.asking import asked_regions
from fixplan.teach.draft import Draft, placed
from fixplan.teach.files import Lesson
from fixplan.teach.marking import mark_try
from fixplan.teach.records import (
    Exercise,
    FrameNeeded,
    Hidden,
    ModelAnswer,
    Need,
    PinsNeeded,
    RuleWeight,
    Teacher,
    Truth,
    Try,
)
from fixplan.teach.scheme import scheme
from fixplan.teach.sense import exercise_problems

OWN = "The teacher's own answer"


def usual_weights() -> dict[str, float]:
    """What counts at first, by rule id (marking.toml). Raises LibraryError."""
    return dict(scheme().usual)


def usual_needs(case: Case) -> tuple[Need, ...]:
    """As many pins in each fragment as the teacher has there, and bars that hold them all."""
    needs: list[Need] = list(_pins_needed(case))
    if case.bars:
        joints = [one.id for one in limb_kind(case.limb).joints if spans(case, one.id)]
        needs.append(FrameNeeded(joint=joints[0] if joints else None, weight=2.0))
    return tuple(needs)


def _pins_needed(case: Case) -> Iterator[PinsNeeded]:
    counted: Counter[tuple[str, int | None]] = Counter()
    for pin in case.pins:
        piece = fragment_of(case, pin) if len(fragments(case, pin.bone)) > 1 else None
        counted[pin.bone, None if piece is None else piece.index] += 1
    for (bone, index), count in sorted(
        counted.items(), key=lambda one: (one[0][0], one[0][1] or 0)
    ):
        yield PinsNeeded(bones=(bone,), fragment=index, least=count, weight=3.0)


def lesson_of(draft: Draft) -> Lesson:
    """The exercise with the teacher's part.

    Raises:
        ExerciseError: what is missing or contradicts itself, all of it in one sentence.
    """
    asked = asked_regions(draft)
    exercise = Exercise(
        id=exercise_id(draft.title) if draft.edited is None else draft.edited.exercise.id,
        title=draft.title,
        task=draft.task,
        grade=draft.grade,
        given=given_of(draft),
        kit_at_hand=draft.kit_at_hand,
        live_findings=draft.live_findings,
        hints=draft.hints,
        time_limit_min=draft.time_limit_min,
        pass_percent=draft.pass_percent,
        stop_fails=draft.stop_fails,
        rules=tuple(RuleWeight(rule=n, weight=w) for n, w in draft.weights.items() if w > 0),
        needs=draft.needs,
        asked=tuple(region for region, _ in asked),
        questions=tuple(one.question for one in draft.posed),
    )
    teacher = Teacher(
        hidden=_hidden(draft),
        truths=tuple(Truth(asked=region.id, things=things) for region, things in asked),
        keys=tuple(one.key for one in draft.posed),
        good=(_own_answer(draft), *draft.also_good),
        wrong=draft.wrong,
        remarks=draft.remarks,
    )
    problems = (*_missing(draft), *exercise_problems(exercise, teacher))
    if problems:
        raise ExerciseError(f"The exercise cannot be made yet: {'; '.join(problems[:4])}.")
    return with_marks(Lesson(exercise=exercise, teacher=teacher))


def with_marks(lesson: Lesson) -> Lesson:
    """The lesson with the marks that its wrong answers get now. Raises ExerciseError."""
    teacher = lesson.teacher
    if teacher is None or not teacher.wrong:
        return lesson
    wrong = tuple(
        replace(one, mark_percent=mark_try(lesson, try_of(one)).percent) for one in teacher.wrong
    )
    return replace(lesson, teacher=replace(teacher, wrong=wrong))


def try_of(model: ModelAnswer) -> Try:
    """A model answer as if it had been handed in."""
    return Try(case=model.case, replies=model.replies, handed_in="")


def given_of(draft: Draft) -> Case:
    """What the trainee begins with: the limb and what is shown, without the teacher's frame."""
    shown = {thing.id for thing in placed(draft, "shown")}
    return replace(
        _limb_alone(draft),
        fractures=tuple(one for one in draft.case.fractures if one.id in shown),
        wounds=tuple(one for one in draft.case.wounds if one.id in shown),
        injuries=tuple(one for one in draft.case.injuries if one.id in shown),
        candidates=tuple(one for one in draft.case.candidates if one.id in shown),
    )


def exercise_id(title: str) -> str:
    """An id from a title: small letters, digits and hyphens."""
    words = "".join(c if c.isascii() and c.isalnum() else " " for c in title.lower()).split()
    return "-".join(words)[:60].strip("-") or "exercise"


def _limb_alone(draft: Draft) -> Case:
    """The limb alone; of an exercise that is changed, also what else it gave."""
    case, label, base = draft.case, draft.title[:200], Case(side=draft.case.side)
    if draft.edited is not None:
        base, was = draft.edited.exercise.given, draft.edited.exercise.title
        label = base.label if was == draft.title else label
    return replace(
        base,
        label=label,
        limb=case.limb,
        side=case.side,
        size=case.size,
        open_growth_plates=case.open_growth_plates,
        closed_growth_plates=case.closed_growth_plates,
        knee_flexion_deg=case.knee_flexion_deg,
        elbow_flexion_deg=case.elbow_flexion_deg,
        wrist_extension_deg=case.wrist_extension_deg,
        ring=case.ring,
        length=case.length,
    )


def _own_answer(draft: Draft) -> ModelAnswer:
    """The teacher's frame with all that is drawn, asked regions too, and the right replies."""
    return answer_drawn(draft, draft.case, OWN)


def answer_drawn(draft: Draft, case: Case, text: str) -> ModelAnswer:
    """A drawing as an answer, without anything of it that could name a patient; replies right."""
    own = replace(
        _limb_alone(draft),
        fractures=case.fractures,
        wounds=case.wounds,
        injuries=case.injuries,
        candidates=case.candidates,
        pins=case.pins,
        bars=case.bars,
        supports=case.supports,
        last_number=case.last_number,
    )
    return ModelAnswer(text=text, case=own, replies=tuple(one.right() for one in draft.posed))


def _hidden(draft: Draft) -> Hidden:
    things = [*placed(draft, "hidden"), *placed(draft, "asked")]
    return Hidden(
        fractures=tuple(one for one in things if isinstance(one, Fracture)),
        wounds=tuple(one for one in things if isinstance(one, Wound)),
        injuries=tuple(one for one in things if isinstance(one, Injury)),
        candidates=tuple(one for one in things if isinstance(one, Candidate)),
    )


def _missing(draft: Draft) -> Iterator[str]:
    if not draft.title.strip():
        yield "it has no title"
    if not draft.task.strip():
        yield "the task is empty"
    if not draft.case.pins and not placed(draft, "asked") and not draft.posed:
        yield "it asks for nothing: draw your own frame, ask for a region or pose a question"
