"""A small exercise: an open tibial shaft with a hidden nail, one question of each kind."""

import pytest
from msgspec.structs import replace

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Fracture, Injury, LimbSize
from fixplan.checks.run import judge_pin
from fixplan.frame.presets import candidate_of_preset
from fixplan.frame.starting import lay_frame
from fixplan.teach.files import Lesson
from fixplan.teach.records import (
    Asked,
    Choice,
    Exercise,
    FrameNeeded,
    Hidden,
    Key,
    ModelAnswer,
    PinsNeeded,
    Question,
    Reply,
    RuleWeight,
    Teacher,
    Truth,
    Try,
)

RING = ((-40.0, 170.0), (40.0, 170.0), (40.0, 240.0), (-40.0, 240.0))
CHOICES = tuple(Choice(id=name, text=name.upper()) for name in ("a", "b", "c"))


@pytest.fixture(scope="session")
def given():
    return Case(
        side="right",
        size=LimbSize(sex="male", stature_mm=1780),
        fractures=(Fracture(id="fracture-1", bone="tibia", from_mm=188, to_mm=222),),
        injuries=(Injury(id="injury-1", segment="leg", front=RING, side=RING),),
    )


@pytest.fixture(scope="session")
def lesson(given):
    nail = replace(candidate_of_preset(limb_of_case(given), "tibia-nail"), id="candidate-9")
    hidden = Hidden(candidates=(nail,))
    framed = lay_frame(replace(given, candidates=(nail,)), "per-fragment", judge_pin).case
    questions = (
        Question(id="one", kind="one", text="One?", choices=CHOICES),
        Question(id="several", kind="several", text="Several?", choices=CHOICES),
        Question(id="order", kind="order", text="Order?", choices=CHOICES),
        Question(id="number", kind="number", text="How many?", unit="h"),
    )
    keys = (
        Key(question="one", right=("b",), why="Because.", evidence=("PP-01",)),
        Key(question="several", right=("a", "c")),
        Key(question="order", right=("c", "a", "b")),
        Key(question="number", value=72.0, within=6.0, none_beyond=26.0),
    )
    replies = (
        *(Reply(question=key.question, chosen=key.right) for key in keys[:3]),
        Reply(question="number", value=72.0),
    )
    return Lesson(
        exercise=Exercise(
            id="shaft",
            title="A shaft",
            task="Hold it.",
            given=given,
            time_limit_min=20.0,
            rules=tuple(
                RuleWeight(rule=f"rule.{name}", weight=3.0)
                for name in ("pin.injury", "pin.fracture", "pin.nail-locking", "fragment.pins")
            ),
            needs=(
                PinsNeeded(bones=("tibia",), fragment=1, least=2),
                PinsNeeded(bones=("tibia",), fragment=2, least=2),
                FrameNeeded(),
            ),
            asked=(Asked(id="nail", kind="nail", text="Mark where the nail will go"),),
            questions=questions,
        ),
        teacher=Teacher(
            hidden=hidden,
            truths=(Truth(asked="nail", things=("candidate-9",)),),
            keys=keys,
            good=(ModelAnswer(text="own", case=framed, replies=replies),),
        ),
    )


@pytest.fixture
def good(lesson):
    """The teacher's own answer as a try."""
    own = lesson.teacher.good[0]
    return Try(case=own.case, replies=own.replies, minutes=12.0, handed_in="today")
