"""Making an exercise: the mark of the teacher's own answer, and further good answers from files."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtWidgets import (
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fixplan.desk.canvas import Attempt
from fixplan.teach.feedback import feedback
from fixplan.teach.files import Lesson, read_answer
from fixplan.teach.records import ModelAnswer, Try

ANY_FRAME = (
    "Any frame that keeps the rules has full points, whether or not it looks like yours. Other "
    "good answers are kept with the exercise to show that there is more than one."
)


class AnswersPage(QWidget):
    """`lesson` makes the exercise as it stands; it raises ExerciseError while it cannot be made."""

    def __init__(
        self, lesson: Callable[[], Lesson], attempt: Attempt, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._lesson = lesson
        self.also_good: list[ModelAnswer] = []
        self.own = QLabel("")
        self.own.setWordWrap(True)
        self.own.setAccessibleName("Mark of the teacher's own answer")
        self.check = QPushButton("Mark my own answer")
        self.list = QListWidget()
        self.list.setAccessibleName("Other good answers")
        self.add = QPushButton("Add a good answer from a file…")
        self.remove = QPushButton("Remove the chosen one")
        words = QLabel(ANY_FRAME)
        words.setWordWrap(True)
        column = QVBoxLayout(self)
        for widget in (self.check, self.own, words, self.list):
            column.addWidget(widget)
        row = QHBoxLayout()
        row.addWidget(self.add)
        row.addWidget(self.remove)
        row.addStretch(1)
        column.addLayout(row)
        self.check.clicked.connect(lambda: attempt(self._mark_own))
        self.add.clicked.connect(lambda: attempt(self._ask_file))
        self.remove.clicked.connect(self._remove)

    def add_file(self, path: Path) -> None:
        """One more good answer: an answer's file or a case. Raises ExerciseError."""
        one = read_answer(path).tries[-1]
        model = ModelAnswer(text=path.stem[:200], case=one.case, replies=one.replies)
        words = _mark_words(self._lesson(), model)
        self.also_good.append(model)
        self.list.addItem(f"{path.stem}: {words}")

    def _mark_own(self) -> None:
        lesson = self._lesson()
        if lesson.teacher is not None:
            self.own.setText(f"Your own answer: {_mark_words(lesson, lesson.teacher.good[0])}")

    def _ask_file(self) -> None:
        path, _ = QFileDialog.getOpenFileName(self, "A good answer", "", "Answer (*.json)")
        if path:
            self.add_file(Path(path))

    def _remove(self) -> None:
        row = self.list.currentRow()
        if row >= 0:
            self.list.takeItem(row)
            del self.also_good[row]


def _mark_words(lesson: Lesson, model: ModelAnswer) -> str:
    """The mark, and what costs points."""
    found = feedback(lesson, (Try(case=model.case, replies=model.replies, handed_in=""),))
    lost = [one.part for one in found.told if not one.part.is_kept]
    told = "; ".join(f"{part.words}: {part.reason}" for part in lost)
    verdict = "passes" if found.last.passes else "does not pass"
    return f"{found.last.percent:.1f} %, {verdict}. {told}".strip()
