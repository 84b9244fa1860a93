"""Marking a class at the desk: the exercise, the answers, and where report and table go."""

from datetime import datetime
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog, QProgressDialog

from fixplan.case.safe_write import write_safely
from fixplan.desk import dialogs
from fixplan.desk.exercise_dialog import ExerciseDialog
from fixplan.desk.feature import Feature
from fixplan.errors import ExerciseError
from fixplan.sheet.class_report import Report, class_pages
from fixplan.sheet.paint import pdf_bytes
from fixplan.teach.class_figures import ClassBook
from fixplan.teach.files import Lesson
from fixplan.teach.many import rows_of
from fixplan.teach.shelf import find_lesson
from fixplan.teach.table import MarkTable

ANSWER_FILTER = "Answers (*.json)"
REPORT_FILTER = "Class report (*.pdf)"
MOST_TOLD = 3


class DeskFeature(Feature):
    """The same marks as `fixplan mark` gives."""

    def mark_class(self) -> None:
        """Ask for exercise, answers and the file of the report, then mark. Raises FixplanError."""
        folder, window = self.room.settings.folder, self.room.window
        exercise = ExerciseDialog.ask_exercise(folder, window, "Which exercise was sat?")
        if exercise is None:
            return
        answers, _ = QFileDialog.getOpenFileNames(window, "The answers", str(folder), ANSWER_FILTER)
        if not answers:
            return
        lesson = find_lesson(exercise)
        suggested = Path(answers[0]).parent / f"{lesson.exercise.id}-class.pdf"
        target = dialogs.ask_save_path(
            window, "Write the class report", suggested, ".pdf", REPORT_FILTER
        )
        if target is not None:
            self.write_report(lesson, answers, target)

    def write_report(self, lesson: Lesson, answers: list[str], target: Path) -> None:
        """Mark, write report and table beside each other, and say what came of it.

        Raises ExerciseError for a trainee's copy, or when nothing could be marked.
        """
        if lesson.teacher is None:
            raise ExerciseError(
                f"{lesson.exercise.id} is a trainee's copy without the key; take the teacher's file"
            )
        book, table, errors = self._marked(lesson, answers)
        figures = book.figures()
        if figures is None:
            raise ExerciseError(f"No answer could be marked. {errors[0] if errors else ''}".strip())
        now = datetime.now().astimezone()
        report = Report(lesson, figures, book.heat, f"{now:%Y-%m-%d %H:%M %Z}")
        title = f"Class report: {lesson.exercise.title}"
        write_safely(target, pdf_bytes(class_pages(report), title))
        write_safely(target.with_suffix(".csv"), table.content())
        self.room.say(_result_words(figures.answers, errors, target))

    def _marked(self, lesson: Lesson, answers: list[str]) -> tuple[ClassBook, MarkTable, list[str]]:
        """All rows, with their number shown as they come; what was marked before a stop counts."""
        book, table, errors = ClassBook(), MarkTable(lesson.exercise), []
        shown = QProgressDialog("Marking", "Stop", 0, len(answers), self.room.window)
        shown.setWindowModality(Qt.WindowModality.WindowModal)
        for number, row in enumerate(rows_of(lesson, answers), 1):
            book.add(row)
            table.add(row)
            if row.error:
                errors.append(row.error)
            shown.setValue(number)
            if shown.wasCanceled():
                errors.append(f"Stopped after {number} of {len(answers)}.")
                break
        shown.close()
        return book, table, errors


def _result_words(marked: int, errors: list[str], target: Path) -> str:
    told = f"{marked} answers marked. Written: {target} and {target.with_suffix('.csv').name}."
    more = f" And {len(errors) - MOST_TOLD} more." if len(errors) > MOST_TOLD else ""
    return f"{told} {' '.join(errors[:MOST_TOLD])}{more}".strip()
