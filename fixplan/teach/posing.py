"""Questions as a teacher types them: a line a choice, the right ones marked, and back to records.

For "one" and "several" a star begins each right line. For "order" the lines stand in the right
order; the trainee gets them shuffled, always the same way.
"""

import zlib
from typing import NamedTuple

from fixplan.errors import ExerciseError
from fixplan.teach.records import Choice, Key, Question, QuestionKind, Reply

STAR = "*"


class Posed(NamedTuple):
    """A question with its key."""

    question: Question
    key: Key

    def right(self) -> Reply:
        """The reply with full points."""
        return Reply(question=self.question.id, chosen=self.key.right, value=self.key.value)


class Typed(NamedTuple):
    """A question as typed; `lines` are its choices. A number has `value` and its two widths."""

    kind: QuestionKind
    text: str
    lines: str = ""
    value: float | None = None
    within: float = 0.0
    none_beyond: float = 0.0
    unit: str = ""
    weight: float = 2.0
    why: str = ""
    evidence: str = ""


def posed(number: int, typed: Typed) -> Posed:
    """The question's records; `number` makes its id. Raises ExerciseError for one half typed."""
    name = f"q{number}"
    if not typed.text.strip():
        raise ExerciseError("The question has no words; type what is asked.")
    choices, right = ((), ()) if typed.kind == "number" else _choices(typed)
    if typed.kind == "number" and typed.value is None:
        raise ExerciseError("A question for a number needs the right number; type it.")
    question = Question(
        id=name,
        kind=typed.kind,
        text=typed.text.strip(),
        choices=choices,
        unit=typed.unit.strip(),
        weight=typed.weight,
    )
    is_number = typed.kind == "number"
    key = Key(
        question=name,
        right=right,
        value=typed.value if is_number else None,
        within=typed.within if is_number else 0.0,
        none_beyond=max(typed.none_beyond, typed.within) if is_number else 0.0,
        why=typed.why.strip(),
        evidence=tuple(typed.evidence.replace(",", " ").split()),
    )
    return Posed(question, key)


def _choices(typed: Typed) -> tuple[tuple[Choice, ...], tuple[str, ...]]:
    lines = [line.strip() for line in typed.lines.splitlines() if line.strip()]
    if len(lines) < 2:
        raise ExerciseError("The question needs two choices or more; type one a line.")
    choices = [
        Choice(id=f"c{n}", text=line.removeprefix(STAR).strip()) for n, line in enumerate(lines, 1)
    ]
    if typed.kind == "order":
        return _shuffled(choices), tuple(one.id for one in choices)
    right = tuple(one.id for one, line in zip(choices, lines, strict=True) if line.startswith(STAR))
    if not right or (typed.kind == "one" and len(right) > 1):
        count = "one line" if typed.kind == "one" else "each right line"
        raise ExerciseError(f"Put a star in front of {count}, so that there is a right reply.")
    return tuple(choices), right


def _shuffled(choices: list[Choice]) -> tuple[Choice, ...]:
    """Always the same order for the same words, and never the right one."""
    mixed = sorted(choices, key=lambda one: zlib.crc32(one.text.encode()))
    return tuple(mixed[1:] + mixed[:1]) if mixed == choices else tuple(mixed)
