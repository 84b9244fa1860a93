"""Marking replies to questions: choices, orders and numbers against their keys."""

from itertools import combinations

from fixplan.checks.rules import sources_behind
from fixplan.checks.texts import listed
from fixplan.teach.marks import Part
from fixplan.teach.records import Key, Question, Reply
from fixplan.teach.scheme import FULL, NONE, share_between


def question_part(question: Question, key: Key, reply: Reply | None) -> Part:
    """The part of a mark for one question; no reply has no credit."""
    credit, reason = (NONE, "No reply.") if reply is None else _judged(question, key, reply)
    why = f" {key.why}" if key.why else ""
    return Part(
        id=f"question.{question.id}",
        kind="question",
        words=question.text,
        weight=question.weight,
        credit=credit,
        reason=f"{reason}{why}",
        measured=None if reply is None else reply.value,
        limit=key.value,
        unit=question.unit,
        sources=(*key.evidence, *sources_behind(key.evidence)),
    )


def _judged(question: Question, key: Key, reply: Reply) -> tuple[float, str]:
    if question.kind == "number":
        return _number(question, key, reply.value)
    right = _choice_words(question, key.right)
    if question.kind == "order":
        return _order_credit(key, reply), f"Right: {', then '.join(right)}."
    credit = _choices_credit(key, reply)
    if credit == FULL:
        return credit, "Right."
    return credit, f"Right: {listed(right)}."


def _choice_words(question: Question, chosen: tuple[str, ...]) -> list[str]:
    words = {choice.id: choice.text for choice in question.choices}
    return [words[one] for one in chosen]


def _choices_credit(key: Key, reply: Reply) -> float:
    """Right choices less wrong ones, over those that are right; never below 0."""
    right, chosen = set(key.right), set(reply.chosen)
    return max(len(right & chosen) - len(chosen - right), 0) / len(right)


def _order_credit(key: Key, reply: Reply) -> float:
    """Share of the pairs that stand in the right order; a choice left out loses all its pairs."""
    place = {name: number for number, name in enumerate(reply.chosen)}
    pairs = list(combinations(key.right, 2))
    if not pairs:
        return FULL if reply.chosen == key.right else NONE
    kept = sum(a in place and b in place and place[a] < place[b] for a, b in pairs)
    return kept / len(pairs)


def _number(question: Question, key: Key, value: float | None) -> tuple[float, str]:
    if value is None or key.value is None:
        return NONE, "No number given."
    credit = share_between(-abs(value - key.value), -key.none_beyond, -key.within)
    unit = f" {question.unit}" if question.unit else ""
    around = f", within {key.within:g}" if key.within else ""
    return credit, f"{value:g}{unit}; right is {key.value:g}{unit}{around}."
