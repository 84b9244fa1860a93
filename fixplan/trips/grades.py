"""The grade of the open fracture: worst of the fractures drawn, provisional until debridement."""

from typing import Annotated

import msgspec
from msgspec import Meta

from fixplan.case.records import Case
from fixplan.case.scalars import OpenGrade
from fixplan.limb.library import load_toml

OPEN_GRADES: tuple[OpenGrade, ...] = ("I", "II", "IIIA", "IIIB", "IIIC")


class GradeWords(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One type in our own words, with the evidence behind it."""

    id: OpenGrade
    says: str
    evidence: tuple[str, ...]


class SchemePart(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One part of the second scheme: its field, its name and what 1, 2 and 3 mean."""

    id: str
    name: str
    steps: Annotated[tuple[str, ...], Meta(min_length=3, max_length=3)]


class Grades(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """All of grades.toml."""

    schema: int
    grade: tuple[GradeWords, ...]
    second_name: str
    second_evidence: tuple[str, ...]
    part: tuple[SchemePart, ...]


def _grades() -> Grades:
    return load_toml("grades.toml", Grades)


def grade_words(grade: OpenGrade) -> GradeWords | None:
    """What a type means; None for a closed fracture or one that is not graded."""
    return next((one for one in _grades().grade if one.id == grade), None)


def scheme_parts() -> tuple[SchemePart, ...]:
    """The parts of the second scheme."""
    return _grades().part


def worst_grade(case: Case) -> OpenGrade:
    """The worst type of the fractures drawn: an open one, else not graded, else closed."""
    found = [fracture.open_grade for fracture in case.fractures]
    for grade in reversed(OPEN_GRADES):
        if grade in found:
            return grade
    return "closed" if found and set(found) == {"closed"} else "not graded"


def has_open_fracture(case: Case) -> bool:
    """Whether there is an open fracture: one graded so, or a wound over one not yet graded."""
    grade = worst_grade(case)
    if grade in OPEN_GRADES:
        return True
    return grade == "not graded" and any(wound.kind == "opening" for wound in case.wounds)


def is_provisional(case: Case) -> bool:
    """Whether the grade still awaits debridement (OF-07)."""
    return case.course.grade_settled_at is None


def grade_line(case: Case) -> str:
    """The grade in a sentence, with what the type means and whether it is provisional."""
    grade = worst_grade(case)
    if not has_open_fracture(case):
        return "No open fracture in the plan."
    words = grade_words(grade)
    if words is None:
        return "Open fracture, not graded yet."
    state = "provisional until after debridement" if is_provisional(case) else "settled"
    return f"Gustilo-Anderson type {grade}, {state}: {words.says} ({', '.join(words.evidence)})"


def scheme_line(case: Case) -> str:
    """The second scheme in a sentence; empty when nothing of it was judged."""
    judged = case.course.second_scheme
    values = [(part, getattr(judged, part.id)) for part in scheme_parts()]
    if all(value is None for _, value in values):
        return ""
    told = [f"{part.name} {'not judged' if value is None else value}" for part, value in values]
    return f"{_grades().second_name}: {', '.join(told)} ({', '.join(_grades().second_evidence)})"
