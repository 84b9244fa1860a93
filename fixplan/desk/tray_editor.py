"""The hospital's own trays: add, rename, count, send out, import and export."""

from pathlib import Path

from msgspec.structs import replace
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QVBoxLayout,
    QWidget,
)

from fixplan.desk import dialogs
from fixplan.desk.tray_form import TrayForm, button_for
from fixplan.errors import TraysError
from fixplan.kit.drafts import TrayDraft, drafts_of, trays_of, with_name_of_its_own
from fixplan.kit.tray_files import house_trays, read_trays, write_template, write_trays
from fixplan.kit.trays import Trays, own_trays_path, shipped_trays

ENDINGS = {"CSV, for a spreadsheet (*.csv)": ".csv", "TOML (*.toml)": ".toml"}
READABLE = "Trays (*.csv *.toml)"


class TrayEditor(QDialog):
    """Edits text and judges it at each change; only what makes sense can be saved."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Trays of this hospital")
        self.path = own_trays_path()
        self._drafts: list[TrayDraft] = []
        self._at = -1
        self._build()
        self._begin()

    # What is edited

    @property
    def drafts(self) -> tuple[TrayDraft, ...]:
        """All trays as typed."""
        return tuple(self._drafts)

    def choose(self, name: str) -> None:
        """Show the tray of that name."""
        for at, draft in enumerate(self._drafts):
            if draft.name == name:
                self.names.setCurrentRow(at)

    def add_tray(self) -> None:
        """A new, empty tray."""
        self._add(TrayDraft(name="New tray"))

    def copy_tray(self) -> None:
        """A second tray like the one shown."""
        if 0 <= self._at < len(self._drafts):
            self._add(replace(self._drafts[self._at], is_out=False, back_at=""))

    def remove_tray(self) -> None:
        """Take the shown tray out of the list."""
        if 0 <= self._at < len(self._drafts):
            del self._drafts[self._at]
            self._show_all(min(self._at, len(self._drafts) - 1))

    def save(self) -> None:
        """Keep the trays where the program reads them; what cannot be kept is told."""
        try:
            write_trays(trays_of(self._drafts), self.path)
        except TraysError as problem:
            self.said.setText(str(problem))
        else:
            self.accept()

    def import_from(self, path: Path) -> None:
        """Put the trays of a file in the place of those shown; a bad file changes nothing."""
        try:
            read = read_trays(path)
        except TraysError as problem:
            self.said.setText(f"Nothing was imported. {problem}")
        else:
            self._show(read)

    def export_to(self, path: Path) -> None:
        """Write the trays as shown."""
        try:
            write_trays(trays_of(self._drafts), path)
        except TraysError as problem:
            self.said.setText(str(problem))
        else:
            self.said.setText(f"Written: {path}")

    def template_to(self, path: Path) -> None:
        """Write the invented trays as a pattern to fill in."""
        try:
            write_template(path)
        except TraysError as problem:
            self.said.setText(str(problem))
        else:
            self.said.setText(f"Written: {path}")

    # Building

    def _build(self) -> None:
        self.resize(1000, 640)
        outer = QVBoxLayout(self)
        self.origin = QLabel()
        self.origin.setWordWrap(True)
        outer.addWidget(self.origin)
        middle = QHBoxLayout()
        middle.addLayout(self._list_of_trays())
        self.form = TrayForm()
        self.form.edited.connect(self._keep)
        middle.addWidget(self.form, 1)
        outer.addLayout(middle, 1)
        self.said = QLabel()
        self.said.setWordWrap(True)
        self.said.setAccessibleName("What is wrong")
        outer.addWidget(self.said)
        outer.addLayout(self._foot())

    def _list_of_trays(self) -> QVBoxLayout:
        column = QVBoxLayout()
        self.names = QListWidget()
        self.names.setAccessibleName("Trays")
        self.names.setMaximumWidth(240)
        self.names.currentRowChanged.connect(self._turn_to)
        column.addWidget(self.names, 1)
        for words, work in (
            ("&Add tray", self.add_tray),
            ("&Copy tray", self.copy_tray),
            ("&Remove tray", self.remove_tray),
        ):
            column.addWidget(button_for(words, work))
        return column

    def _foot(self) -> QHBoxLayout:
        row = QHBoxLayout()
        for words, work in (
            ("I&mport\u2026", self._ask_import),
            ("&Export\u2026", self._ask_export),
            ("&Template\u2026", self._ask_template),
        ):
            row.addWidget(button_for(words, work))
        row.addStretch(1)
        buttons = QDialogButtonBox()
        self.keep = buttons.addButton("Save", QDialogButtonBox.ButtonRole.AcceptRole)
        buttons.addButton(QDialogButtonBox.StandardButton.Cancel)
        buttons.accepted.connect(self.save)
        buttons.rejected.connect(self.reject)
        row.addWidget(buttons)
        return row

    # Showing and keeping

    def _begin(self) -> None:
        try:
            trays = house_trays()
        except TraysError as problem:
            self._show(shipped_trays())
            self.said.setText(f"{problem}. The invented trays are shown; saving replaces that file")
            return
        self._show(trays)

    def _show(self, trays: Trays) -> None:
        whose = (
            f"These are {trays.words}; make them this hospital's own. "
            if not trays.origin
            else f"Read from {trays.origin}. "
        )
        self.origin.setText(f"{whose}They are kept in {self.path}, with no patient's details.")
        self._drafts = list(drafts_of(trays.trays))
        self._show_all(0)

    def _show_all(self, at: int) -> None:
        self.names.blockSignals(True)
        self.names.clear()
        self.names.addItems([_shown_name(draft) for draft in self._drafts])
        self.names.setCurrentRow(at)
        self.names.blockSignals(False)
        self._turn_to(at)

    def _turn_to(self, at: int) -> None:
        """Show one tray; without any the fields are grey."""
        self._at = at
        self.form.show_draft(self._drafts[at] if 0 <= at < len(self._drafts) else None)
        self._judge()

    def _add(self, draft: TrayDraft) -> None:
        self._drafts.append(with_name_of_its_own(draft, self._drafts))
        self._show_all(len(self._drafts) - 1)
        self.form.texts["name"].setFocus()
        self.form.texts["name"].selectAll()

    def _keep(self) -> None:
        """Take over what is typed, and judge it."""
        if not 0 <= self._at < len(self._drafts):
            return
        self._drafts[self._at] = self.form.draft()
        self.names.item(self._at).setText(_shown_name(self._drafts[self._at]))
        self._judge()

    def _judge(self) -> None:
        """Say what is wrong; only then can it be saved."""
        try:
            trays_of(self._drafts)
        except TraysError as problem:
            self.said.setText(str(problem))
        else:
            self.said.setText("")
        self.keep.setEnabled(not self.said.text())

    # Asking

    def _ask_import(self) -> None:
        chosen, _ = QFileDialog.getOpenFileName(
            self, "Import trays", str(self.path.parent), READABLE
        )
        if chosen:
            self.import_from(Path(chosen))

    def _ask_export(self) -> None:
        path = self._asked_path("Export the trays", "trays.csv")
        if path is not None:
            self.export_to(path)

    def _ask_template(self) -> None:
        path = self._asked_path("A template to fill in", "trays-template.csv")
        if path is not None:
            self.template_to(path)

    def _asked_path(self, title: str, name: str) -> Path | None:
        suggested = Path.home() / name
        found = dialogs.ask_save_kind(self, title, suggested, ".csv", tuple(ENDINGS))
        if found is None:
            return None
        path, kind = found
        typed = path.suffix.lower()
        return path if typed in ENDINGS.values() else path.with_suffix(ENDINGS[kind])


def _shown_name(draft: TrayDraft) -> str:
    out = f" (out, back {draft.back_at})" if draft.back_at else " (out)"
    return f"{draft.name or 'no name'}{out if draft.is_out else ''}"
