"""One tray as a form: its name, kind and place, whether it is out, and its lines."""

from functools import partial

from msgspec.structs import replace
from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QFormLayout,
    QHBoxLayout,
    QLineEdit,
    QMenu,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fixplan.desk.tray_table import TrayTable
from fixplan.kit.drafts import TrayDraft
from fixplan.kit.parts import KINDS

TEXTS = {
    "name": ("Name", "Place and letter, such as Leg A"),
    "kind": ("Kind", "Trays of one kind stand in for each other"),
    "family": ("Clamp family", "One letter; clamps of two families are never mixed unasked"),
    "place": ("Where it stands", ""),
    "back_at": ("Back at", "When it is out, such as 07:00 tomorrow"),
}
TICKS = {"is_out": "Out of the house now", "is_single": "A shelf of single packs"}


class TrayForm(QWidget):
    """Shows and takes back one tray as text; `edited` after each change by the user."""

    edited = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        form = QFormLayout()
        self.texts: dict[str, QLineEdit] = {}
        for field, (label, tip) in TEXTS.items():
            self.texts[field] = _line(label, tip)
            self.texts[field].textEdited.connect(self.edited)
            form.addRow(label, self.texts[field])
        self.ticks: dict[str, QCheckBox] = {}
        for field, label in TICKS.items():
            self.ticks[field] = QCheckBox(label)
            self.ticks[field].clicked.connect(self.edited)
            form.addRow("", self.ticks[field])
        column.addLayout(form)
        self.table = TrayTable()
        self.table.edited.connect(self.edited)
        column.addWidget(self.table, 1)
        row = QHBoxLayout()
        self.adding = QPushButton("Add &line")
        self.adding.setMenu(self._kinds_menu())
        row.addWidget(self.adding)
        row.addWidget(button_for("Remove l&ines", self.table.remove_chosen))
        row.addStretch(1)
        column.addLayout(row)

    def show_draft(self, draft: TrayDraft | None) -> None:
        """Show a tray; without one the fields are grey."""
        shown = draft or TrayDraft()
        for field, line in self.texts.items():
            line.setText(getattr(shown, field))
            line.setEnabled(draft is not None)
        for field, tick in self.ticks.items():
            tick.setChecked(getattr(shown, field))
            tick.setEnabled(draft is not None)
        self.table.show_rows(shown.rows)
        self.table.setEnabled(draft is not None)

    def draft(self) -> TrayDraft:
        """The tray as typed."""
        typed: dict[str, object] = {field: line.text() for field, line in self.texts.items()}
        typed.update({field: tick.isChecked() for field, tick in self.ticks.items()})
        return replace(TrayDraft(rows=self.table.rows()), **typed)

    def _kinds_menu(self) -> QMenu:
        """The kinds of part, each of which adds a line."""
        menu = QMenu(self)
        for kind in KINDS:
            menu.addAction(kind).triggered.connect(partial(self._add_line, kind))
        return menu

    def _add_line(self, kind: str, _: bool = False) -> None:
        self.table.add_row(kind)


def _line(label: str, tip: str) -> QLineEdit:
    line = QLineEdit()
    line.setAccessibleName(label)
    line.setPlaceholderText(tip)
    line.setToolTip(tip)
    return line


def button_for(words: str, work: object) -> QPushButton:
    """A button that runs work; Enter in a field does not press it."""
    button = QPushButton(words)
    button.setAutoDefault(False)
    button.clicked.connect(work)
    return button
