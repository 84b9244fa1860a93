"""A list of records with its inputs: choose one, add, take out, and change it field by field."""

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fixplan.case.scalars import Record
from fixplan.desk.panels.care_fields import WHOLE
from fixplan.desk.panels.fields import Field
from fixplan.desk.panels.inputs import INPUTS, ChoiceBox, Input

Change = Callable[[str, object], None]


class RecordForm(QWidget):
    """The inputs of one record; they are laid out anew when the fields differ."""

    def __init__(self, change: Change, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._change = change
        self._fields: tuple[Field, ...] = ()
        self._inputs: dict[str, Input] = {}
        self._form = QFormLayout(self)
        self._form.setContentsMargins(0, 0, 0, 0)
        self._form.setVerticalSpacing(5)
        self._form.setLabelAlignment(Qt.AlignmentFlag.AlignLeft)
        self._form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)

    def input_of(self, name: str) -> Input:
        """The input of a property, for those who need to find it."""
        return self._inputs[name]

    def show_record(self, fields: tuple[Field, ...], record: Record) -> None:
        """Show what a record holds."""
        if fields != self._fields:
            self._lay_out(fields)
        for name, made in self._inputs.items():
            made.show_value(getattr(record, name))

    def show_only(self, hidden: Sequence[str]) -> None:
        """Hide the rows of these properties, show the others."""
        for name, made in self._inputs.items():
            self._form.setRowVisible(made, name not in hidden)

    def _lay_out(self, fields: tuple[Field, ...]) -> None:
        while self._form.rowCount():
            self._form.removeRow(0)
        self._fields, self._inputs = fields, {}
        for field in fields:
            made = INPUTS[field.kind](field, partial(self._tell, field.name))
            self._inputs[field.name] = made
            label = QLabel(field.label)
            label.setBuddy(made.editor())
            self._form.addRow(label, made)

    def _tell(self, name: str, value: object) -> None:
        if name in WHOLE and isinstance(value, float):
            value = round(value)
        self._change(name, value)


class RecordList(QWidget):
    """Chooses one record of a list, adds one, takes one out, and holds its form."""

    def __init__(
        self,
        noun: str,
        change: Change,
        add: Callable[[], object],
        take_out: Callable[[], object],
        shown: Callable[[], object],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.chooser = ChoiceBox()
        self.chooser.setAccessibleName(f"Which {noun}")
        self.chooser.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.chooser.setMinimumContentsLength(8)
        self.chooser.activated.connect(lambda _: shown())
        self.add = _button("Add", f"Add a {noun}", add)
        self.remove = _button("Take out", f"Take this {noun} out", take_out)
        self.form = RecordForm(change)
        row = QHBoxLayout()
        row.addWidget(self.chooser, 1)
        row.addWidget(self.add)
        row.addWidget(self.remove)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(row)
        column.addWidget(self.form)

    @property
    def chosen(self) -> str:
        """The id of the chosen record; empty when there is none."""
        return str(self.chooser.currentData() or "")

    def show_list(self, named: Sequence[tuple[str, str]]) -> None:
        """Show the records by id and words; the chosen one stays, a new one is chosen."""
        before = [self.chooser.itemData(row) for row in range(self.chooser.count())]
        new = [id_ for id_, _ in named if id_ not in before]
        kept = new[-1] if new else self.chosen
        self.chooser.clear()
        for id_, words in named:
            self.chooser.addItem(words, id_)
        row = next((row for row, (id_, _) in enumerate(named) if id_ == kept), 0)
        self.chooser.setCurrentIndex(row if named else -1)
        self.chooser.setVisible(bool(named))
        self.remove.setVisible(bool(named))
        self.form.setVisible(bool(named))


def _button(words: str, name: str, work: Callable[[], object]) -> QPushButton:
    button = QPushButton(words)
    button.setAccessibleName(name)
    button.setToolTip(name)
    button.setAutoDefault(False)
    button.clicked.connect(lambda _: work())
    return button
