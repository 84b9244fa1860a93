"""A class's answers put together, row by row: marks, missed parts, places of pins, agreement."""

from collections import Counter
from collections.abc import Iterator
from math import sqrt

import msgspec

from fixplan.teach.agreement import Sums, fleiss_kappa, quantile
from fixplan.teach.many import Row, Spot
from fixplan.teach.marks import Mark, Part

CELL_MM = 6
BIN_PERCENT = 10
BINS = 100 // BIN_PERCENT
LOW = 0.005
"""A part with this credit or less counts as missed altogether."""
Cell = tuple[str, int, int, int]


class PartFigures(msgspec.Struct, frozen=True, kw_only=True):
    """How a class did in one part: shares of answers, and the correlation with all other parts."""

    id: str
    words: str
    weight: float
    mean_credit: float
    kept_share: float
    none_share: float
    with_rest: float | None


class ClassFigures(msgspec.Struct, frozen=True, kw_only=True):
    """Figures of a class; marks in percent. `histogram`: tens of percent, the last up to 100.

    `agreement` (Fleiss' kappa): how far trainees keep, half keep and miss the same parts. `parts`:
    most missed first. `second_gain`: mean gain from first to last try, of those with more than one.
    """

    answers: int
    unread: int
    mean: float
    spread: float
    quartiles: tuple[float, float, float]
    least: float
    most: float
    pass_share: float
    histogram: tuple[int, ...]
    agreement: float | None
    parts: tuple[PartFigures, ...]
    repeated: tuple[str, ...]
    second_gain: float | None

    def as_json(self) -> dict[str, object]:
        """The figures as plain values."""
        told: dict[str, object] = msgspec.to_builtins(self)
        return told


class _PartSums:
    """Running sums of one part."""

    def __init__(self, part: Part) -> None:
        self.id, self.words, self.weight = part.id, part.words, part.weight
        self.credit, self.kept, self.none = 0.0, 0, 0
        self.with_rest = Sums()

    def add(self, part: Part, rest: float) -> None:
        self.credit += part.credit
        self.kept += part.is_kept
        self.none += part.credit <= LOW
        self.with_rest.add(part.credit, rest)

    def figures(self, count: int) -> PartFigures:
        return PartFigures(
            id=self.id,
            words=self.words,
            weight=self.weight,
            mean_credit=self.credit / count,
            kept_share=self.kept / count,
            none_share=self.none / count,
            with_rest=self.with_rest.correlation,
        )

    def table_row(self, count: int) -> tuple[int, int, int]:
        return self.kept, count - self.kept - self.none, self.none


class ClassBook:
    """Takes the rows of a class one by one; only sums, marks and labels are kept."""

    def __init__(self) -> None:
        self.heat: Counter[Cell] = Counter()
        self.unread = 0
        self._marks: list[float] = []
        self._passes = 0
        self._gains: list[float] = []
        self._labels: Counter[str] = Counter()
        self._parts: dict[str, _PartSums] = {}

    def add(self, row: Row) -> None:
        """One more answer."""
        if row.label:
            self._labels[row.label] += 1
        mark = row.mark
        if mark is None:
            self.unread += 1
            return
        self._marks.append(mark.percent)
        self._passes += mark.passes
        if len(row.marks) > 1:
            self._gains.append(mark.percent - row.marks[0].percent)
        self._add_parts(mark)
        for spot in row.spots:
            self.heat[cell_of(spot)] += 1

    def _add_parts(self, mark: Mark) -> None:
        total = sum(part.points for part in mark.parts)
        for part in mark.parts:
            sums = self._parts.setdefault(part.id, _PartSums(part))
            sums.add(part, total - part.points)

    @property
    def repeated(self) -> tuple[str, ...]:
        """Labels that more than one answer bears."""
        return tuple(sorted(label for label, count in self._labels.items() if count > 1))

    def figures(self) -> ClassFigures | None:
        """The figures of all that could be marked; None when nothing could."""
        count = len(self._marks)
        if not count:
            return None
        ordered = sorted(self._marks)
        mean = sum(ordered) / count
        squares = sum((one - mean) ** 2 for one in ordered)
        return ClassFigures(
            answers=count,
            unread=self.unread,
            mean=mean,
            spread=sqrt(squares / (count - 1)) if count > 1 else 0.0,
            quartiles=(quantile(ordered, 0.25), quantile(ordered, 0.5), quantile(ordered, 0.75)),
            least=ordered[0],
            most=ordered[-1],
            pass_share=self._passes / count,
            histogram=histogram(ordered),
            agreement=fleiss_kappa([one.table_row(count) for one in self._parts.values()]),
            parts=tuple(self._part_figures(count)),
            repeated=self.repeated,
            second_gain=sum(self._gains) / len(self._gains) if self._gains else None,
        )

    def _part_figures(self, count: int) -> Iterator[PartFigures]:
        figures = [one.figures(count) for one in self._parts.values()]
        yield from sorted(figures, key=lambda one: (one.mean_credit, -one.weight, one.id))


def histogram(marks: list[float]) -> tuple[int, ...]:
    """How many marks lie in each ten percent; 100 belongs to the last."""
    counts = Counter(min(int(mark // BIN_PERCENT), BINS - 1) for mark in marks)
    return tuple(counts[number] for number in range(BINS))


def cell_of(spot: Spot) -> Cell:
    """The cell of the heat map that a pin falls in: segment, and whole cells along x, y, level."""
    x, y, level = ((mm + CELL_MM // 2) // CELL_MM for mm in (spot.x_mm, spot.y_mm, spot.level_mm))
    return spot.segment, x, y, level
