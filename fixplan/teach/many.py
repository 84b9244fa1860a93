"""Marking many answers: one row each, on all cores, in the order given.

An answer that cannot be read or marked has a row with the reason; the others are marked. Rows come
one by one as bytes from the working processes, so memory does not grow with their number.
"""

import os
import sys
from collections.abc import Iterator, Sequence
from multiprocessing import get_all_start_methods, get_context
from pathlib import Path

import msgspec

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case
from fixplan.errors import FixplanError
from fixplan.geometry.paths import pin_path
from fixplan.teach.files import Lesson, read_answer
from fixplan.teach.marking import mark_answer
from fixplan.teach.marks import Mark

ALONE = 40
"""So few answers are marked sooner than other processes are started."""
CHUNK = 25


class Spot(msgspec.Struct, frozen=True, array_like=True):
    """Where a pin enters its bone, whole mm in its segment's frame."""

    segment: str
    x_mm: int
    y_mm: int
    level_mm: int


class Row(msgspec.Struct, frozen=True, kw_only=True):
    """One answer of a class. `error` is one sentence; then there is no mark.

    The last try counts; `spots` are its pins.
    """

    file: str
    label: str = ""
    marks: tuple[Mark, ...] = ()
    spots: tuple[Spot, ...] = ()
    error: str = ""

    @property
    def mark(self) -> Mark | None:
        """The mark that counts."""
        return self.marks[-1] if self.marks else None

    def as_json(self) -> dict[str, object]:
        """The row as plain values."""
        told: dict[str, object] = {"file": self.file, "label": self.label}
        if self.mark is None:
            return {**told, "error": self.error}
        counted = {"percent": self.mark.percent, "passes": self.mark.passes}
        return {**told, **counted, "tries": [mark.as_json() for mark in self.marks]}


def row_of(lesson: Lesson, file: str) -> Row:
    """The row of one answer's file."""
    try:
        answer = read_answer(Path(file))
    except FixplanError as problem:
        return Row(file=file, error=str(problem))
    try:
        marks = mark_answer(lesson, answer)
    except FixplanError as problem:
        return Row(file=file, label=answer.label, error=f"{file}: {problem}")
    return Row(file=file, label=answer.label, marks=marks, spots=spots_of(answer.tries[-1].case))


def rows_of(lesson: Lesson, files: Sequence[str]) -> Iterator[Row]:
    """The rows of all files, in their order; many at once on all cores."""
    cores = _cores()
    if len(files) <= ALONE or cores == 1:
        yield from (row_of(lesson, file) for file in files)
        return
    if files:
        row_of(lesson, files[0])  # what all processes need is worked out once, before they part
    context = get_context(_way())
    with context.Pool(min(cores, len(files)), _begin, (msgspec.json.encode(lesson),)) as pool:
        for content in pool.imap(_row_bytes, files, CHUNK):
            yield msgspec.json.decode(content, type=Row)


def spots_of(case: Case) -> tuple[Spot, ...]:
    """Where the pins of a case enter their bones."""
    limb = limb_of_case(case)
    found = []
    for pin in case.pins:
        path = pin_path(limb, pin) if pin.bone in limb.bones else None
        if path is not None and path.hits_bone:
            x, y, level = (round(float(value)) for value in path.near_point_mm)
            found.append(Spot(path.segment, x, y, level))
    return tuple(found)


def _cores() -> int:
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def _way() -> str:
    """Processes are forked where that is sound: never with Qt's threads about."""
    forks = "fork" in get_all_start_methods() and "PySide6.QtCore" not in sys.modules
    return "fork" if forks else "spawn"


_lesson: list[Lesson] = []
"""The exercise of a working process."""


def _begin(content: bytes) -> None:
    _lesson[:] = [msgspec.json.decode(content, type=Lesson)]


def _row_bytes(file: str) -> bytes:
    return msgspec.json.encode(row_of(_lesson[0], file))
