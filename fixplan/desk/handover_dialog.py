"""What changed since another version, with whom it was discussed, and pages for who takes over."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFileDialog,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fixplan.case import edits
from fixplan.case.built_records import Talk
from fixplan.case.records import Case
from fixplan.case.safe_write import backup_of
from fixplan.checks.run import check, open_case
from fixplan.desk import dialogs
from fixplan.desk.bench import Bench
from fixplan.desk.panels.card import soft_label
from fixplan.errors import FixplanError
from fixplan.notes.files import write_documents
from fixplan.notes.handover import Earlier, change_lines, phone_pages, unit_pages
from fixplan.notes.one_page import PHONE_DPI
from fixplan.notes.section import Told

NOTHING, SAVED, BACKUP, OTHER = (
    "no other version",
    "the case as last saved",
    "the version before the last save",
    "another file\u2026",
)
TALK = {
    "discussed_with": ("Discussed with", "A role, such as vascular surgeon on call"),
    "agreed_at": ("Agreed at", "As 21:40"),
    "agreed": ("Agreed", "Such as frame first, then repair"),
}


class HandoverDialog(QDialog):
    """Works on the open case; what was agreed goes into the case, one step of undo each."""

    def __init__(self, bench: Bench, place: tuple[Path, str], parent: QWidget | None) -> None:
        super().__init__(parent)
        self._document = bench.document
        self._folder, self._stem = place
        self.earlier: Earlier | None = None
        self.written: tuple[Path, ...] = ()
        self.setWindowTitle("Handover")
        self.resize(640, 620)
        column = QVBoxLayout(self)
        column.addLayout(self._versions())
        self.changes = QPlainTextEdit()
        self.changes.setAccessibleName("What changed")
        self.changes.setReadOnly(True)
        column.addWidget(self.changes, 1)
        column.addLayout(self._talk_form())
        self.talks = soft_label("")
        self.talks.setAccessibleName("What was discussed")
        column.addWidget(self.talks)
        self.said = QLabel()
        self.said.setWordWrap(True)
        column.addWidget(self.said)
        column.addLayout(self._foot())
        self._show()

    @property
    def told(self) -> Told:
        """The plan as it is now."""
        now = datetime.now().astimezone()
        case, findings = self._document.case, self._document.findings
        return Told(case=case, findings=findings, dated=f"{now:%Y-%m-%d %H:%M %Z}", at=now)

    def compare_with(self, path: Path) -> None:
        """Compare with the case of a file; one that cannot be read is told, and nothing changes."""
        try:
            case = open_case(path).case
        except FixplanError as problem:
            self.said.setText(str(problem))
            return
        self.earlier = Earlier(case=case, findings=check(case))
        self._show()

    def add_talk(self) -> None:
        """Put what was agreed into the case."""
        typed = {field: line.text().strip() for field, line in self.lines.items()}
        if not typed["discussed_with"]:
            self.said.setText("Fill in with whom it was discussed.")
            return
        case = self._document.case

        def changed() -> Case:
            return edits.change_case(case, talks=(*case.talks, Talk(**typed)))

        if self._commit("Note what was agreed", changed):
            for line in self.lines.values():
                line.clear()

    def take_back_talk(self) -> None:
        """Take the last thing that was agreed out of the case."""
        case = self._document.case
        self._commit(
            "Take back what was agreed", lambda: edits.change_case(case, talks=case.talks[:-1])
        )

    def write_page(self, path: Path) -> None:
        """The page for the receiving unit, as PDF."""
        from fixplan.sheet.paint import pdf_bytes

        self._write({path: pdf_bytes(unit_pages(self.told, self.earlier), "Handover")})

    def write_picture(self, path: Path) -> None:
        """The tall picture for a telephone, as PNG."""
        from fixplan.sheet.paint import png_bytes

        (page,) = phone_pages(self.told, self.earlier)
        self._write({path: png_bytes(page, PHONE_DPI)})

    def _write(self, files: dict[Path, bytes]) -> None:
        try:
            self.written = write_documents(files)
        except FixplanError as problem:
            self.said.setText(str(problem))
        else:
            self.said.setText(f"Written: {', '.join(str(path) for path in files)}")

    def _commit(self, text: str, change: Callable[[], Case]) -> bool:
        try:
            case = change()
        except FixplanError as problem:
            self.said.setText(str(problem))
            return False
        self._document.commit(text, case)
        self._show()
        return True

    # Building

    def _versions(self) -> QFormLayout:
        self.versions = QComboBox()
        self.versions.setAccessibleName("Compare with")
        self.versions.addItems([NOTHING, *self._own_versions(), OTHER])
        self.versions.activated.connect(self._pick)
        form = QFormLayout()
        form.addRow("Compare with", self.versions)
        return form

    def _own_versions(self) -> tuple[str, ...]:
        path = self._document.path
        if path is None:
            return ()
        files = {SAVED: path, BACKUP: backup_of(path)}
        return tuple(words for words, file in files.items() if file.is_file())

    def _talk_form(self) -> QFormLayout:
        form = QFormLayout()
        self.lines: dict[str, QLineEdit] = {}
        for field, (label, hint) in TALK.items():
            line = QLineEdit()
            line.setAccessibleName(label)
            line.setPlaceholderText(hint)
            line.setMaxLength(200)
            self.lines[field] = line
            form.addRow(label, line)
        row = QHBoxLayout()
        row.addWidget(_button("&Add to the case", self.add_talk))
        self.back = _button("Take the last &back", self.take_back_talk)
        row.addWidget(self.back)
        row.addStretch(1)
        form.addRow(row)
        return form

    def _foot(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.addWidget(_button("Page for the &unit, PDF\u2026", self._ask_page))
        row.addWidget(_button("Picture for a &telephone, PNG\u2026", self._ask_picture))
        row.addStretch(1)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        row.addWidget(buttons)
        return row

    # Showing and asking

    def _show(self) -> None:
        self.said.setText("")
        told = self.told
        if self.earlier is None:
            self.changes.setPlainText("Choose a version above to see what changed since.")
        else:
            self.changes.setPlainText("\n".join(change_lines(told, self.earlier)))
        lines = [
            f"Discussed with {talk.discussed_with}"
            f"{f', agreed at {talk.agreed_at}' if talk.agreed_at else ''}"
            f"{f': {talk.agreed}' if talk.agreed else ''}"
            for talk in told.case.talks
        ]
        self.talks.setText("\n".join(lines) or "Nothing is noted as discussed yet.")
        self.back.setEnabled(bool(told.case.talks))

    def _pick(self) -> None:
        chosen, path = self.versions.currentText(), self._document.path
        if chosen == NOTHING:
            self.earlier = None
            self._show()
        elif chosen == OTHER:
            file, _ = QFileDialog.getOpenFileName(
                self, "Compare with", str(self._folder), dialogs.CASE_FILTER
            )
            if file:
                self.compare_with(Path(file))
        elif path is not None:
            self.compare_with(path if chosen == SAVED else backup_of(path))

    def _ask_page(self) -> None:
        path = self._asked("Page for the receiving unit", ".pdf", "PDF (*.pdf)")
        if path is not None:
            self.write_page(path)

    def _ask_picture(self) -> None:
        path = self._asked("Picture for a telephone", ".png", "PNG (*.png)")
        if path is not None:
            self.write_picture(path)

    def _asked(self, title: str, ending: str, kind: str) -> Path | None:
        suggested = self._folder / f"{self._stem}-handover{ending}"
        return dialogs.ask_save_path(self, title, suggested, ending, kind)


def _button(words: str, work: object) -> QPushButton:
    button = QPushButton(words)
    button.setAutoDefault(False)
    button.clicked.connect(work)
    return button
