"""Asks in which form the plan goes to the case notes, and for whom; what is typed is not kept."""

from datetime import datetime
from pathlib import Path

from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QGroupBox,
    QLabel,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.desk import dialogs
from fixplan.desk.panels.card import soft_label
from fixplan.errors import FixplanError, NotesError
from fixplan.notes.export import FORMS, Order, export, suggested_name
from fixplan.notes.identity import Identity, PatientSex, identity_of
from fixplan.sheet.paper import PAPERS, Page, Paper

FIELDS = {
    "family_name": ("Family name", ""),
    "given_name": ("Given name", ""),
    "number": ("Number", "Of the hospital"),
    "born": ("Born", "As 1980-01-31"),
}
SEXES: dict[str, PatientSex] = {"not given": "", "female": "F", "male": "M", "other": "O"}
KEPT_NOWHERE = (
    "Printed in the document made now and kept nowhere: not in the case, the program's settings or "
    "a file's name. Leave it empty for a document without a patient."
)


class NotesDialog(QDialog):
    """Form, paper and patient; then where to write. `written` holds the files of the last go.

    `path` is the case's own file, beside which its pictures lie.
    """

    def __init__(
        self,
        case: Case,
        findings: tuple[Finding, ...],
        place: tuple[Path, str],
        paper: Paper,
        parent: QWidget | None = None,
        *,
        path: Path | None = None,
    ) -> None:
        super().__init__(parent)
        self._case, self._findings, self._path = case, findings, path
        self._folder, self._stem = place
        self.written: tuple[Path, ...] = ()
        self.setWindowTitle("Plan for the case notes")
        column = QVBoxLayout(self)
        self.forms = QComboBox()
        self.forms.setAccessibleName("Form of the document")
        for name, made in FORMS.items():
            self.forms.addItem(made.words, name)
        self.paper = QComboBox()
        self.paper.setAccessibleName("Paper")
        self.paper.addItems(list(PAPERS))
        self.paper.setCurrentText(paper)
        form = QFormLayout()
        form.addRow("Form", self.forms)
        form.addRow("Paper", self.paper)
        column.addLayout(form)
        column.addWidget(self._patient())
        self.said = QLabel()
        self.said.setWordWrap(True)
        column.addWidget(self.said)
        column.addWidget(self._buttons())
        self.setMinimumWidth(500)
        self.forms.currentIndexChanged.connect(self._judge)
        self._judge()

    @property
    def form(self) -> str:
        """The id of the chosen form."""
        return str(self.forms.currentData())

    def choose(self, form: str) -> None:
        """Choose a form by its id."""
        self.forms.setCurrentIndex(self.forms.findData(form))

    def identity(self) -> Identity:
        """What was typed. Raises NotesError naming the field."""
        typed = {field: line.text() for field, line in self.lines.items()}
        return identity_of(**typed, sex=SEXES[self.sex.currentText()])

    def write(self, path: Path) -> None:
        """Write the plan there; what goes wrong is told here, and nothing typed is lost."""
        paper: Paper = "A3" if self.paper.currentText() == "A3" else "A4"
        try:
            order = Order(
                case=self._case,
                findings=self._findings,
                at=datetime.now().astimezone(),
                identity=self.identity(),
                paper=paper,
                lay=self._with_pictures,
            )
            self.written = export(order, self.form, path)
        except FixplanError as problem:
            self.said.setText(str(problem))
        else:
            self.accept()

    def _with_pictures(self, pages: tuple[Page, ...]) -> tuple[Page, ...]:
        from fixplan.desk.film.printed import with_pictures

        return with_pictures(pages, self._case, self._path)

    def _ask_path(self) -> None:
        ending = FORMS[self.form].ending
        suggested = self._folder / suggested_name(self._case, self._stem, self.form)
        kind = f"{FORMS[self.form].words} (*{ending})"
        path = dialogs.ask_save_path(self, "Write the plan", suggested, ending, kind)
        if path is not None:
            self.write(path)

    def _patient(self) -> QGroupBox:
        box = QGroupBox("Patient, for this document only")
        form = QFormLayout()
        self.lines: dict[str, QLineEdit] = {}
        for field, (label, hint) in FIELDS.items():
            line = QLineEdit()
            line.setAccessibleName(label)
            line.setPlaceholderText(hint)
            line.textChanged.connect(self._judge)
            self.lines[field] = line
            form.addRow(label, line)
        self.sex = QComboBox()
        self.sex.setAccessibleName("Sex in the record")
        self.sex.addItems(list(SEXES))
        form.addRow("Sex", self.sex)
        column = QVBoxLayout(box)
        column.addLayout(form)
        column.addWidget(soft_label(KEPT_NOWHERE))
        return box

    def _buttons(self) -> QDialogButtonBox:
        buttons = QDialogButtonBox()
        self.go = buttons.addButton("Write\u2026", QDialogButtonBox.ButtonRole.ActionRole)
        self.go.setDefault(True)
        self.go.setMinimumWidth(100)
        self.go.clicked.connect(self._ask_path)
        buttons.addButton(QDialogButtonBox.StandardButton.Cancel)
        buttons.rejected.connect(self.reject)
        return buttons

    def _judge(self) -> None:
        """Say what no record would take; words have no paper."""
        self.paper.setEnabled(FORMS[self.form].is_painted)
        try:
            self.identity()
        except NotesError as problem:
            self.said.setText(str(problem))
        else:
            self.said.setText("")
        self.go.setEnabled(not self.said.text())
