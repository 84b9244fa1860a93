"""The report of a class on A4: distribution, what was missed most, where pins went, agreement."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from msgspec.structs import replace

from fixplan import __version__
from fixplan.checks.rules import rule_set_version
from fixplan.sheet.box import Box
from fixplan.sheet.class_charts import (
    ROW_MM,
    columns_in,
    histogram_shapes,
    part_heads,
    part_row,
    rule_line,
    words,
)
from fixplan.sheet.fonts import wrapped
from fixplan.sheet.heat_map import Heat, heat_shapes
from fixplan.sheet.ink import HEAD_MM, SMALL_MM, SOFT_INK, TEXT_MM
from fixplan.sheet.paper import MARGIN_MM, PAPERS, Page
from fixplan.sheet.shapes import AnyShape
from fixplan.sheet.title_block import caution_lines
from fixplan.teach.class_figures import ClassFigures, PartFigures
from fixplan.teach.files import Lesson
from fixplan.teach.marking import judged_case
from fixplan.teach.scheme import scheme

INNER_MM = PAPERS["A4"][0] - 2 * MARGIN_MM
BOTTOM_MM = PAPERS["A4"][1] - MARGIN_MM - 14.0
TITLE_MM = 5.0
LEADING = 1.4
HISTOGRAM_MM = 52.0
TELLS_APART = (
    "Tells apart: correlation of a part with all other parts (Pearson's r). Near +1, who keeps it "
    "does well otherwise too; near 0 or below, look at the question, not at the class."
)
AGREEMENT = (
    "Agreement (Fleiss' kappa): how far trainees keep, half keep and miss the same parts beyond "
    "chance. 1: all alike; 0: as by chance. It says whether the class has one gap or many."
)


class Report(NamedTuple):
    """What the report is made from; `printed_at` as it is to be printed."""

    lesson: Lesson
    figures: ClassFigures
    heat: Heat
    printed_at: str


def class_pages(report: Report) -> tuple[Page, ...]:
    """The pages: figures and distribution, parts as many pages as they need, the heat map."""
    parts = list(report.figures.parts)
    if _has_few(report.figures):
        parts = [replace(part, with_rest=None) for part in parts]
    first = [*_figures(report), *_histogram(report)]
    top = MARGIN_MM + 66.0 + HISTOGRAM_MM
    rows = int((BOTTOM_MM - top - 12.0) // ROW_MM)
    per_page = int((BOTTOM_MM - MARGIN_MM - 30.0) // ROW_MM)
    contents: list[list[AnyShape]] = [
        [*first, *_parts(parts[:rows], top)],
        *(
            list(_parts(parts[start : start + per_page], MARGIN_MM + 18.0))
            for start in range(rows, len(parts), per_page)
        ),
        list(_heat(report)),
    ]
    return tuple(
        Page(*PAPERS["A4"], {"class": (*_head(report), *shapes, *_foot(report, n, len(contents)))})
        for n, shapes in enumerate(contents, 1)
    )


def figure_lines(figures: ClassFigures) -> list[str]:
    """The figures of a class in words."""
    low, middle, high = figures.quartiles
    lines = [
        f"{figures.answers} answers marked, {figures.unread} could not be; "
        f"{100 * figures.pass_share:.0f} % pass.",
        f"Median {middle:.1f} %, middle half {low:.1f} to {high:.1f} %, all {figures.least:.1f} to "
        f"{figures.most:.1f} %; mean {figures.mean:.1f} %, standard deviation "
        f"{figures.spread:.1f}.",
        _agreement_line(figures),
    ]
    if figures.second_gain is not None:
        lines.append(f"From first to last try: {figures.second_gain:+.1f} % on average.")
    if figures.repeated:
        told = ", ".join(figures.repeated[:8])
        more = "" if len(figures.repeated) <= 8 else f" and {len(figures.repeated) - 8} more"
        lines.append(f"Labels on more than one answer: {told}{more}.")
    return lines


def _has_few(figures: ClassFigures) -> bool:
    return figures.answers < scheme().report.few


def _agreement_line(figures: ClassFigures) -> str:
    if _has_few(figures):
        return (
            f"Too few answers for agreement and for what tells apart: {figures.answers}, and "
            f"{scheme().report.few} or more are needed (ours)."
        )
    kappa = "not defined" if figures.agreement is None else f"{figures.agreement:.2f}"
    return f"Agreement within the class (Fleiss' kappa over all parts): {kappa}."


def _figures(report: Report) -> Iterator[AnyShape]:
    y = MARGIN_MM + 18.0
    for line in figure_lines(report.figures):
        for piece in wrapped(line, TEXT_MM, INNER_MM):
            yield words((MARGIN_MM, y), piece, TEXT_MM)
            y += LEADING * TEXT_MM
    for line in () if _has_few(report.figures) else (TELLS_APART, AGREEMENT):
        for piece in wrapped(line, SMALL_MM, INNER_MM):
            yield words((MARGIN_MM, y), piece, colour=SOFT_INK)
            y += LEADING * SMALL_MM


def _histogram(report: Report) -> Iterator[AnyShape]:
    top = MARGIN_MM + 58.0
    yield words((MARGIN_MM, top), "MARKS: ANSWERS IN EACH TEN PERCENT", HEAD_MM, bold=True)
    box = Box(MARGIN_MM + 4, top + 4.0, INNER_MM - 14, HISTOGRAM_MM - 4.0)
    exercise = report.lesson.exercise
    yield from histogram_shapes(report.figures.histogram, exercise.pass_percent, box)


def _parts(parts: Sequence[PartFigures], top: float) -> Iterator[AnyShape]:
    if not parts:
        return
    box = Box(MARGIN_MM, top, INNER_MM, 0.0)
    columns = columns_in(box)
    yield words((MARGIN_MM, top + 2.0), "WHAT WAS MISSED MOST, FIRST", HEAD_MM, bold=True)
    yield from part_heads(columns, top + 8.0)
    yield rule_line(box, top + 9.4)
    for number, part in enumerate(parts):
        y = top + 14.0 + number * ROW_MM
        yield from part_row(part, columns, y)
        yield rule_line(box, y + ROW_MM - 2.9)


def _heat(report: Report) -> Iterator[AnyShape]:
    lesson = report.lesson
    top = MARGIN_MM + 20.0
    yield words((MARGIN_MM, top), "WHERE ALL PINS ENTER THE BONE", HEAD_MM, bold=True)
    case = judged_case(lesson.exercise, lesson.teacher, lesson.exercise.given)
    good = lesson.teacher.good if lesson.teacher is not None else ()
    box = Box(MARGIN_MM, top + 8.0, INNER_MM, BOTTOM_MM - top - 12.0)
    yield from heat_shapes(case, good[0].case if good else None, report.heat, box)


def _head(report: Report) -> Iterator[AnyShape]:
    exercise = report.lesson.exercise
    title = wrapped(f"Class report: {exercise.title}", TITLE_MM, INNER_MM, True)[0]
    yield words((MARGIN_MM, MARGIN_MM + TITLE_MM), title, TITLE_MM, bold=True)
    told = f"Exercise {exercise.id}. Trainees are labels, not names."
    yield words((MARGIN_MM, MARGIN_MM + TITLE_MM + 5.0), told, colour=SOFT_INK)


def _foot(report: Report, number: int, of: int) -> Iterator[AnyShape]:
    y = BOTTOM_MM + 4.0
    printed = f"{report.printed_at}, " if report.printed_at else ""
    line = f"{printed}fixplan {__version__}, rule set {rule_set_version()}, page {number} of {of}"
    yield words((MARGIN_MM, y), line, colour=SOFT_INK)
    for lineno, piece in enumerate(caution_lines(INNER_MM), 1):
        yield words((MARGIN_MM, y + lineno * LEADING * SMALL_MM), piece, colour=SOFT_INK)
