"""Making an exercise: questions beyond pins, typed a line a choice."""

from collections.abc import Sequence
from itertools import count
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

from fixplan.desk.sheet_hold import Attempt
from fixplan.teach.posing import Posed, Typed, posed, typed_of
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
        self._changed: int | None = None
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
        self.change = QPushButton("Change the chosen one")
        self.remove = QPushButton("Remove the chosen one")
        self.line_words = QLabel()
        self._lay()
        self.kind.currentIndexChanged.connect(self._show_kind)
        self.add.clicked.connect(lambda: attempt(self._add))
        self.change.clicked.connect(self._change)
        self.remove.clicked.connect(self._remove)
        self._show_kind()

    def show_posed(self, posed: Sequence[Posed]) -> None:
        """The questions of an exercise that is changed."""
        self.posed = list(posed)
        self._list_anew()

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
        row.addWidget(self.change)
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
        if self._changed is None:
            taken = {one.question.id for one in self.posed}
            number = next(n for n in count(1) if f"q{n}" not in taken)
            self.posed.append(posed(number, self.typed()))
        else:
            was = self.posed[self._changed]
            self.posed[self._changed] = posed(0, self.typed(), was)
        self._list_anew()
        self._clear()

    def _change(self) -> None:
        """Show the chosen question in the fields, to be changed there."""
        row = self.list.currentRow()
        if row < 0:
            return
        typed = typed_of(self.posed[row])
        self.kind.setCurrentIndex(self.kind.findData(typed.kind))
        self.text.setText(typed.text)
        self.lines.setPlainText(typed.lines)
        for field, number in (
            (self.value, typed.value),
            (self.within, typed.within),
            (self.none_beyond, typed.none_beyond),
        ):
            field.setText(f"{number:.10g}" if typed.kind == "number" and number is not None else "")
        self.unit.setText(typed.unit)
        self.points.setValue(typed.weight)
        self.why.setText(typed.why)
        self.evidence.setText(typed.evidence)
        self._changed = row
        self.add.setText("Keep the change")
        self.text.setFocus()

    def _list_anew(self) -> None:
        self._changed = None
        self.add.setText("Add the question")
        self.list.clear()
        for one in self.posed:
            self.list.addItem(f"{one.question.text} ({KIND_WORDS[one.question.kind]})")

    def _clear(self) -> None:
        for widget in (self.text, self.value, self.within, self.none_beyond, self.unit, self.why):
            widget.clear()
        self.lines.clear()
        self.evidence.clear()
        self.text.setFocus()

    def _remove(self) -> None:
        row = self.list.currentRow()
        if row >= 0:
            del self.posed[row]
            self._list_anew()


def _number(field: QLineEdit) -> float | None:
    """What was typed; words that are no number count as none."""
    text = field.text().strip().replace(",", ".")
    try:
        return float(text) if text else None
    except ValueError:
        return None
