"""What a well-formed exercise or answer can still get wrong, one clause each."""

from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import datetime

from fixplan.case.limbs import limb_of_case
from fixplan.case.meaning import case_problems, drawn_things
from fixplan.case.records import Case
from fixplan.case.unknown import unknown_ids
from fixplan.checks.rules import evidence, rule_by_id
from fixplan.errors import FixplanError
from fixplan.limb.kinds import limb_kind
from fixplan.teach.records import (
    Answer,
    Exercise,
    Key,
    ModelAnswer,
    PinsNeeded,
    Question,
    Reply,
    SavedSitting,
    Teacher,
)


def exercise_problems(exercise: Exercise, teacher: Teacher | None) -> tuple[str, ...]:
    """Every error of meaning in an exercise; empty when there is none."""
    return (
        *_case_clauses("given", exercise.given),
        *_weight_problems(exercise),
        *_rule_problems(exercise),
        *_need_problems(exercise),
        *_repeated("question", (one.id for one in exercise.questions)),
        *_repeated("asked region", (one.id for one in exercise.asked)),
        *(clause for one in exercise.questions for clause in _question_problems(one)),
        *(() if teacher is None else _teacher_problems(exercise, teacher)),
    )


def answer_problems(answer: Answer) -> tuple[str, ...]:
    """Every error of meaning in an answer by itself."""
    return tuple(
        clause
        for number, one in enumerate(answer.tries, 1)
        for clause in (
            *_case_clauses(f"try {number}", one.case),
            *_repeated(f"try {number}, reply to", (reply.question for reply in one.replies)),
        )
    )


def sitting_problems(saved: SavedSitting) -> tuple[str, ...]:
    """Every error of meaning in an interrupted sitting."""
    exercise = saved.exercise
    return (
        *exercise_problems(exercise, None),
        *(_other_limb(exercise, "the plan", saved.case) or _case_clauses("the plan", saved.case)),
        *reply_problems(exercise, "the sitting", saved.replies),
        *(
            clause
            for number, one in enumerate(saved.tries, 1)
            for clause in (
                *(
                    _other_limb(exercise, f"try {number}", one.case)
                    or _case_clauses(f"try {number}", one.case)
                ),
                *reply_problems(exercise, f"try {number}", one.replies),
            )
        ),
        *_instant_problems(saved.saved_at),
    )


def _instant_problems(saved_at: str) -> Iterator[str]:
    try:
        datetime.fromisoformat(saved_at)
    except ValueError:
        yield f"saved_at {saved_at} is no date and time"


def _case_clauses(where: str, case: Case) -> Iterator[str]:
    yield from (f"{where}: {clause}" for clause in case_problems(case))
    try:
        yield from (f"{where}: {clause}" for clause in unknown_ids(case, limb_of_case(case)))
    except FixplanError as problem:
        yield f"{where}: {problem}"


def _repeated(kind: str, names: Iterable[str]) -> Iterator[str]:
    yield from (
        f"{kind} {name} stands {count} times" for name, count in Counter(names).items() if count > 1
    )


def _weight_problems(exercise: Exercise) -> Iterator[str]:
    weighed = (*exercise.rules, *exercise.needs, *exercise.asked, *exercise.questions)
    if sum(one.weight for one in weighed) <= 0:
        yield "all weights together are 0, so no mark can be given; weigh at least one thing"


def _rule_problems(exercise: Exercise) -> Iterator[str]:
    yield from _repeated("rule", (one.rule for one in exercise.rules))
    for one in exercise.rules:
        if rule_by_id(one.rule) is None:
            yield f"{one.rule} is not in the rules of this program"


def _need_problems(exercise: Exercise) -> Iterator[str]:
    limb = limb_of_case(exercise.given)
    for need in exercise.needs:
        if isinstance(need, PinsNeeded):
            missing = [bone for bone in need.bones if bone not in limb.bones]
            yield from (f"needs pins in the bone {bone}, which the limb lacks" for bone in missing)
            if need.most is not None and need.most < need.least:
                yield f"needs at least {need.least} and at most {need.most} pins"
        elif need.joint is not None and limb_kind(exercise.given.limb).joint(need.joint) is None:
            yield f"needs a frame across the {need.joint}, which the limb lacks"


def _question_problems(question: Question) -> Iterator[str]:
    name = f"question {question.id}"
    yield from _repeated(f"{name}, choice", (one.id for one in question.choices))
    if question.kind == "number":
        if question.choices:
            yield f"{name} asks for a number and has choices"
    elif len(question.choices) < 2:
        yield f"{name} has fewer than two choices"


def _teacher_problems(exercise: Exercise, teacher: Teacher) -> Iterator[str]:
    yield from _key_problems(exercise, teacher)
    yield from _truth_problems(exercise, teacher)
    yield from _case_clauses("hidden", with_hidden(exercise.given, teacher))
    for kind, listed in (("good", teacher.good), ("wrong", teacher.wrong)):
        for number, one in enumerate(listed, 1):
            yield from _model_problems(exercise, f"{kind} answer {number}", one)


def with_hidden(case: Case, teacher: Teacher | None) -> Case:
    """The case with what is hidden from the trainee drawn in."""
    if teacher is None:
        return case
    from msgspec.structs import replace

    hidden = teacher.hidden
    return replace(
        case,
        fractures=(*case.fractures, *hidden.fractures),
        wounds=(*case.wounds, *hidden.wounds),
        injuries=(*case.injuries, *hidden.injuries),
        candidates=(*case.candidates, *hidden.candidates),
    )


def _model_problems(exercise: Exercise, where: str, model: ModelAnswer) -> Iterator[str]:
    yield from _other_limb(exercise, where, model.case) or _case_clauses(where, model.case)
    yield from reply_problems(exercise, where, model.replies)


def _other_limb(exercise: Exercise, where: str, case: Case) -> tuple[str, ...]:
    given = exercise.given
    if case.limb != given.limb:
        return (f"{where} is for the {case.limb}, the exercise for the {given.limb}",)
    if case.side != given.side:
        return (f"{where} is for the {case.side} side, the exercise for the {given.side}",)
    return ()


def reply_problems(exercise: Exercise, where: str, replies: tuple[Reply, ...]) -> Iterator[str]:
    """Replies to questions that were not asked, with choices that were not offered."""
    known = {one.id: {choice.id for choice in one.choices} for one in exercise.questions}
    yield from _repeated(f"{where}, reply to", (one.question for one in replies))
    for one in replies:
        if one.question not in known:
            yield f"{where} replies to {one.question}, which is not asked"
            continue
        strange = [choice for choice in one.chosen if choice not in known[one.question]]
        yield from (f"{where}, {one.question}: there is no choice {name}" for name in strange)
        yield from _repeated(f"{where}, {one.question}: choice", one.chosen)


def _key_problems(exercise: Exercise, teacher: Teacher) -> Iterator[str]:
    yield from _repeated("key to", (one.question for one in teacher.keys))
    asked = {one.id: one for one in exercise.questions}
    keys = {one.question: one for one in teacher.keys}
    yield from (f"question {name} has no key" for name in asked if name not in keys)
    for name, key in keys.items():
        if name not in asked:
            yield f"a key is for {name}, which is not asked"
        else:
            yield from _one_key(asked[name], key)
        yield from (f"key to {name}: no evidence {e}" for e in key.evidence if e not in evidence())


def _one_key(question: Question, key: Key) -> Iterator[str]:
    where, known = f"key to {question.id}", {one.id for one in question.choices}
    yield from (f"{where}: there is no choice {one}" for one in key.right if one not in known)
    yield from _repeated(f"{where}: choice", key.right)
    if question.kind == "number":
        if key.value is None:
            yield f"{where}: has no number"
        if key.none_beyond < key.within:
            yield f"{where}: none_beyond is nearer than within"
    elif question.kind == "one" and len(key.right) != 1:
        yield f"{where}: one choice must be right"
    elif question.kind == "order" and len(key.right) != len(known):
        yield f"{where}: must put all choices in order"
    elif not key.right:
        yield f"{where}: no choice is right"


def _truth_problems(exercise: Exercise, teacher: Teacher) -> Iterator[str]:
    yield from _repeated("truth for", (one.asked for one in teacher.truths))
    things = {thing.id for thing in drawn_things(with_hidden(exercise.given, teacher))}
    truths = {one.asked: one for one in teacher.truths}
    for asked in exercise.asked:
        if asked.id not in truths:
            yield f"nothing says where {asked.id} is"
        else:
            missing = [name for name in truths[asked.id].things if name not in things]
            yield from (f"{asked.id} is told by {name}, which is not drawn" for name in missing)
