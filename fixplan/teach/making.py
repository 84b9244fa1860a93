"""Making an exercise from a case: what is given, what is hidden or asked, what counts, the answers.

Nothing of the case that could name a patient goes over: label, notes, films and answers about the
patient stay behind.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Literal, NamedTuple

from msgspec.structs import replace

from fixplan.case.fragments import fragment_of, fragments
from fixplan.case.limbs import spans
from fixplan.case.records import (
    Candidate,
    Case,
    Fracture,
    FreeOutline,
    Incision,
    Injury,
    Nail,
    Plate,
    Wound,
)
from fixplan.errors import ExerciseError
from fixplan.limb.kinds import limb_kind
from fixplan.teach.files import Lesson
from fixplan.teach.posing import Posed
from fixplan.teach.records import (
    Asked,
    AskedKind,
    Exercise,
    FrameNeeded,
    Hidden,
    ModelAnswer,
    Need,
    PinsNeeded,
    RuleWeight,
    Teacher,
    Truth,
)
from fixplan.teach.scheme import scheme
from fixplan.teach.sense import exercise_problems

Placing = Literal["shown", "hidden", "asked"]
Thing = Fracture | Wound | Injury | Candidate
OWN = "The teacher's own answer"
ASK_WORDS: dict[AskedKind, str] = {
    "injury": "Draw the zone of injury",
    "wound": "Draw the wound",
    "plate": "Mark where the plate will go",
    "nail": "Mark where the nail will go",
    "incision": "Draw the incision",
    "outline": "Draw what must be kept free",
}
_PART_KINDS: dict[type[object], AskedKind] = {
    Plate: "plate",
    Nail: "nail",
    Incision: "incision",
    FreeOutline: "outline",
}


class Draft(NamedTuple):
    """An exercise as the teacher writes it. `case` is the open case with the teacher's own frame.

    `placing` says of each fracture, wound, injury and later fixation whether the trainee sees it;
    what is missing there is shown. `weights` are those of rules, by id.
    """

    case: Case
    title: str
    task: str
    grade: int = 1
    kit_at_hand: str = ""
    live_findings: bool = False
    hints: tuple[str, ...] = ()
    time_limit_min: float | None = None
    pass_percent: float = 80.0
    stop_fails: bool = True
    placing: Mapping[str, Placing] = {}
    weights: Mapping[str, float] = {}
    needs: tuple[Need, ...] = ()
    asked_weight: float = 5.0
    posed: tuple[Posed, ...] = ()
    also_good: tuple[ModelAnswer, ...] = ()
    remarks: str = ""


def regions_of(case: Case) -> tuple[Thing, ...]:
    """What can be shown or hidden: fractures, wounds, injuries, later fixation."""
    return (*case.fractures, *case.wounds, *case.injuries, *case.candidates)


def asked_kind(thing: Thing) -> AskedKind | None:
    """As what a trainee can be asked to draw a thing; None for one that cannot be drawn so."""
    if isinstance(thing, Injury):
        return "injury"
    if isinstance(thing, Wound):
        return "wound"
    if isinstance(thing, Candidate):
        kinds = [_PART_KINDS[type(part)] for part in thing.parts if type(part) in _PART_KINDS]
        return kinds[0] if kinds else None
    return None


def region_words(thing: Thing) -> str:
    """A thing in words, for a list."""
    note = f" ({thing.note})" if not isinstance(thing, Candidate) and thing.note else ""
    if isinstance(thing, Fracture):
        return f"Fracture of the {thing.bone}, {thing.from_mm:.0f} to {thing.to_mm:.0f} mm{note}"
    if isinstance(thing, Wound):
        return f"{thing.kind.capitalize()}, {thing.segment}{note}"
    if isinstance(thing, Injury):
        return f"Zone of injury, {thing.grade}, {thing.segment}{note}"
    return f"Later fixation: {thing.label or thing.kind}"


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
    exercise = Exercise(
        id=exercise_id(draft.title),
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
        asked=tuple(_asked(draft, thing) for thing in _placed(draft, "asked")),
        questions=tuple(one.question for one in draft.posed),
    )
    teacher = Teacher(
        hidden=_hidden(draft),
        truths=tuple(Truth(asked=t.id, things=(t.id,)) for t in _placed(draft, "asked")),
        keys=tuple(one.key for one in draft.posed),
        good=(_own_answer(draft), *draft.also_good),
        remarks=draft.remarks,
    )
    problems = (*_missing(draft), *exercise_problems(exercise, teacher))
    if problems:
        raise ExerciseError(f"The exercise cannot be made yet: {'; '.join(problems[:4])}.")
    return Lesson(exercise=exercise, teacher=teacher)


def given_of(draft: Draft) -> Case:
    """What the trainee begins with: the limb and what is shown, without any frame."""
    shown = {thing.id for thing in _placed(draft, "shown")}
    return replace(
        _anonymous(draft),
        fractures=tuple(one for one in draft.case.fractures if one.id in shown),
        wounds=tuple(one for one in draft.case.wounds if one.id in shown),
        injuries=tuple(one for one in draft.case.injuries if one.id in shown),
        candidates=tuple(one for one in draft.case.candidates if one.id in shown),
    )


def exercise_id(title: str) -> str:
    """An id from a title: small letters, digits and hyphens."""
    words = "".join(c if c.isascii() and c.isalnum() else " " for c in title.lower()).split()
    return "-".join(words)[:60].strip("-") or "exercise"


def _anonymous(draft: Draft) -> Case:
    """The limb alone."""
    case = draft.case
    return Case(
        label=draft.title[:200],
        limb=case.limb,
        side=case.side,
        size=case.size,
        open_growth_plates=case.open_growth_plates,
        knee_flexion_deg=case.knee_flexion_deg,
        elbow_flexion_deg=case.elbow_flexion_deg,
        wrist_extension_deg=case.wrist_extension_deg,
        length=case.length,
    )


def _own_answer(draft: Draft) -> ModelAnswer:
    """The teacher's frame with all that is drawn, asked regions too, and the right replies."""
    case = draft.case
    own = replace(
        _anonymous(draft),
        fractures=case.fractures,
        wounds=case.wounds,
        injuries=case.injuries,
        candidates=case.candidates,
        pins=case.pins,
        bars=case.bars,
        supports=case.supports,
        last_number=case.last_number,
    )
    return ModelAnswer(text=OWN, case=own, replies=tuple(one.right() for one in draft.posed))


def _placed(draft: Draft, placing: Placing) -> list[Thing]:
    return [
        thing for thing in regions_of(draft.case) if draft.placing.get(thing.id, "shown") == placing
    ]


def _asked(draft: Draft, thing: Thing) -> Asked:
    kind = asked_kind(thing)
    if kind is None:
        raise ExerciseError(f"{thing.id} cannot be asked for; show it or hide it.")
    return Asked(id=thing.id, kind=kind, text=ASK_WORDS[kind], weight=draft.asked_weight)


def _hidden(draft: Draft) -> Hidden:
    things = [*_placed(draft, "hidden"), *_placed(draft, "asked")]
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
    if not draft.case.pins and not _placed(draft, "asked") and not draft.posed:
        yield "it asks for nothing: draw your own frame, ask for a region or pose a question"
