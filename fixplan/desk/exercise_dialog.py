"""Which exercise to sit, and under which label; or which one a class has sat."""

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFileDialog,
    QFormLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QWidget,
)

from fixplan.teach.shelf import shelf_titles

EXERCISE_FILTER = "Exercise (*.json)"
GRADES = {1: "first", 2: "second", 3: "third"}
NAME_ROLE = Qt.ItemDataRole.UserRole


class ExerciseDialog(QDialog):
    """The shipped exercises, the easiest first, or a file."""

    def __init__(
        self, folder: Path, parent: QWidget | None = None, *, with_label: bool = True
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Sit an exercise")
        self._folder, self._with_label = folder, with_label
        form = QFormLayout(self)
        form.setVerticalSpacing(9)
        self.list = QListWidget()
        self.list.setAccessibleName("Exercises")
        for name, title, limb, grade in shelf_titles():
            self._add(name, f"{GRADES[grade]} grade · {limb} · {title}")
        self.list.setCurrentRow(0)
        self.list.itemActivated.connect(lambda _: self._accept_if_ready())
        form.addRow(self.list)
        self.file = QPushButton("From a file…")
        self.file.setAutoDefault(False)
        self.file.clicked.connect(self._ask_file)
        form.addRow(self.file)
        self.label = QLineEdit()
        self.label.setMaxLength(60)
        self.label.setAccessibleName("Your label")
        self.label.setPlaceholderText("the label you were given, not your name")
        if with_label:
            form.addRow("Your &label", self.label)
            form.addRow(QLabel("What is open now is closed; you are asked about unsaved changes."))
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        self.begin = buttons.button(QDialogButtonBox.StandardButton.Ok)
        self.begin.setText("Begin" if with_label else "Choose")
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        form.addRow(buttons)
        self.label.setVisible(with_label)
        self.label.textChanged.connect(self._judge)
        letter = self.fontMetrics().averageCharWidth()
        self.resize(78 * letter, 30 * self.fontMetrics().height())
        self._judge()
        (self.label if with_label else self.list).setFocus()

    @classmethod
    def ask_exercise(cls, folder: Path, parent: QWidget | None, title: str) -> str | None:
        """The exercise alone (a shipped id or a path), or None."""
        dialog = cls(folder, parent, with_label=False)
        dialog.setWindowTitle(title)
        return dialog.chosen() if dialog.exec() == QDialog.DialogCode.Accepted else None

    @classmethod
    def ask(cls, folder: Path, parent: QWidget | None) -> tuple[str, str] | None:
        """The exercise (a shipped id or a path) and the label, or None."""
        dialog = cls(folder, parent)
        if dialog.exec() != QDialog.DialogCode.Accepted:
            return None
        return dialog.chosen(), dialog.label.text().strip()

    def chosen(self) -> str:
        """A shipped id, or a path."""
        return str(self.list.currentItem().data(NAME_ROLE))

    def _add(self, name: str, words: str) -> None:
        item = QListWidgetItem(words)
        item.setData(NAME_ROLE, name)
        self.list.addItem(item)

    def _ask_file(self) -> None:
        path, _ = QFileDialog.getOpenFileName(
            self, "Open an exercise", str(self._folder), EXERCISE_FILTER
        )
        if path:
            self._add(path, f"file · {path}")
            self.list.setCurrentRow(self.list.count() - 1)

    def _judge(self) -> None:
        self.begin.setEnabled(not self._with_label or bool(self.label.text().strip()))

    def _accept_if_ready(self) -> None:
        if self.begin.isEnabled():
            self.accept()
