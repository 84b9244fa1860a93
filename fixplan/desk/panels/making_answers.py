"""Making an exercise: the teacher's own answer, other good ones, common mistakes; their marks."""

from collections.abc import Callable
from pathlib import Path
from typing import Literal

from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fixplan.case.records import Case
from fixplan.desk import dialogs
from fixplan.desk.sheet_hold import Attempt
from fixplan.errors import ExerciseError
from fixplan.teach.feedback import feedback
from fixplan.teach.files import Lesson, read_answer
from fixplan.teach.making import try_of
from fixplan.teach.records import ModelAnswer

Kind = Literal["good", "wrong"]
ANSWER_FILTER = "Answer (*.json)"
ANY_FRAME = (
    "Any frame that keeps the rules has full points, whether or not it looks like yours. Other "
    "good answers show that there is more than one way, common mistakes what each costs."
)
FOLLOWS = "Your own answer is the drawing as it stands."
KEPT = "Your own answer is kept ({pins} pins, {bars} bars); the drawing may now show another."
KEEP_FIRST = (
    "The drawing is still your own answer: keep that first, then draw the other one and add it."
)


class AnswersPage(QWidget):
    """`lesson` makes the exercise as it stands; it raises ExerciseError while it cannot be made.

    `drawn` gives the present drawing as an answer of that description, `drawing` as it is.
    """

    def __init__(
        self,
        lesson: Callable[[], Lesson],
        drawing: Callable[[], Case],
        drawn: Callable[[str], ModelAnswer],
        attempt: Attempt,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._lesson, self._drawing, self._drawn = lesson, drawing, drawn
        self.kept: Case | None = None
        self.models: list[tuple[Kind, ModelAnswer]] = []
        self.state = _words(FOLLOWS)
        self.keep = QPushButton("Keep the drawing as my own answer")
        self.follow = QPushButton("Follow the drawing again")
        self.check = QPushButton("Mark all answers")
        self.own = _words("")
        self.own.setAccessibleName("Mark of the teacher's own answer")
        self.list = QListWidget()
        self.list.setWordWrap(True)
        self.list.setAccessibleName("Other good answers and common mistakes")
        self.text = QLineEdit()
        self.text.setMaxLength(200)
        self.text.setPlaceholderText("what it shows, such as: pins in crushed tissue")
        self.text.setAccessibleName("What the answer shows")
        self.wrong = QPushButton("Add the drawing as a mistake")
        self.good = QPushButton("Add the drawing as good")
        self.wrong_file = QPushButton("A mistake from a file…")
        self.add = QPushButton("A good one from a file…")
        self.remove = QPushButton("Remove the chosen one")
        for button, tip in (
            (self.keep, "The exercise holds this drawing from now on, whatever is drawn later"),
            (self.follow, "Your own answer is again whatever is drawn"),
            (self.check, "Each answer's mark as the exercise stands, and what costs points"),
            (self.wrong, "A common wrong answer: kept with the mark that it gets"),
            (self.good, "Another frame that is as good as your own"),
        ):
            button.setToolTip(tip)
        self._lay()
        self.keep.clicked.connect(lambda: self._keep(self._drawing()))
        self.follow.clicked.connect(lambda: self._keep(None))
        self.check.clicked.connect(lambda: attempt(self.mark_all))
        self.wrong.clicked.connect(lambda: attempt(lambda: self.add_drawn("wrong")))
        self.good.clicked.connect(lambda: attempt(lambda: self.add_drawn("good")))
        self.add.clicked.connect(lambda: attempt(lambda: self._ask_file("good")))
        self.wrong_file.clicked.connect(lambda: attempt(lambda: self._ask_file("wrong")))
        self.remove.clicked.connect(self._remove)
        self._keep(None)

    def of_kind(self, kind: Kind) -> tuple[ModelAnswer, ...]:
        """The answers of one kind, in their order."""
        return tuple(model for own, model in self.models if own == kind)

    def show_models(self, good: tuple[ModelAnswer, ...], wrong: tuple[ModelAnswer, ...]) -> None:
        """The answers of an exercise that is changed."""
        self.models = [("good", one) for one in good]
        self.models += [("wrong", one) for one in wrong]
        self._list_anew(None)

    def add_drawn(self, kind: Kind) -> None:
        """The present drawing as one more answer. Raises ExerciseError."""
        if self.kept is None:
            raise ExerciseError(KEEP_FIRST)
        if not self.text.text().strip():
            raise ExerciseError("Type what the answer shows, so that it can be told apart.")
        self._add(kind, self._drawn(self.text.text().strip()))
        self.text.clear()

    def add_file(self, path: Path, kind: Kind = "good") -> None:
        """One more answer: an answer's file or a case. Raises ExerciseError."""
        one = read_answer(path).tries[-1]
        text = self.text.text().strip() or path.stem[:200]
        self._add(kind, ModelAnswer(text=text, case=one.case, replies=one.replies))

    def mark_all(self) -> None:
        """Mark the own answer and every other. Raises ExerciseError."""
        lesson = self._lesson()
        if lesson.teacher is not None:
            self.own.setText(f"Your own answer: {_mark_words(lesson, lesson.teacher.good[0])}")
        self._list_anew(lesson)

    def _add(self, kind: Kind, model: ModelAnswer) -> None:
        """Keep it only if the exercise can be made with it, which judges it."""
        self.models.append((kind, model))
        try:
            lesson = self._lesson()
        except ExerciseError:
            self.models.pop()
            raise
        self._list_anew(lesson)

    def _keep(self, case: Case | None) -> None:
        self.kept = case
        self.state.setText(
            FOLLOWS if case is None else KEPT.format(pins=len(case.pins), bars=len(case.bars))
        )
        self.follow.setEnabled(case is not None)

    def _ask_file(self, kind: Kind) -> None:
        path = dialogs.ask_file(self, "An answer", Path(), ANSWER_FILTER)
        if path is not None:
            self.add_file(path, kind)

    def _remove(self) -> None:
        row = self.list.currentRow()
        if row >= 0:
            self.list.takeItem(row)
            del self.models[row]

    def _list_anew(self, lesson: Lesson | None) -> None:
        """The answers with the marks they get now, else with those they had."""
        self.list.clear()
        for kind, model in self.models:
            if lesson is not None:
                mark = _mark_words(lesson, model)
            else:
                mark = "" if model.mark_percent is None else f"{model.mark_percent:.1f} %"
            name = "Mistake" if kind == "wrong" else "Good"
            self.list.addItem(f"{name}: {model.text}{f' · {mark}' if mark else ''}")

    def _lay(self) -> None:
        column = QVBoxLayout(self)
        column.addWidget(self.state)
        column.addLayout(_row(self.keep, self.follow, self.check))
        column.addWidget(self.own)
        column.addWidget(_words(ANY_FRAME))
        column.addWidget(self.list, 1)
        column.addWidget(self.text)
        column.addLayout(_row(self.wrong, self.good))
        column.addLayout(_row(self.wrong_file, self.add, self.remove))


def _row(*buttons: QPushButton) -> QHBoxLayout:
    row = QHBoxLayout()
    for button in buttons:
        row.addWidget(button)
    row.addStretch(1)
    return row


def _words(text: str) -> QLabel:
    label = QLabel(text)
    label.setWordWrap(True)
    return label


def _mark_words(lesson: Lesson, model: ModelAnswer) -> str:
    """The mark, and what costs points."""
    found = feedback(lesson, (try_of(model),))
    lost = [one.part for one in found.told if not one.part.is_kept]
    told = "; ".join(f"{part.words}: {part.reason}" for part in lost)
    verdict = "passes" if found.last.passes else "does not pass"
    return f"{found.last.percent:.1f} %, {verdict}. {told}".strip()
