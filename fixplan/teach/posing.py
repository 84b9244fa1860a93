"""Questions as a teacher types them: a line a choice, the right ones marked, and back to records.

For "one" and "several" a star begins each right line. For "order" the lines stand in the right
order; the trainee gets them shuffled, always the same way.
"""

import zlib
from collections.abc import Iterator
from itertools import count
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


def posed(number: int, typed: Typed, was: Posed | None = None) -> Posed:
    """The question's records; `number` makes its id, else it is that of the one it `was`.

    Raises ExerciseError for one half typed.
    """
    name = f"q{number}" if was is None else was.question.id
    if not typed.text.strip():
        raise ExerciseError("The question has no words; type what is asked.")
    choices, right = ((), ()) if typed.kind == "number" else _choices(typed, was)
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


def typed_of(one: Posed) -> Typed:
    """A question as the teacher typed it."""
    question, key = one
    words = {choice.id: choice.text for choice in question.choices}
    if question.kind == "order":
        lines = [words[name] for name in key.right]
    else:
        stars = dict.fromkeys(key.right, f"{STAR} ")
        lines = [f"{stars.get(name, '')}{text}" for name, text in words.items()]
    return Typed(
        kind=question.kind,
        text=question.text,
        lines="\n".join(lines),
        value=key.value,
        within=key.within,
        none_beyond=key.none_beyond,
        unit=question.unit,
        weight=question.weight,
        why=key.why,
        evidence=" ".join(key.evidence),
    )


def _choices(typed: Typed, was: Posed | None) -> tuple[tuple[Choice, ...], tuple[str, ...]]:
    lines = [line.strip() for line in typed.lines.splitlines() if line.strip()]
    if len(lines) < 2:
        raise ExerciseError("The question needs two choices or more; type one a line.")
    texts = [line.removeprefix(STAR).strip() for line in lines]
    choices = [
        Choice(id=name, text=text) for name, text in zip(_ids(texts, was), texts, strict=True)
    ]
    if typed.kind == "order":
        return _shuffled(choices), tuple(one.id for one in choices)
    right = tuple(one.id for one, line in zip(choices, lines, strict=True) if line.startswith(STAR))
    if not right or (typed.kind == "one" and len(right) > 1):
        where = "one line" if typed.kind == "one" else "each right line"
        raise ExerciseError(f"Put a star in front of {where}, so that there is a right reply.")
    return tuple(choices), right


def _ids(texts: list[str], was: Posed | None) -> Iterator[str]:
    """An id for each choice: its own from before, where its words are the same."""
    before = {} if was is None else {one.text: one.id for one in was.question.choices}
    taken, fresh = set(before.values()), count(1)
    for text in texts:
        yield before.pop(text, "") or next(f"c{n}" for n in fresh if f"c{n}" not in taken)


def _shuffled(choices: list[Choice]) -> tuple[Choice, ...]:
    """Always the same order for the same words, and never the right one."""
    mixed = sorted(choices, key=lambda one: zlib.crc32(one.text.encode()))
    return tuple(mixed[1:] + mixed[:1]) if mixed == choices else tuple(mixed)
