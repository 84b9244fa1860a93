"""Questions beyond pins, answered in the card: one choice, several, an order, or a number."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QButtonGroup,
    QCheckBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QRadioButton,
    QVBoxLayout,
    QWidget,
)

from fixplan.desk.guard import guarded
from fixplan.desk.panels.card import soft_label
from fixplan.teach.records import Question, Reply

ID_ROLE = Qt.ItemDataRole.UserRole


class QuestionField(QWidget):
    """One question; `changed` tells of another reply."""

    changed = Signal()

    def __init__(self, question: Question, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.question = question
        self.setAccessibleName(question.text)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 4, 0, 4)
        self.column.setSpacing(3)
        words = QLabel(question.text)
        words.setWordWrap(True)
        self.column.addWidget(words)

    def reply(self) -> Reply | None:
        """The reply as it stands; None for none."""
        raise NotImplementedError

    def show_reply(self, reply: Reply) -> None:
        """Show a reply that was given before."""
        raise NotImplementedError


class ChoiceField(QuestionField):
    """Choose one, or several."""

    def __init__(self, question: Question, parent: QWidget | None = None) -> None:
        super().__init__(question, parent)
        self.buttons: dict[str, QRadioButton | QCheckBox] = {}
        group = QButtonGroup(self)
        group.setExclusive(question.kind == "one")
        for choice in question.choices:
            button = QRadioButton() if question.kind == "one" else QCheckBox()
            button.setAccessibleName(choice.text)
            button.toggled.connect(self.changed)
            group.addButton(button)
            self.buttons[choice.id] = button
            self._add_row(button, choice.text)

    def _add_row(self, button: QRadioButton | QCheckBox, text: str) -> None:
        """The button with its words beside it; buttons do not wrap, labels do."""
        words = ClickedLabel(text, button)
        row = QHBoxLayout()
        row.setSpacing(6)
        row.addWidget(button)
        row.addWidget(words, 1)
        self.column.addLayout(row)

    def reply(self) -> Reply | None:
        """What is ticked."""
        chosen = tuple(name for name, button in self.buttons.items() if button.isChecked())
        return Reply(question=self.question.id, chosen=chosen) if chosen else None

    def show_reply(self, reply: Reply) -> None:
        """Tick what was chosen."""
        for name, button in self.buttons.items():
            button.setChecked(name in reply.chosen)


class ClickedLabel(QLabel):
    """Words that wrap; a click on them is a click on their button."""

    def __init__(self, text: str, button: QRadioButton | QCheckBox) -> None:
        super().__init__(text)
        self.setWordWrap(True)
        self.setBuddy(button)
        self._button = button

    @guarded
    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Click the button."""
        del event
        self._button.click()


class OrderField(QuestionField):
    """Put in order, by drag or with the two buttons; counts once it was touched or confirmed."""

    def __init__(self, question: Question, parent: QWidget | None = None) -> None:
        super().__init__(question, parent)
        self.list = QListWidget()
        self.list.setAccessibleName(question.text)
        self.list.setDragDropMode(QAbstractItemView.DragDropMode.InternalMove)
        self.list.setWordWrap(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        for choice in question.choices:
            item = QListWidgetItem(choice.text)
            item.setData(ID_ROLE, choice.id)
            self.list.addItem(item)
        self.list.setCurrentRow(0)
        self.column.addWidget(self.list)
        self.stands = QCheckBox("This is my order")
        self.stands.toggled.connect(self.changed)
        self.earlier, self.later = QPushButton("Earlier"), QPushButton("Later")
        row = QHBoxLayout()
        for button, step in ((self.earlier, -1), (self.later, 1)):
            button.clicked.connect(lambda _=False, step=step: self._move(step))
            row.addWidget(button)
        row.addStretch(1)
        row.addWidget(self.stands)
        self.column.addLayout(row)
        self.list.model().rowsMoved.connect(lambda: self.stands.setChecked(True))
        letters = self.fontMetrics().height()
        self.list.setFixedHeight(round(2.7 * letters * len(question.choices)))

    def reply(self) -> Reply | None:
        """The order as it stands."""
        if not self.stands.isChecked():
            return None
        names = tuple(str(self.list.item(n).data(ID_ROLE)) for n in range(self.list.count()))
        return Reply(question=self.question.id, chosen=names)

    def show_reply(self, reply: Reply) -> None:
        """Put the choices in that order."""
        held = {}
        while self.list.count():
            item = self.list.takeItem(0)
            held[str(item.data(ID_ROLE))] = item
        for name in (*reply.chosen, *(name for name in held if name not in reply.chosen)):
            self.list.addItem(held[name])
        self.list.setCurrentRow(0)
        self.stands.setChecked(True)

    def _move(self, step: int) -> None:
        row = self.list.currentRow()
        target = row + step
        if row < 0 or not 0 <= target < self.list.count():
            return
        self.list.insertItem(target, self.list.takeItem(row))
        self.list.setCurrentRow(target)
        self.stands.setChecked(True)
        self.changed.emit()


class NumberField(QuestionField):
    """Give a number."""

    def __init__(self, question: Question, parent: QWidget | None = None) -> None:
        super().__init__(question, parent)
        self.typed = QLineEdit()
        self.typed.setAccessibleName(f"{question.text} {question.unit}")
        self.typed.setMaximumWidth(110)
        self.said = soft_label("")
        row = QHBoxLayout()
        row.addWidget(self.typed)
        row.addWidget(QLabel(question.unit))
        row.addWidget(self.said, 1)
        self.column.addLayout(row)
        self.typed.textChanged.connect(self._judge)

    def reply(self) -> Reply | None:
        """The number that was typed."""
        value = self._value()
        return None if value is None else Reply(question=self.question.id, value=value)

    def show_reply(self, reply: Reply) -> None:
        """Show the number."""
        self.typed.setText("" if reply.value is None else f"{reply.value:.10g}")

    def _value(self) -> float | None:
        text = self.typed.text().strip().replace(",", ".")
        try:
            value = float(text)
        except ValueError:
            return None
        return value if -1e9 <= value <= 1e9 else None

    def _judge(self) -> None:
        is_wrong = bool(self.typed.text().strip()) and self._value() is None
        self.said.setText("not a number" if is_wrong else "")
        self.changed.emit()


def field_of(question: Question) -> QuestionField:
    """The widget for a question."""
    if question.kind == "number":
        return NumberField(question)
    if question.kind == "order":
        return OrderField(question)
    return ChoiceField(question)
