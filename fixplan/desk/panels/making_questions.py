"""Making an exercise: questions beyond pins, typed a line a choice."""

from typing import get_args

from PySide6.QtWidgets import (
    QComboBox,
    QDoubleSpinBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fixplan.desk.canvas import Attempt
from fixplan.teach.posing import Posed, Typed, posed
from fixplan.teach.records import QuestionKind

KIND_WORDS: dict[QuestionKind, str] = {
    "one": "choose one",
    "several": "choose several",
    "order": "put in order",
    "number": "give a number",
}
LINE_WORDS: dict[QuestionKind, str] = {
    "one": "One choice a line, a star (*) before the right one",
    "several": "One choice a line, a star (*) before each right one",
    "order": "One a line, in the right order; the trainee gets them shuffled",
    "number": "",
}


class QuestionsPage(QWidget):
    """The questions so far, and one that is being typed."""

    def __init__(self, attempt: Attempt, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.posed: list[Posed] = []
        self._made = 0
        self.list = QListWidget()
        self.list.setAccessibleName("Questions")
        self.list.setMaximumHeight(110)
        self.kind = QComboBox()
        for kind in get_args(QuestionKind):
            self.kind.addItem(KIND_WORDS[kind], kind)
        self.text = QLineEdit()
        self.lines = QPlainTextEdit()
        self.lines.setTabChangesFocus(True)
        self.value, self.within, self.none_beyond, self.unit = (QLineEdit() for _ in range(4))
        self.points = QDoubleSpinBox()
        self.points.setRange(0, 100)
        self.points.setValue(2)
        self.why, self.evidence = QLineEdit(), QLineEdit()
        self.add = QPushButton("Add the question")
        self.remove = QPushButton("Remove the chosen one")
        self.line_words = QLabel()
        self._lay()
        self.kind.currentIndexChanged.connect(self._show_kind)
        self.add.clicked.connect(lambda: attempt(self._add))
        self.remove.clicked.connect(self._remove)
        self._show_kind()

    def typed(self) -> Typed:
        """The question as it stands in the fields. Raises ValueError for a number that is none."""
        return Typed(
            kind=self.kind.currentData(),
            text=self.text.text(),
            lines=self.lines.toPlainText(),
            value=_number(self.value),
            within=_number(self.within) or 0.0,
            none_beyond=_number(self.none_beyond) or 0.0,
            unit=self.unit.text(),
            weight=self.points.value(),
            why=self.why.text(),
            evidence=self.evidence.text(),
        )

    def _lay(self) -> None:
        column = QVBoxLayout(self)
        column.addWidget(self.list)
        form = QFormLayout()
        for words, widget in self._rows():
            if words:
                widget.setAccessibleName(words)
            form.addRow(words, widget)
        column.addLayout(form)
        row = QHBoxLayout()
        row.addWidget(self.add)
        row.addWidget(self.remove)
        row.addStretch(1)
        column.addLayout(row)

    def _rows(self) -> tuple[tuple[str, QWidget], ...]:
        return (
            ("Kind", self.kind),
            ("Question", self.text),
            ("Choices", self.lines),
            ("", self.line_words),
            ("Number", self._number_row()),
            ("Points", self.points),
            ("Why", self.why),
            ("Evidence ids", self.evidence),
        )

    def _number_row(self) -> QWidget:
        holder = QWidget()
        row = QHBoxLayout(holder)
        row.setContentsMargins(0, 0, 0, 0)
        for words, field in (
            ("right", self.value),
            ("full points within", self.within),
            ("none beyond", self.none_beyond),
            ("unit", self.unit),
        ):
            field.setAccessibleName(f"Number, {words}")
            row.addWidget(QLabel(words))
            row.addWidget(field)
        return holder

    def _show_kind(self) -> None:
        kind: QuestionKind = self.kind.currentData()
        self.line_words.setText(LINE_WORDS[kind])
        self.lines.setEnabled(kind != "number")
        for widget in (self.value, self.within, self.none_beyond, self.unit):
            widget.setEnabled(kind == "number")

    def _add(self) -> None:
        one = posed(self._made + 1, self.typed())
        self._made += 1
        self.posed.append(one)
        self.list.addItem(f"{one.question.text} ({KIND_WORDS[one.question.kind]})")
        for widget in (self.text, self.value, self.within, self.none_beyond, self.unit, self.why):
            widget.clear()
        self.lines.clear()
        self.evidence.clear()
        self.text.setFocus()

    def _remove(self) -> None:
        row = self.list.currentRow()
        if row >= 0:
            self.list.takeItem(row)
            del self.posed[row]


def _number(field: QLineEdit) -> float | None:
    """What was typed; words that are no number count as none."""
    text = field.text().strip().replace(",", ".")
    try:
        return float(text) if text else None
    except ValueError:
        return None
