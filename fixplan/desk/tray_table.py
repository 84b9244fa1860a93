"""The lines of one tray as a table of text."""

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from fixplan.kit.drafts import HEADINGS, Row, empty_row

COLUMNS = tuple(HEADINGS)
TIPS = {
    "diameter_mm": "Of a pin, bar or drill; the jaw of a spanner",
    "takes_mm": "Pins (or bars) that a clamp, drill, sleeve or cap is for, as 5 or 4-6",
    "bar_mm": "Bars that a clamp sits on, as 11 or 8-11",
    "thread_mm": "Leave empty when it is not known",
}


class TrayTable(QTableWidget):
    """`edited` tells that a cell, or the number of lines, has changed by hand."""

    edited = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(0, len(COLUMNS), parent)
        self.setAccessibleName("Lines of the tray")
        for at, column in enumerate(COLUMNS):
            heading = QTableWidgetItem(HEADINGS[column])
            heading.setToolTip(TIPS.get(column, ""))
            self.setHorizontalHeaderItem(at, heading)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        head = self.horizontalHeader()
        head.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        head.setSectionResizeMode(COLUMNS.index("name"), QHeaderView.ResizeMode.Stretch)
        self.setColumnWidth(0, 150)
        self.itemChanged.connect(self.edited)

    def show_rows(self, rows: Sequence[Row]) -> None:
        """Show these lines, without telling anybody."""
        self.blockSignals(True)
        self.setRowCount(len(rows))
        for at, row in enumerate(rows):
            self._fill(at, row)
        self.blockSignals(False)

    def rows(self) -> tuple[Row, ...]:
        """The lines as they stand."""
        return tuple(
            {column: self._text(at, place) for place, column in enumerate(COLUMNS)}
            for at in range(self.rowCount())
        )

    def add_row(self, part: str) -> None:
        """A line for a part at the end, ready to be filled in."""
        at = self.rowCount()
        self.blockSignals(True)
        self.insertRow(at)
        self._fill(at, {**empty_row(), "part": part})
        self.blockSignals(False)
        self.setCurrentCell(at, COLUMNS.index("count"))
        self.setFocus()
        self.edited.emit()

    def remove_chosen(self) -> None:
        """Take the chosen lines out."""
        chosen = {index.row() for index in self.selectedIndexes()}
        for at in sorted(chosen, reverse=True):
            self.removeRow(at)
        if chosen:
            self.edited.emit()

    def _fill(self, at: int, row: Row) -> None:
        for place, column in enumerate(COLUMNS):
            self.setItem(at, place, QTableWidgetItem(row[column]))

    def _text(self, at: int, place: int) -> str:
        item = self.item(at, place)
        return "" if item is None else item.text()
