"""`fixplan mark EXERCISE ANSWER... [--csv OUT] [--report OUT.pdf] [--json]`: marks of a class."""

import json
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from fixplan.cli.terminal import CLEAN, UNREADABLE, complain, parser_for
from fixplan.errors import ExerciseError

if TYPE_CHECKING:
    from fixplan.teach.class_figures import ClassBook
    from fixplan.teach.files import Lesson
    from fixplan.teach.many import Row
    from fixplan.teach.table import MarkTable

TOLD_EVERY = 50


def mark(typed: list[str]) -> int:
    """Mark the answers to one exercise; ends with 2 when one of them cannot be marked."""
    parser = parser_for("fixplan mark", description="Mark the answers to an exercise.")
    parser.add_argument("exercise", metavar="EXERCISE", help="the teacher's file, or a shipped id")
    parser.add_argument("answers", nargs="+", metavar="ANSWER", help="an answer's file")
    parser.add_argument("--csv", metavar="OUT", help="write the marks as CSV")
    parser.add_argument("--report", metavar="OUT", help="write the class report as PDF")
    parser.add_argument("--json", action="store_true", help="print JSON")
    options = parser.parse_args(typed)
    from fixplan.teach.class_figures import ClassBook
    from fixplan.teach.shelf import find_lesson
    from fixplan.teach.table import MarkTable

    lesson = find_lesson(options.exercise)
    if lesson.teacher is None:
        raise ExerciseError(
            f"{options.exercise}: a trainee's copy without the answer; mark with the teacher's file"
        )
    book, table = ClassBook(), MarkTable(lesson.exercise)
    code = _mark_all(lesson, options.answers, book, table, is_json=options.json)
    for label in book.repeated:
        complain(f"The label {label} stands on more than one answer; give each trainee one label.")
    if options.csv:
        from fixplan.case.safe_write import write_safely

        write_safely(Path(options.csv), table.content())
    if options.report:
        _write_report(lesson, book, Path(options.report))
    return code


def _write_report(lesson: "Lesson", book: "ClassBook", path: Path) -> None:
    """The class report. Raises FixplanError for another ending, or when nothing was marked."""
    figures = book.figures()
    if figures is None:
        raise ExerciseError(f"{path}: no answer could be marked, so there is no report to write")
    if path.suffix.lower() != ".pdf":
        raise ExerciseError(f"{path}: the class report ends in .pdf; give it that ending")
    from fixplan.desk.display import drawing_problem

    problem = drawing_problem()
    if problem is not None:
        raise ExerciseError(problem)
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    from datetime import datetime

    from fixplan.sheet.class_report import Report, class_pages
    from fixplan.sheet.paint import application_without_window
    from fixplan.sheet.writing import write_sheet

    now = datetime.now().astimezone()
    running = application_without_window()
    pages = class_pages(Report(lesson, figures, book.heat, f"{now:%Y-%m-%d %H:%M %Z}"))
    write_sheet(pages, path, title=f"Class report: {lesson.exercise.title}")
    del running


def _mark_all(
    lesson: "Lesson", files: list[str], book: "ClassBook", table: "MarkTable", *, is_json: bool
) -> int:
    """Mark file after file, printing each row as it comes."""
    from fixplan.teach.many import rows_of

    code = CLEAN
    if is_json:
        print(f'{{"exercise": {json.dumps(lesson.exercise.id)}, "answers": [')
    for number, row in enumerate(rows_of(lesson, files), 1):
        book.add(row)
        table.add(row)
        if row.error:
            code = UNREADABLE
            complain(row.error)
        if is_json:
            comma = "," if number < len(files) else ""
            print(f"{json.dumps(row.as_json(), ensure_ascii=False)}{comma}")
        elif not row.error:
            _print_row(row)
        _tell_progress(number, len(files))
    if is_json:
        figures = book.figures()
        told = None if figures is None else figures.as_json()
        print(f'], "class": {json.dumps(told, ensure_ascii=False)}}}')
    else:
        _print_class(book)
    return code


def _print_row(row: "Row") -> None:
    mark = row.mark
    if mark is None:
        return
    passes = "passes" if mark.passes else "does not pass"
    tries = f", try {len(row.marks)}" if len(row.marks) > 1 else ""
    print(f"{row.label}: {mark.percent:.1f} %, {passes}{tries} ({row.file})")
    for remark in mark.remarks:
        print(f"  {remark}")
    for part in mark.parts:
        if not part.is_kept:
            words = part.words if part.words.endswith((".", "?")) else f"{part.words}."
            print(f"  {100 * part.credit:.0f} % of {part.weight:g}: {words} {part.reason}")


def _print_class(book: "ClassBook") -> None:
    figures = book.figures()
    if figures is None or figures.answers + figures.unread < 2:
        return
    middle = f"median {figures.quartiles[1]:.1f} %, {figures.least:.1f} to {figures.most:.1f} %"
    passed = f"{100 * figures.pass_share:.0f} % pass"
    unread = f", {figures.unread} not marked" if figures.unread else ""
    print(f"{figures.answers} marked{unread}: {middle}, {passed}")


def _tell_progress(done: int, of: int) -> None:
    """Where many are marked, how far it is: one line on the terminal that is written over."""
    if of < TOLD_EVERY or not sys.stderr.isatty():
        return
    if done % TOLD_EVERY == 0 or done == of:
        end = "\n" if done == of else ""
        print(f"\r{done} of {of} marked", end=end, file=sys.stderr, flush=True)
