"""Exercises and answers as frozen records.

What a trainee gets (`Exercise`) and what only the teacher has (`Teacher`) are records of their own,
so that a trainee's copy cannot hold the answer. Units as in a case: mm, degrees; time in minutes.
"""

from typing import Annotated, Literal

from msgspec import Meta

from fixplan.case.records import Candidate, Case, Fracture, Injury, Wound
from fixplan.case.scalars import Id, LongText, Record, ShortText

Weight = Annotated[float, Meta(ge=0, le=100, description="Points, in proportion to the others")]
Percent = Annotated[float, Meta(ge=0, le=100)]
Minutes = Annotated[float, Meta(ge=0, le=100_000)]
JointName = Annotated[str, Meta(min_length=1, max_length=40, pattern=r"^[a-z][a-z -]*$")]
RuleId = Annotated[str, Meta(min_length=1, max_length=120, pattern=r"^rule\.[a-z0-9.-]+$")]
TraineeLabel = Annotated[
    str,
    Meta(
        min_length=1,
        max_length=60,
        pattern=r"^[^\x00-\x1f]+$",
        description="A label that the teacher gave out, not a name",
    ),
]
QuestionKind = Literal["one", "several", "order", "number"]
AskedKind = Literal["injury", "wound", "plate", "nail", "incision", "outline"]


class RuleWeight(Record, frozen=True, kw_only=True):
    """A rule that counts, and how many points keeping it is worth."""

    rule: RuleId
    weight: Weight = 1.0


class PinsNeeded(Record, frozen=True, kw_only=True, tag="pins"):
    """Pins that a whole answer has: so many in these bones, or in one fragment of the first.

    `fragment` counts from 1 at the proximal end (D14). `most` None: any number more.
    """

    bones: Annotated[tuple[Id, ...], Meta(min_length=1, max_length=20)]
    fragment: Annotated[int, Meta(ge=1, le=20)] | None = None
    least: Annotated[int, Meta(ge=1, le=40)]
    most: Annotated[int, Meta(ge=1, le=40)] | None = None
    weight: Weight = 1.0


class FrameNeeded(Record, frozen=True, kw_only=True, tag="frame"):
    """Bars that hold all pins together, across `joint` where one is named."""

    joint: JointName | None = None
    weight: Weight = 1.0


Need = PinsNeeded | FrameNeeded


class Asked(Record, frozen=True, kw_only=True):
    """A region that the trainee is to draw, such as the place where a nail will go."""

    id: Id
    kind: AskedKind
    text: ShortText
    weight: Weight = 1.0


class Choice(Record, frozen=True, kw_only=True):
    """One of the choices of a question."""

    id: Id
    text: ShortText


class Question(Record, frozen=True, kw_only=True):
    """A question beyond pins: choose one, choose several, put in order, or give a number."""

    id: Id
    kind: QuestionKind
    text: Annotated[str, Meta(min_length=1, max_length=1000)]
    choices: Annotated[tuple[Choice, ...], Meta(max_length=20)] = ()
    unit: ShortText = ""
    weight: Weight = 1.0


class Exercise(Record, frozen=True, kw_only=True):
    """What a trainee is given: a case to plan, the task in words, and what counts.

    `grade` 1 is the easiest. `live_findings`: the findings are shown while the trainee plans.
    `pass_percent`: the mark from which an answer passes; with `stop_fails` it does not pass while a
    rule that counts has found a stop, whatever the mark.
    """

    id: Id
    title: Annotated[str, Meta(min_length=1, max_length=200)]
    task: LongText
    grade: Annotated[int, Meta(ge=1, le=3)] = 1
    given: Case
    kit_at_hand: LongText = ""
    live_findings: bool = False
    hints: Annotated[tuple[Annotated[str, Meta(max_length=1000)], ...], Meta(max_length=12)] = ()
    time_limit_min: Annotated[float, Meta(gt=0, le=1000)] | None = None
    pass_percent: Percent = 80.0
    stop_fails: bool = True
    rules: Annotated[tuple[RuleWeight, ...], Meta(max_length=200)] = ()
    needs: Annotated[tuple[Need, ...], Meta(max_length=40)] = ()
    asked: Annotated[tuple[Asked, ...], Meta(max_length=12)] = ()
    questions: Annotated[tuple[Question, ...], Meta(max_length=40)] = ()


class Hidden(Record, frozen=True, kw_only=True):
    """What is there but not shown to the trainee; pins are judged against it all the same."""

    fractures: Annotated[tuple[Fracture, ...], Meta(max_length=20)] = ()
    wounds: Annotated[tuple[Wound, ...], Meta(max_length=40)] = ()
    injuries: Annotated[tuple[Injury, ...], Meta(max_length=20)] = ()
    candidates: Annotated[tuple[Candidate, ...], Meta(max_length=20)] = ()


class Truth(Record, frozen=True, kw_only=True):
    """Which things answer to an asked region; the one that the trainee's comes nearest to counts.

    `things` are ids among what is hidden or given.
    """

    asked: Id
    things: Annotated[tuple[Id, ...], Meta(min_length=1, max_length=12)]


class Key(Record, frozen=True, kw_only=True):
    """The right reply to a question, and why.

    `right`: the choice, the choices, or the choices in order. For a number: full points within
    `within` of `value`, none beyond `none_beyond`.
    """

    question: Id
    right: Annotated[tuple[Id, ...], Meta(max_length=20)] = ()
    value: Annotated[float, Meta(ge=-1e9, le=1e9)] | None = None
    within: Annotated[float, Meta(ge=0, le=1e9)] = 0.0
    none_beyond: Annotated[float, Meta(ge=0, le=1e9)] = 0.0
    why: Annotated[str, Meta(max_length=1000)] = ""
    evidence: Annotated[tuple[ShortText, ...], Meta(max_length=12)] = ()


class Reply(Record, frozen=True, kw_only=True):
    """A trainee's reply to a question: choices, in order where that was asked, or a number."""

    question: Id
    chosen: Annotated[tuple[Id, ...], Meta(max_length=20)] = ()
    value: Annotated[float, Meta(ge=-1e9, le=1e9)] | None = None


class ModelAnswer(Record, frozen=True, kw_only=True):
    """A good answer, or a common wrong one with the mark that it gets."""

    text: ShortText
    case: Case
    replies: Annotated[tuple[Reply, ...], Meta(max_length=40)] = ()
    mark_percent: Percent | None = None


class Teacher(Record, frozen=True, kw_only=True):
    """What only the teacher has. The first of `good` is the teacher's own answer."""

    hidden: Hidden = Hidden()
    truths: Annotated[tuple[Truth, ...], Meta(max_length=12)] = ()
    keys: Annotated[tuple[Key, ...], Meta(max_length=40)] = ()
    good: Annotated[tuple[ModelAnswer, ...], Meta(max_length=12)] = ()
    wrong: Annotated[tuple[ModelAnswer, ...], Meta(max_length=12)] = ()
    remarks: LongText = ""


class Try(Record, frozen=True, kw_only=True):
    """One hand-in: what was planned, what was replied, how long it took.

    `away_min`: how long the sitting was interrupted; not in `minutes`. `hints`: how many were read.
    """

    case: Case
    replies: Annotated[tuple[Reply, ...], Meta(max_length=40)] = ()
    minutes: Minutes | None = None
    away_min: Minutes = 0.0
    hints: Annotated[int, Meta(ge=0, le=12)] = 0
    handed_in: Annotated[ShortText, Meta(description="Date and time, as the trainee's clock said")]


class Answer(Record, frozen=True, kw_only=True):
    """A trainee's answer to an exercise; a second try stands beside the first.

    `print`: six characters that name the state of the exercise which was sat.
    """

    exercise: Id
    print: ShortText = ""
    label: TraineeLabel
    tries: Annotated[tuple[Try, ...], Meta(min_length=1, max_length=20)]


class SavedSitting(Record, frozen=True, kw_only=True):
    """A sitting that was interrupted: the trainee's own file, without the teacher's part.

    `origin`: the id of a shipped exercise, else the name of the exercise's file, where the key is
    looked for again. `case` and `replies` are what is planned so far; `minutes` and `away_min`
    belong to the try that is being planned. `saved_at`: an instant in UTC.
    """

    exercise: Exercise
    origin: ShortText = ""
    label: TraineeLabel
    tries: Annotated[tuple[Try, ...], Meta(max_length=20)] = ()
    hints: Annotated[int, Meta(ge=0, le=12)] = 0
    case: Case
    replies: Annotated[tuple[Reply, ...], Meta(max_length=40)] = ()
    minutes: Minutes = 0.0
    away_min: Minutes = 0.0
    saved_at: Annotated[
        str,
        Meta(pattern=r"^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}Z$", description="Date and time in UTC"),
    ]
