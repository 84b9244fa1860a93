"""The panel of a sitting: task, kit, time, hints, questions, and the way to hand in."""

from PySide6.QtCore import Qt, Signal, SignalInstance
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from fixplan.desk.panels.card import Card, soft_label
from fixplan.desk.panels.question_fields import QuestionField, field_of
from fixplan.teach.records import AskedKind, Exercise, Reply
from fixplan.teach.sitting import Sitting, time_words

TOOL_FOR: dict[AskedKind, str] = {
    "injury": "with Injury (I)",
    "wound": "with Wound (W)",
    "plate": "with Later fixation (L)",
    "nail": "with Later fixation (L)",
    "incision": "with Later fixation (L)",
    "outline": "with Later fixation (L)",
}
LETTERS_WIDE = 40


class ExercisePanel(QWidget):
    """Signals: a hint, handing in, the mark, saving the answer, pausing, leaving; another reply."""

    hint_asked = Signal()
    hand_in_asked = Signal()
    mark_asked = Signal()
    save_asked = Signal()
    leave_asked = Signal()
    pause_asked = Signal()
    replied = Signal()

    def __init__(self, exercise: Exercise, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("column")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._exercise = exercise
        self.fields: tuple[QuestionField, ...] = tuple(map(field_of, exercise.questions))
        self.time = QLabel()
        self.time.setAccessibleName("Time")
        self.time.setWordWrap(True)
        self.time.hide()
        self.hints = _words("")
        self.hints.setAccessibleName("Hints")
        self.hint = self._button("Hint", self.hint_asked)
        self.hand_in = self._button("Hand in", self.hand_in_asked)
        self.mark = self._button("Show the mark", self.mark_asked)
        self.save = self._button("Save the answer…", self.save_asked)
        self.pause = self._button("Save, to go on later…", self.pause_asked)
        self.pause.setToolTip("Plan, replies, tries and the time used so far, as a file of yours")
        self.leave = self._button("Leave the exercise", self.leave_asked)
        self.state = soft_label("")
        outer = QVBoxLayout(self)
        outer.setContentsMargins(8, 8, 4, 8)
        outer.addWidget(self._scrolled(), 1)
        outer.addWidget(self._foot())
        self.setMinimumWidth(LETTERS_WIDE * self.fontMetrics().averageCharWidth())

    def replies(self) -> tuple[Reply, ...]:
        """What has been replied."""
        return tuple(reply for one in self.fields if (reply := one.reply()) is not None)

    def show_replies(self, replies: tuple[Reply, ...]) -> None:
        """What was replied before the sitting was interrupted."""
        given = {one.question: one for one in replies}
        for field in self.fields:
            if field.question.id in given:
                field.show_reply(given[field.question.id])

    def show_time(self, minutes: float) -> None:
        """The time that is left; nothing without a limit."""
        words = time_words(self._exercise, minutes)
        if words != self.time.text():
            self.time.setText(words)
            self.time.setVisible(bool(words))

    def show_sitting(self, sitting: Sitting, percents: tuple[float, ...]) -> None:
        """Hints that were asked for, and what was handed in with its marks."""
        shown = self._exercise.hints[: sitting.hints]
        self.hints.setText("\n".join(f"{n}. {text}" for n, text in enumerate(shown, 1)))
        self.hints.setVisible(bool(shown))
        left = len(self._exercise.hints) - sitting.hints
        self.hint.setVisible(left > 0)
        self.hint.setText(f"Hint ({left} left)")
        self.state.setText(_state_words(sitting, percents))
        self.hand_in.setText("Hand in again" if sitting.tries else "Hand in")
        self.mark.setVisible(bool(sitting.tries) and sitting.can_be_marked)
        self.save.setVisible(bool(sitting.tries))

    def _scrolled(self) -> QScrollArea:
        inner = QWidget()
        rows = QVBoxLayout(inner)
        rows.setContentsMargins(0, 0, 4, 0)
        rows.setSpacing(8)
        rows.addWidget(self._task())
        if self.fields:
            rows.addWidget(self._questions())
        rows.addStretch(1)
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setWidget(inner)
        return area

    def _task(self) -> Card:
        card = Card("Task")
        card.body.addWidget(_words(self._exercise.title, is_bold=True))
        card.body.addWidget(_words(self._exercise.task))
        for asked in self._exercise.asked:
            card.body.addWidget(_words(f"{asked.text} ({TOOL_FOR[asked.kind]})."))
        if self._exercise.kit_at_hand:
            card.body.addWidget(soft_label(f"Kit at hand: {self._exercise.kit_at_hand}"))
        if not self._exercise.live_findings:
            card.body.addWidget(soft_label("Findings are not shown before you hand in."))
        card.body.addWidget(self.hints)
        row = QHBoxLayout()
        row.addWidget(self.hint)
        row.addStretch(1)
        card.body.addLayout(row)
        return card

    def _questions(self) -> Card:
        card = Card("Questions")
        for field in self.fields:
            field.changed.connect(self.replied)
            card.body.addWidget(field)
        return card

    def _foot(self) -> Card:
        card = Card("Hand in")
        card.body.addWidget(self.time)
        card.body.addWidget(self.state)
        for pair in ((self.hand_in, self.mark), (self.pause, self.leave), (self.save,)):
            row = QHBoxLayout()
            for button in pair:
                row.addWidget(button)
            row.addStretch(1)
            card.body.addLayout(row)
        return card

    def _button(self, words: str, signal: SignalInstance) -> QPushButton:
        button = QPushButton(words)
        button.clicked.connect(signal)
        return button


def _words(text: str, *, is_bold: bool = False) -> QLabel:
    label = QLabel(text)
    label.setWordWrap(True)
    if is_bold:
        font = label.font()
        font.setBold(True)
        label.setFont(font)
    return label


def _state_words(sitting: Sitting, percents: tuple[float, ...]) -> str:
    if not sitting.tries:
        return "Nothing handed in yet; you may hand in more than once, all tries are kept."
    if not percents:
        return f"{len(sitting.tries)} handed in; the teacher has the key: give the saved answer."
    told = ", ".join(f"try {n}: {percent:.1f} %" for n, percent in enumerate(percents, 1))
    return f"{told[:1].upper()}{told[1:]}."
