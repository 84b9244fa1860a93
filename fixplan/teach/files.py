"""The files of exercises, answers and interrupted sittings: strict JSON, versions, schema.

An exercise's file has the trainee's part (`exercise`) and the teacher's (`teacher`); a trainee's
copy is the same file without the second. Reading refuses what a case file refuses too.
"""

import base64
import hashlib
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Annotated, Literal, TypeVar

import msgspec
from msgspec import Meta

from fixplan import __version__
from fixplan.case.file import PROBLEMS_TOLD, decode, parsed, read_bytes
from fixplan.case.layout import laid_out, packed, plain_numbers
from fixplan.case.migrations import FORMAT_NAME as CASE_FORMAT
from fixplan.case.migrations import Document, Step, migrated
from fixplan.case.safe_write import write_safely
from fixplan.case.scalars import Record, ShortText
from fixplan.errors import CaseFileError, ExerciseError
from fixplan.teach.records import Answer, Exercise, SavedSitting, Teacher, Try
from fixplan.teach.sense import answer_problems, exercise_problems, sitting_problems

EXERCISE_FORMAT, ANSWER_FORMAT = "fixplan exercise", "fixplan answer"
SITTING_FORMAT = "fixplan sitting"
EXERCISE_VERSION, ANSWER_VERSION, SITTING_VERSION = 1, 1, 1
EXERCISE_STEPS: Mapping[int, Step] = {}
"""From version n of an exercise's file to n + 1, by n; see `fixplan.case.migrations`."""
ANSWER_STEPS: Mapping[int, Step] = {}
"""The same for an answer's file."""
SITTING_STEPS: Mapping[int, Step] = {}
"""The same for the file of an interrupted sitting."""


class ExerciseDocument(Record, frozen=True, kw_only=True):
    """An exercise's file; a trainee's copy has no teacher's part."""

    format: Literal["fixplan exercise"]
    version: Annotated[int, Meta(ge=EXERCISE_VERSION, le=EXERCISE_VERSION)]
    program: ShortText = ""
    rules: ShortText = ""
    exercise: Exercise
    teacher: Teacher | None = None


class AnswerDocument(Record, frozen=True, kw_only=True):
    """An answer's file."""

    format: Literal["fixplan answer"]
    version: Annotated[int, Meta(ge=ANSWER_VERSION, le=ANSWER_VERSION)]
    program: ShortText = ""
    answer: Answer


class SittingDocument(Record, frozen=True, kw_only=True):
    """The file of an interrupted sitting."""

    format: Literal["fixplan sitting"]
    version: Annotated[int, Meta(ge=SITTING_VERSION, le=SITTING_VERSION)]
    program: ShortText = ""
    sitting: SavedSitting


class Lesson(Record, frozen=True, kw_only=True):
    """An exercise as read: `teacher` None in a trainee's copy."""

    exercise: Exercise
    teacher: Teacher | None = None


Kind = TypeVar("Kind", ExerciseDocument, AnswerDocument, SittingDocument)


def read_lesson(path: Path) -> Lesson:
    """An exercise's file. Raises ExerciseError: the first error of structure, or all of meaning."""
    return decode_lesson(_content(path), str(path))


def decode_lesson(content: bytes, where: str) -> Lesson:
    """The same from bytes; `where` names the file in the error."""
    versions = EXERCISE_FORMAT, EXERCISE_VERSION, EXERCISE_STEPS
    found = _converted(_document(content, where, versions, "an exercise"), ExerciseDocument, where)
    lesson = Lesson(exercise=found.exercise, teacher=found.teacher)
    _refuse(exercise_problems(lesson.exercise, lesson.teacher), where)
    return lesson


def read_answer(path: Path) -> Answer:
    """An answer's file, or a case file taken as one. Raises ExerciseError."""
    return decode_answer(_content(path), str(path), path.stem)


def decode_answer(content: bytes, where: str, label: str) -> Answer:
    """The same from bytes; `label` stands for a case file, which carries none."""
    value = _strict(content, where)
    if isinstance(value, dict) and value.get("format") == CASE_FORMAT:
        return _from_case(content, where, label)
    if isinstance(value, dict) and value.get("format") == SITTING_FORMAT:
        raise ExerciseError(
            f"{where}: an interrupted sitting, not an answer; go on with it at the desk (Teach, Go "
            "on with a sitting) and hand in"
        )
    versions = ANSWER_FORMAT, ANSWER_VERSION, ANSWER_STEPS
    document = _checked(value, where, versions, "an answer")
    answer = _converted(document, AnswerDocument, where).answer
    _refuse(answer_problems(answer), where)
    return answer


def _from_case(content: bytes, where: str, label: str) -> Answer:
    try:
        case = decode(content, where)
    except CaseFileError as problem:
        raise ExerciseError(str(problem)) from problem
    return Answer(exercise="case", label=label[:60], tries=(Try(case=case, handed_in=""),))


def read_sitting(path: Path) -> SavedSitting:
    """The file of an interrupted sitting. Raises ExerciseError."""
    return decode_sitting(_content(path), str(path))


def decode_sitting(content: bytes, where: str) -> SavedSitting:
    """The same from bytes; `where` names the file in the error."""
    versions = SITTING_FORMAT, SITTING_VERSION, SITTING_STEPS
    document = _document(content, where, versions, "a saved sitting")
    saved = _converted(document, SittingDocument, where).sitting
    _refuse(sitting_problems(saved), where)
    return saved


def _headed(format_: str, version: int, **parts: Record | str) -> Document:
    """A document with the head that each of these files has."""
    head: Document = {"format": format_, "version": version, "program": __version__}
    return head | {name: plain_numbers(msgspec.to_builtins(part)) for name, part in parts.items()}


def encode_lesson(exercise: Exercise, teacher: Teacher | None, rules: str = "") -> bytes:
    """An exercise as a file's bytes. Raises ExerciseError for one that could not be read back."""
    _refuse(exercise_problems(exercise, teacher), f"exercise {exercise.id}")
    parts = (
        {"exercise": exercise} if teacher is None else {"exercise": exercise, "teacher": teacher}
    )
    document = _headed(EXERCISE_FORMAT, EXERCISE_VERSION, rules=rules, **parts)
    return _read_back(document, ExerciseDocument)


def encode_answer(answer: Answer) -> bytes:
    """An answer as a file's bytes. Raises ExerciseError for one that could not be read back."""
    _refuse(answer_problems(answer), f"answer {answer.label}")
    document = _headed(ANSWER_FORMAT, ANSWER_VERSION, answer=answer)
    return _read_back(document, AnswerDocument)


def encode_sitting(saved: SavedSitting) -> bytes:
    """A sitting as a file's bytes. Raises ExerciseError for one that could not be read back."""
    _refuse(sitting_problems(saved), f"sitting of {saved.label}")
    document = _headed(SITTING_FORMAT, SITTING_VERSION, sitting=saved)
    return _read_back(document, SittingDocument)


def write_lesson(
    path: Path, exercise: Exercise, teacher: Teacher | None, *, rules: str = ""
) -> None:
    """Write an exercise; without `teacher` it is a trainee's copy. Raises FixplanError."""
    write_safely(path, encode_lesson(exercise, teacher, rules), backup=True)


def write_answer(path: Path, answer: Answer) -> None:
    """Write an answer. Raises FixplanError."""
    write_safely(path, encode_answer(answer), backup=True)


def write_sitting(path: Path, saved: SavedSitting) -> None:
    """Write an interrupted sitting. Raises FixplanError."""
    write_safely(path, encode_sitting(saved), backup=True)


def print_of(exercise: Exercise) -> str:
    """Six characters that name this state of what the trainee is given."""
    text = packed(plain_numbers(msgspec.to_builtins(exercise)))
    return base64.b32encode(hashlib.sha256(text.encode()).digest()).decode()[:6]


def schemas() -> dict[str, object]:
    """The JSON Schemas of all three files, with every limit, by their format names."""
    return {
        name: {
            "$schema": "https://json-schema.org/draft/2020-12/schema",
            "title": f"{name}, version {version}",
            **msgspec.json.schema(document),
        }
        for name, version, document in (
            (EXERCISE_FORMAT, EXERCISE_VERSION, ExerciseDocument),
            (ANSWER_FORMAT, ANSWER_VERSION, AnswerDocument),
            (SITTING_FORMAT, SITTING_VERSION, SittingDocument),
        )
    }


def _content(path: Path) -> bytes:
    try:
        return read_bytes(path)
    except CaseFileError as problem:
        raise ExerciseError(str(problem)) from problem


def _strict(content: bytes, where: str) -> object:
    try:
        return parsed(content, where)
    except CaseFileError as problem:
        raise ExerciseError(str(problem)) from problem


Versions = tuple[str, int, Mapping[int, Step]]


def _document(content: bytes, where: str, versions: Versions, words: str) -> Document:
    return _checked(_strict(content, where), where, versions, words)


def _checked(value: object, where: str, versions: Versions, words: str) -> Document:
    """The document at the newest version. Raises ExerciseError for a wrong format or version."""
    name, newest, steps = versions
    if not isinstance(value, dict) or value.get("format") != name:
        raise ExerciseError(
            f'{where}: not {words}, the field "format" does not say "{name}"; open {words}'
        )
    version = value.get("version")
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        raise ExerciseError(f'{where}: the field "version" must be a whole number from 1 up')
    if version > newest:
        raise ExerciseError(
            f"{where}: written in format version {version}, and this program reads up to "
            f"{newest}; open it with a newer program"
        )
    return migrated(value, steps=steps, newest=newest)


def _converted(document: Document, kind: type[Kind], where: str) -> Kind:
    try:
        return msgspec.convert(document, kind)
    except (msgspec.ValidationError, OverflowError, RecursionError) as problem:
        raise ExerciseError(f"{where}: {problem}; correct this place in the file") from problem


def _read_back(document: Document, kind: type[Kind]) -> bytes:
    try:
        msgspec.convert(document, kind)
        return laid_out(document).encode()
    except (msgspec.ValidationError, ValueError, OverflowError) as problem:
        raise ExerciseError(f"this holds a value that no file can: {problem}") from problem


def _refuse(problems: Iterable[str], where: str) -> None:
    found = tuple(problems)
    if found:
        more = f"; and {len(found) - PROBLEMS_TOLD} more" if len(found) > PROBLEMS_TOLD else ""
        raise ExerciseError(f"{where}: {'; '.join(found[:PROBLEMS_TOLD])}{more}; correct the file")
