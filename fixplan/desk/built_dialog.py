"""After theatre: built as drawn or otherwise, and which parts were opened, used and wasted."""

from datetime import datetime
from pathlib import Path

from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QRadioButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from fixplan.case.built_records import PartUsed
from fixplan.case.records import Case
from fixplan.desk import dialogs
from fixplan.desk.bench import Bench
from fixplan.desk.panels.card import soft_label
from fixplan.errors import EditError, FixplanError
from fixplan.kit.tray_files import house_trays
from fixplan.notes.built import built_lines, marked, planned_parts, unmarked
from fixplan.notes.built_page import built_pages
from fixplan.notes.files import write_documents
from fixplan.notes.section import Told

HEADS = ("Part", "Planned", "Opened", "Used", "Wasted")
MOST = 999
OTHERWISE = (
    "The plan is kept beside the drawing. Change the drawing to what was built: the changes are "
    "listed against the plan here, in the case notes and at handover."
)


class BuiltDialog(QDialog):
    """Counts start from the plan; what does not add up is told and cannot be kept."""

    def __init__(self, bench: Bench, place: tuple[Path, str], parent: QWidget | None) -> None:
        super().__init__(parent)
        self._bench = bench
        self._document = bench.document
        self._folder, self._stem = place
        self.written: tuple[Path, ...] = ()
        self.setWindowTitle("Frame as built")
        self.resize(680, 600)
        column = QVBoxLayout(self)
        self.as_drawn = QRadioButton("Built as &drawn")
        self.otherwise = QRadioButton("Built &otherwise")
        column.addWidget(self.as_drawn)
        column.addWidget(self.otherwise)
        column.addWidget(soft_label(OTHERWISE))
        self.changes = QLabel()
        self.changes.setWordWrap(True)
        column.addWidget(self.changes)
        self.table = _table()
        column.addWidget(self.table, 1)
        self.said = QLabel()
        self.said.setWordWrap(True)
        column.addWidget(self.said)
        column.addLayout(self._foot())
        self._show()
        self.table.itemChanged.connect(self._judge)

    @property
    def parts(self) -> tuple[PartUsed, ...]:
        """The counts as typed. Raises EditError naming the part."""
        return tuple(self._part(line) for line in range(self.table.rowCount()))

    def built_case(self) -> Case:
        """The case marked as chosen. Raises EditError."""
        now = datetime.now().astimezone()
        return marked(
            self._document.case,
            self.parts,
            f"{now:%Y-%m-%d %H:%M}",
            is_as_drawn=self.as_drawn.isChecked(),
        )

    def add_part(self) -> None:
        """A line for a part that was not planned."""
        line = self.table.rowCount()
        self.table.insertRow(line)
        for place, cell in enumerate(("", "0", "1", "1", "0")):
            self.table.setItem(line, place, QTableWidgetItem(cell))
        self.table.setCurrentCell(line, 0)
        self.table.setFocus()
        self._judge()

    def keep(self) -> None:
        """Mark the case; one step of undo."""
        try:
            case = self.built_case()
        except FixplanError as problem:
            self.said.setText(str(problem))
            return
        self._document.commit("Mark as built", case)
        self.accept()

    def take_back(self) -> None:
        """The case is a plan again."""
        self._document.commit("Take back that it was built", unmarked(self._document.case))
        self.accept()

    def write(self, path: Path) -> None:
        """The page with the counts and blanks for lot labels, as PDF."""
        from fixplan.sheet.paint import pdf_bytes

        try:
            told = Told(case=self.built_case(), findings=self._document.findings)
            self.written = write_documents({path: pdf_bytes(built_pages(told), "Frame as built")})
        except FixplanError as problem:
            self.said.setText(str(problem))
        else:
            self.said.setText(f"Written: {path}")

    def _foot(self) -> QHBoxLayout:
        row = QHBoxLayout()
        page = QPushButton("&Page with lot labels, PDF\u2026")
        page.setAutoDefault(False)
        page.clicked.connect(self._ask_page)
        row.addWidget(page)
        more = QPushButton("&Add a part")
        more.setAutoDefault(False)
        more.clicked.connect(self.add_part)
        row.addWidget(more)
        self.back = QPushButton("Not built &yet")
        self.back.setAutoDefault(False)
        self.back.clicked.connect(self.take_back)
        row.addWidget(self.back)
        row.addStretch(1)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        self.save = buttons.addButton("Mark as built", QDialogButtonBox.ButtonRole.AcceptRole)
        self.save.setMinimumWidth(140)
        buttons.accepted.connect(self.keep)
        buttons.rejected.connect(self.reject)
        row.addWidget(buttons)
        return row

    def _show(self) -> None:
        case = self._document.case
        built = case.built
        (self.as_drawn if built is None or built.is_as_drawn else self.otherwise).setChecked(True)
        self.changes.setText("\n".join(built_lines(case)))
        self.changes.setVisible(bool(self.changes.text()))
        self.back.setVisible(built is not None)
        if built is not None and built.parts:
            self._fill(built.parts)
            return
        try:
            self._fill(planned_parts(case, house_trays()))
        except FixplanError as problem:
            self.said.setText(f"The parts are not known: {problem}")

    def _fill(self, parts: tuple[PartUsed, ...]) -> None:
        self.table.setRowCount(len(parts))
        for line, part in enumerate(parts):
            cells = (part.name, part.planned, part.opened, part.used, part.wasted)
            for place, cell in enumerate(cells):
                self.table.setItem(line, place, QTableWidgetItem(str(cell)))

    def _part(self, line: int) -> PartUsed:
        name, *counts = (_text(self.table, line, place) for place in range(len(HEADS)))
        planned, opened, used, wasted = (
            _count(text, f"{name}, {head.lower()}")
            for text, head in zip(counts, HEADS[1:], strict=True)
        )
        if not name:
            raise EditError(f"Line {line + 1} has no part; name it.")
        if used + wasted > opened:
            raise EditError(f"{name}: more used and wasted than opened; correct the counts.")
        return PartUsed(name=name, planned=planned, opened=opened, used=used, wasted=wasted)

    def _judge(self) -> None:
        """Say what does not add up; only then can it be kept."""
        words = ""
        try:
            _ = self.parts
        except EditError as problem:
            words = str(problem)
        self.said.setText(words)
        self.save.setEnabled(not words)

    def _ask_page(self) -> None:
        suggested = self._folder / f"{self._stem}-built.pdf"
        path = dialogs.ask_save_path(self, "Frame as built", suggested, ".pdf", "PDF (*.pdf)")
        if path is not None:
            self.write(path)


def _table() -> QTableWidget:
    table = QTableWidget(0, len(HEADS))
    table.setAccessibleName("Parts opened, used and wasted")
    table.setHorizontalHeaderLabels(list(HEADS))
    table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
    table.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
    return table


def _text(table: QTableWidget, line: int, place: int) -> str:
    item = table.item(line, place)
    return "" if item is None else item.text().strip()


def _count(text: str, where: str) -> int:
    if not (text.isascii() and text.isdecimal()) or int(text[:6]) > MOST:
        raise EditError(f"{where}: {text[:20]!r} is no whole number from 0 to {MOST}; correct it.")
    return int(text)
