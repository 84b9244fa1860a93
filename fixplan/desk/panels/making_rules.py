"""Making an exercise: what counts. Rules with their points, and what a whole answer has."""

from collections.abc import Mapping, Sequence

from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QAbstractItemView,
    QDoubleSpinBox,
    QHeaderView,
    QLabel,
    QLineEdit,
    QPushButton,
    QSpinBox,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from fixplan.case.records import Case
from fixplan.checks.rules import rules
from fixplan.teach.draft import Draft
from fixplan.teach.making import usual_needs, usual_weights
from fixplan.teach.needs import need_words
from fixplan.teach.records import Need, PinsNeeded
from fixplan.teach.rule_words import rule_words

MOST_POINTS = 100.0


class RulesPage(QWidget):
    """Points of each rule; 0 does not count. What is needed, as the teacher's own frame has it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.points: dict[str, QDoubleSpinBox] = {}
        self._needs: list[tuple[Need, QSpinBox | None, QDoubleSpinBox]] = []
        self._case: Case | None = None
        self._order: tuple[str, ...] = ()
        self.search = QLineEdit()
        self.search.setPlaceholderText("Find a rule")
        self.search.setAccessibleName("Find a rule")
        self.search.setClearButtonEnabled(True)
        self.rules = _table(("Rule", "Points"))
        self.rules.setAccessibleName("Rules and their points")
        self.needs = _table(("A whole answer has", "At least", "Points"))
        self.needs.setAccessibleName("What is needed")
        self.anew = QPushButton("As in my own frame")
        column = QVBoxLayout(self)
        column.addWidget(QLabel("Rules that count, with their points; 0: does not count"))
        column.addWidget(self.search)
        column.addWidget(self.rules, 3)
        column.addWidget(self.needs, 2)
        column.addWidget(self.anew, 0, Qt.AlignmentFlag.AlignLeft)
        self._fill_rules()
        self.search.textChanged.connect(self._filter)
        self.anew.clicked.connect(self._needs_anew)

    def show_case(self, case: Case) -> None:
        """The case whose frame tells what is needed."""
        is_first = self._case is None
        self._case = case
        if is_first:
            self._needs_anew()

    def show_draft(self, draft: Draft) -> None:
        """What counts in an exercise that is changed."""
        self._case = draft.case
        self._order = tuple(draft.weights)
        for name, box in self.points.items():
            box.setValue(draft.weights.get(name, 0.0))
        self._show_needs(draft.needs)

    def weights(self) -> Mapping[str, float]:
        """Points of the rules that count, by id: those of before first, then as listed."""
        typed = {name: box.value() for name, box in self.points.items()}
        names = dict.fromkeys((*self._order, *(rule.id for rule in rules())))
        return {name: typed[name] for name in names if typed.get(name, 0) > 0}

    def needed(self) -> tuple[Need, ...]:
        """What is needed, with the numbers as typed; 0 points leave it out."""
        found: list[Need] = []
        for need, least, points in self._needs:
            if points.value() <= 0:
                continue
            if isinstance(need, PinsNeeded) and least is not None:
                found.append(replace(need, least=least.value(), weight=points.value()))
            else:
                found.append(replace(need, weight=points.value()))
        return tuple(found)

    def _fill_rules(self) -> None:
        usual = usual_weights()
        listed = sorted(rules(), key=lambda rule: -usual.get(rule.id, 0.0))
        self.rules.setRowCount(len(listed))
        for row, rule in enumerate(listed):
            item = QTableWidgetItem(rule_words(rule))
            item.setToolTip(rule.why)
            self.rules.setItem(row, 0, item)
            box = _points(usual.get(rule.id, 0.0), rule_words(rule))
            self.points[rule.id] = box
            self.rules.setCellWidget(row, 1, box)

    def _filter(self, text: str) -> None:
        for row in range(self.rules.rowCount()):
            item = self.rules.item(row, 0)
            words = "" if item is None else item.text().lower()
            self.rules.setRowHidden(row, text.lower() not in words)

    def _needs_anew(self) -> None:
        self._show_needs(() if self._case is None else usual_needs(self._case))

    def _show_needs(self, needs: Sequence[Need]) -> None:
        self._needs.clear()
        self.needs.setRowCount(len(needs))
        for row, need in enumerate(needs):
            words = "" if self._case is None else need_words(need, self._case)
            self.needs.setItem(row, 0, QTableWidgetItem(words))
            least = None
            if isinstance(need, PinsNeeded):
                least = QSpinBox()
                least.setRange(1, 40)
                least.setValue(need.least)
                least.setAccessibleName(f"{words}, at least")
                self.needs.setCellWidget(row, 1, least)
            points = _points(need.weight, f"{words}, points")
            self.needs.setCellWidget(row, 2, points)
            self._needs.append((need, least, points))


def _points(value: float, name: str) -> QDoubleSpinBox:
    box = QDoubleSpinBox()
    box.setRange(0, MOST_POINTS)
    box.setDecimals(2)
    box.setValue(value)
    box.setAccessibleName(name)
    return box


def _table(heads: tuple[str, ...]) -> QTableWidget:
    table = QTableWidget(0, len(heads))
    table.setHorizontalHeaderLabels(list(heads))
    table.verticalHeader().hide()
    table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    table.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
    table.setTabKeyNavigation(False)
    table.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
    return table
