"""A saved exercise opened again: back from its file to what the teacher drew and typed."""

from msgspec.structs import replace

from fixplan.errors import ExerciseError
from fixplan.teach.draft import ASKED_WEIGHT, Draft, Placing, Thing
from fixplan.teach.files import Lesson
from fixplan.teach.posing import Posed
from fixplan.teach.records import Teacher
from fixplan.teach.sense import with_hidden


def draft_of(lesson: Lesson) -> Draft:
    """The exercise as the teacher wrote it; `lesson_of` makes the same exercise of it.

    The case has all that is given and hidden, with the frame of the teacher's own answer.

    Raises:
        ExerciseError: a trainee's copy, which lacks the teacher's part.
    """
    exercise, teacher = lesson.exercise, lesson.teacher
    if teacher is None:
        raise ExerciseError(
            f"{exercise.id} is a trainee's copy without the teacher's part; open the teacher's file"
        )
    case = with_hidden(exercise.given, teacher)
    if teacher.good:
        own = teacher.good[0].case
        case = replace(
            case,
            pins=own.pins,
            bars=own.bars,
            supports=own.supports,
            last_number=own.last_number,
        )
    keys = {key.question: key for key in teacher.keys}
    return Draft(
        case=case,
        title=exercise.title,
        task=exercise.task,
        grade=exercise.grade,
        kit_at_hand=exercise.kit_at_hand,
        live_findings=exercise.live_findings,
        hints=exercise.hints,
        time_limit_min=exercise.time_limit_min,
        pass_percent=exercise.pass_percent,
        stop_fails=exercise.stop_fails,
        placing=_placing(teacher),
        weights={one.rule: one.weight for one in exercise.rules},
        needs=exercise.needs,
        asked_weight=exercise.asked[0].weight if exercise.asked else ASKED_WEIGHT,
        posed=tuple(Posed(one, keys[one.id]) for one in exercise.questions),
        also_good=teacher.good[1:],
        wrong=teacher.wrong,
        remarks=teacher.remarks,
        edited=lesson,
    )


def _placing(teacher: Teacher) -> dict[str, Placing]:
    """What is hidden, and which of it the trainee is to draw."""
    hidden = teacher.hidden
    asked = {name for one in teacher.truths for name in one.things}
    things: tuple[Thing, ...] = (
        *hidden.fractures,
        *hidden.wounds,
        *hidden.injuries,
        *hidden.candidates,
    )
    return {thing.id: "asked" if thing.id in asked else "hidden" for thing in things}
