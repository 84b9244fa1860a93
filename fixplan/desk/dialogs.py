"""The questions the desk asks, one function `ask_...` each, so that tests can answer them."""

from functools import cache
from pathlib import Path
from typing import Literal

import msgspec
from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFileDialog,
    QInputDialog,
    QLabel,
    QListWidget,
    QMessageBox,
    QPlainTextEdit,
    QVBoxLayout,
    QWidget,
)

from fixplan.checks.finding import Finding
from fixplan.limb.library import load_toml

CASE_FILTER = "Case (*.json)"
Answer = Literal["save", "discard", "cancel"]
RecoveryAnswer = Literal["recover", "saved", "discard", "later"]


class Reasons(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """resources/help/reasons.toml: usual reasons for keeping a finding."""

    schema: int
    reasons: tuple[str, ...]


class ReasonDialog(QDialog):
    """Why a finding is kept: a quick pick, or one's own words."""

    def __init__(self, finding: Finding, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Accept a finding")
        column = QVBoxLayout(self)
        words = QLabel(f"{finding.severity.capitalize()}: {finding.message}")
        words.setWordWrap(True)
        column.addWidget(words)
        column.addWidget(QLabel("It stays visible and is printed with the reason:"))
        self.picks = QListWidget()
        self.picks.setAccessibleName("Usual reasons")
        self.picks.addItems(list(quick_picks()))
        self.picks.currentTextChanged.connect(self._pick)
        self.picks.itemActivated.connect(lambda _: self.accept())
        column.addWidget(self.picks)
        self.reason = QPlainTextEdit()
        self.reason.setAccessibleName("Reason")
        self.reason.setPlaceholderText("or in your own words")
        self.reason.setTabChangesFocus(True)
        self.reason.setMaximumHeight(90)
        self.reason.textChanged.connect(self._judge)
        column.addWidget(self.reason)
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        self.keep = buttons.button(QDialogButtonBox.StandardButton.Ok)
        self.keep.setText("Accept")
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        column.addWidget(buttons)
        self.setMinimumWidth(460)
        self.reason.setFocus()  # typing is one's own reason, never a search in the list
        self._judge()

    @classmethod
    def ask(cls, finding: Finding, parent: QWidget | None) -> str | None:
        """The reason, or None."""
        dialog = cls(finding, parent)
        return dialog.words() if dialog.exec() == QDialog.DialogCode.Accepted else None

    def words(self) -> str:
        """The reason as typed or picked."""
        return self.reason.toPlainText().strip()

    def _pick(self, text: str) -> None:
        self.reason.setPlainText(text)

    def _judge(self) -> None:
        self.keep.setEnabled(0 < len(self.words()) <= 500)


@cache
def quick_picks() -> tuple[str, ...]:
    """Usual reasons, from resources/help/reasons.toml. Raises LibraryError."""
    return load_toml("help/reasons.toml", Reasons).reasons


def ask_open_path(parent: QWidget | None, folder: Path) -> Path | None:
    """A case to open, or None."""
    chosen, _ = QFileDialog.getOpenFileName(parent, "Open a case", str(folder), CASE_FILTER)
    return Path(chosen) if chosen else None


def ask_file(parent: QWidget | None, title: str, folder: Path, kinds: str) -> Path | None:
    """A file to read, or None."""
    chosen, _ = QFileDialog.getOpenFileName(parent, title, str(folder), kinds)
    return Path(chosen) if chosen else None


def ask_save_path(
    parent: QWidget | None, title: str, suggested: Path, ending: str, kind: str
) -> Path | None:
    """Where to write, or None; the ending is added where it is missing."""
    chosen = ask_save_kind(parent, title, suggested, ending, (kind,))
    return None if chosen is None else chosen[0]


def ask_save_kind(
    parent: QWidget | None, title: str, suggested: Path, ending: str, kinds: tuple[str, ...]
) -> tuple[Path, str] | None:
    """Where to write and which of the kinds offered, or None."""
    dialog = QFileDialog(parent, title, str(suggested.parent))
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    dialog.setNameFilters(list(kinds))
    dialog.setDefaultSuffix(ending.removeprefix("."))
    dialog.selectFile(suggested.name)
    if dialog.exec() != QDialog.DialogCode.Accepted or not dialog.selectedFiles():
        return None
    kind = dialog.selectedNameFilter()
    return Path(dialog.selectedFiles()[0]), kind if kind in kinds else kinds[0]


def ask_unsaved(parent: QWidget | None, name: str) -> Answer:
    """What to do with changes that are in no file."""
    box = QMessageBox(parent)
    box.setIcon(QMessageBox.Icon.Question)
    box.setWindowTitle("Unsaved changes")
    box.setText(f"{name} has changes that are not saved.")
    save = box.addButton("Save", QMessageBox.ButtonRole.AcceptRole)
    discard = box.addButton("Do not save", QMessageBox.ButtonRole.DestructiveRole)
    cancel = box.addButton("Cancel", QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(save)
    box.setEscapeButton(cancel)
    box.exec()
    answers: dict[object, Answer] = {save: "save", discard: "discard"}
    return answers.get(box.clickedButton(), "cancel")


def ask_changed_on_disk(
    parent: QWidget | None, sentence: str
) -> Literal["replace", "as", "cancel"]:
    """What to do when another window has written the file meanwhile."""
    box = QMessageBox(parent)
    box.setIcon(QMessageBox.Icon.Warning)
    box.setWindowTitle("The file has changed")
    box.setText(sentence)
    other = box.addButton("Save under another name…", QMessageBox.ButtonRole.AcceptRole)
    replace = box.addButton("Replace it", QMessageBox.ButtonRole.DestructiveRole)
    cancel = box.addButton("Cancel", QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(other)
    box.setEscapeButton(cancel)
    box.exec()
    if box.clickedButton() is other:
        return "as"
    return "replace" if box.clickedButton() is replace else "cancel"


def ask_recovery(
    parent: QWidget | None, name: str, written_at: str, has_file: bool
) -> RecoveryAnswer:
    """What to do with a copy that a lost window has left."""
    box = QMessageBox(parent)
    box.setIcon(QMessageBox.Icon.Question)
    box.setWindowTitle("Recovery copy")
    box.setText(f"A window was lost with unsaved changes to {name}, last copied {written_at}.")
    recover = box.addButton("Recover", QMessageBox.ButtonRole.AcceptRole)
    saved = None
    if has_file:
        saved = box.addButton("Open the saved file", QMessageBox.ButtonRole.ActionRole)
    discard = box.addButton("Discard the copy", QMessageBox.ButtonRole.DestructiveRole)
    later = box.addButton("Later", QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(recover)
    box.setEscapeButton(later)
    box.exec()
    clicked = box.clickedButton()
    if clicked is recover:
        return "recover"
    if saved is not None and clicked is saved:
        return "saved"
    return "discard" if clicked is discard else "later"


def ask_choice(
    parent: QWidget | None, title: str, label: str, choices: tuple[str, ...]
) -> str | None:
    """One of a few, or None."""
    chosen, is_given = QInputDialog.getItem(parent, title, label, list(choices), 0, False)
    return chosen if is_given else None


def tell(parent: QWidget | None, title: str, sentence: str) -> None:
    """Tell one sentence."""
    box = QMessageBox(parent)
    box.setIcon(QMessageBox.Icon.Information)
    box.setWindowTitle(title)
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(sentence)
    box.addButton("OK", QMessageBox.ButtonRole.AcceptRole)
    box.exec()


def ask_sure(parent: QWidget | None, title: str, words: str, yes: str) -> bool:
    """Whether the user means it."""
    box = QMessageBox(QMessageBox.Icon.Warning, title, words, parent=parent)
    agree = box.addButton(yes, QMessageBox.ButtonRole.AcceptRole)
    box.addButton("Cancel", QMessageBox.ButtonRole.RejectRole)
    box.exec()
    return box.clickedButton() is agree
