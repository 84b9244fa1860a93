"""The points of an outline as a table, so that they can be read and typed."""

from typing import NamedTuple

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHeaderView, QTableWidget, QTableWidgetItem, QWidget

from fixplan.case import edits
from fixplan.case.meaning import Drawn
from fixplan.case.records import Candidate, FreeOutline, Incision, Injury, Wound
from fixplan.case.scalars import Record
from fixplan.case.vertices import OutlineName
from fixplan.desk.bench import Bench
from fixplan.desk.guard import guarded, guarded_with
from fixplan.desk.sheet_hold import Attempt
from fixplan.errors import EditError

ROWS_SHOWN = 5


class OutlineRef(NamedTuple):
    """One drawn outline of a thing: which part of a candidate, which field."""

    part: int | None
    name: OutlineName


def outlines_of(thing: Drawn) -> tuple[OutlineRef, ...]:
    """Every outline that a thing has."""
    if isinstance(thing, Candidate):
        return tuple(
            OutlineRef(number, name)
            for number, piece in enumerate(thing.parts)
            for name in _names(piece)
        )
    return tuple(OutlineRef(None, name) for name in _names(thing))


def _names(record: Record) -> tuple[OutlineName, ...]:
    asked: tuple[OutlineName, ...] = ()
    if isinstance(record, Injury | FreeOutline):
        asked = ("front", "side")
    elif isinstance(record, Wound):
        asked = ("outline", "line")
    elif isinstance(record, Incision):
        asked = ("line",)
    return tuple(name for name in asked if getattr(record, name))


class PointsTable(QTableWidget):
    """Across and level of each point, mm. Delete takes the current point away."""

    def __init__(
        self, bench: Bench, attempt: Attempt, outline: OutlineRef, parent: QWidget | None = None
    ) -> None:
        super().__init__(0, 2, parent)
        self._bench = bench
        self._attempt = attempt
        self._ref = outline
        self._subject = ""
        self._is_showing = False
        across = "Lateral, mm" if outline.name == "front" else "Across, mm"
        across = "Anterior, mm" if outline.name == "side" else across
        self.setHorizontalHeaderLabels([across, "Level, mm"])
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.verticalHeader().setDefaultSectionSize(self.fontMetrics().height() + 6)
        self.setAccessibleName(f"Points of the {outline.name}")
        self.setTabKeyNavigation(False)
        rows = ROWS_SHOWN + 1
        self.setFixedHeight(rows * (self.fontMetrics().height() + 6) + 10)
        self.cellChanged.connect(self._type)

    def show_thing(self, thing: Drawn) -> None:
        """Show the points as they are now."""
        record: Record = thing
        if isinstance(thing, Candidate) and self._ref.part is not None:
            record = thing.parts[self._ref.part]
        points: tuple[tuple[float, float], ...] = getattr(record, self._ref.name, ())
        self._subject = thing.id
        self._is_showing = True
        self.setRowCount(len(points))
        for row, point in enumerate(points):
            for column, value in enumerate(point):
                self._put(row, column, f"{value:.1f}")
        self._is_showing = False

    def _put(self, row: int, column: int, text: str) -> None:
        item = self.item(row, column)
        if item is None:
            item = QTableWidgetItem()
            item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            self.setItem(row, column, item)
        if item.text() != text:
            item.setText(text)

    def _type(self, row: int, column: int) -> None:
        if self._is_showing:
            return
        item = self.item(row, column)
        text = "" if item is None else item.text().strip()
        if not self._attempt(lambda: self._move(row, column, text)):
            self._bench.document.shown_changed.emit()

    def _move(self, row: int, column: int, text: str) -> None:
        document = self._bench.document
        points = edits.outline_of(document.case, self._subject, self._ref.name, self._ref.part)
        try:
            value = float(text.replace(",", "."))
        except ValueError as problem:
            raise EditError(f"{text!r} is not a number; type millimetres.") from problem
        to = (value, points[row][1]) if column == 0 else (points[row][0], value)
        case = edits.move_vertex(
            document.case, self._subject, self._ref.name, row, to, self._ref.part
        )
        document.commit("Move a point", case)

    def _delete_point(self) -> None:
        document = self._bench.document
        case = edits.delete_vertex(
            document.case, self._subject, self._ref.name, self.currentRow(), self._ref.part
        )
        document.commit("Delete a point", case)

    @guarded_with(False)
    def event(self, event: QEvent) -> bool:
        """Delete is meant for the point here, not for the whole thing."""
        is_key = isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Delete
        if event.type() == QEvent.Type.ShortcutOverride and is_key:
            event.accept()
            return True
        return super().event(event)

    @guarded
    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Delete takes the current point away."""
        if event.key() == Qt.Key.Key_Delete and self.currentRow() >= 0:
            self._attempt(self._delete_point)
            return
        super().keyPressEvent(event)
