"""Making an exercise, first page: title, task, kit, hints, time, what passes; and what is shown."""

from collections.abc import Mapping
from typing import NamedTuple

from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDoubleSpinBox,
    QFormLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QVBoxLayout,
    QWidget,
)

from fixplan.case.records import Case
from fixplan.teach.asking import asked_kind
from fixplan.teach.draft import Draft, Placing, region_words, regions_of

PLACINGS: tuple[tuple[Placing, str], ...] = (
    ("shown", "the trainee sees it"),
    ("hidden", "hidden, but it counts"),
    ("asked", "hidden; the trainee is to draw it"),
)


class TaskWords(NamedTuple):
    """What was typed on the first page."""

    title: str
    task: str
    grade: int
    kit_at_hand: str
    live_findings: bool
    hints: tuple[str, ...]
    time_limit_min: float | None
    pass_percent: float
    stop_fails: bool
    remarks: str


class TaskPage(QWidget):
    """The words of the exercise."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.title = QLineEdit()
        self.title.setMaxLength(200)
        self.task = _text(5)
        self.kit = _text(2)
        self.hints = _text(3)
        self.remarks = _text(2)
        self.grade = QComboBox()
        for grade, words in ((1, "first (easiest)"), (2, "second"), (3, "third")):
            self.grade.addItem(words, grade)
        self.minutes = QDoubleSpinBox()
        self.minutes.setDecimals(1)
        self.minutes.setRange(0, 1000)
        self.minutes.setSpecialValueText("no limit")
        self.minutes.setSuffix(" min")
        self.passes = QDoubleSpinBox()
        self.passes.setRange(0, 100)
        self.passes.setDecimals(1)
        self.passes.setSuffix(" %")
        self.passes.setValue(80)
        self.live = QCheckBox("Findings are shown while the trainee plans")
        self.stops = QCheckBox("Does not pass with a stop of a rule that counts")
        self.stops.setChecked(True)
        form = QFormLayout(self)
        for words, widget in (
            ("&Title", self.title),
            ("Tas&k in words", self.task),
            ("Kit at hand", self.kit),
            ("Hints, one a line", self.hints),
            ("Grade", self.grade),
            ("Time limit", self.minutes),
            ("Passes from", self.passes),
            ("", self.live),
            ("", self.stops),
            ("Remarks, for teachers", self.remarks),
        ):
            if words:
                widget.setAccessibleName(words.replace("&", ""))
            form.addRow(words, widget)

    def show_draft(self, draft: Draft) -> None:
        """The words of an exercise that is changed."""
        self.title.setText(draft.title)
        self.task.setPlainText(draft.task)
        self.kit.setPlainText(draft.kit_at_hand)
        self.hints.setPlainText("\n".join(draft.hints))
        self.remarks.setPlainText(draft.remarks)
        self.grade.setCurrentIndex(self.grade.findData(draft.grade))
        self.minutes.setValue(draft.time_limit_min or 0.0)
        self.passes.setValue(draft.pass_percent)
        self.live.setChecked(draft.live_findings)
        self.stops.setChecked(draft.stop_fails)

    def words(self) -> TaskWords:
        """What was typed."""
        lines = self.hints.toPlainText().splitlines()
        return TaskWords(
            title=self.title.text().strip(),
            task=self.task.toPlainText().strip(),
            grade=int(self.grade.currentData()),
            kit_at_hand=self.kit.toPlainText().strip(),
            live_findings=self.live.isChecked(),
            hints=tuple(line.strip() for line in lines if line.strip()),
            time_limit_min=self.minutes.value() or None,
            pass_percent=self.passes.value(),
            stop_fails=self.stops.isChecked(),
            remarks=self.remarks.toPlainText().strip(),
        )


class ShownPage(QWidget):
    """For each thing that is drawn: shown, hidden, or to be drawn by the trainee."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.choices: dict[str, QComboBox] = {}
        self.weight = QDoubleSpinBox()
        self.weight.setRange(0, 100)
        self.weight.setValue(5)
        self.weight.setAccessibleName("Points for each region to be drawn")
        self._rows = QWidget()
        self._column = QVBoxLayout(self)
        self._column.addWidget(self._rows)
        foot = QFormLayout()
        foot.addRow("Points for each region to be drawn", self.weight)
        self._column.addLayout(foot)
        self._column.addStretch(1)

    def show_draft(self, draft: Draft) -> None:
        """What is hidden in an exercise that is changed."""
        self.weight.setValue(draft.asked_weight)
        self.show_case(draft.case, draft.placing)

    def show_case(self, case: Case, placing: Mapping[str, Placing] | None = None) -> None:
        """List what is drawn in the case; what was chosen before, or in `placing`, stays."""
        before = self.placing() if placing is None else placing
        self.choices.clear()
        rows = QWidget()
        form = QFormLayout(rows)
        form.setContentsMargins(0, 0, 0, 0)
        for thing in regions_of(case):
            box = _placing_box(asked_kind(thing) is not None)
            name = region_words(thing)
            box.setAccessibleName(name)
            box.setCurrentIndex(max(box.findData(before.get(thing.id, "shown")), 0))
            self.choices[thing.id] = box
            form.addRow(name, box)
        if not self.choices:
            form.addRow(QLabel("No fracture, wound, injury or later fixation is drawn."))
        self._column.replaceWidget(self._rows, rows)
        self._rows.hide()
        self._rows.deleteLater()
        self._rows = rows

    def placing(self) -> Mapping[str, Placing]:
        """What was chosen, by id."""
        return {name: box.currentData() for name, box in self.choices.items()}


def _placing_box(can_be_asked: bool) -> QComboBox:
    box = QComboBox()
    for placing, words in PLACINGS:
        if placing != "asked" or can_be_asked:
            box.addItem(words, placing)
    return box


def _text(lines: int) -> QPlainTextEdit:
    editor = QPlainTextEdit()
    editor.setTabChangesFocus(True)
    editor.setFixedHeight(round((lines + 1) * 1.15 * editor.fontMetrics().height()))
    return editor
