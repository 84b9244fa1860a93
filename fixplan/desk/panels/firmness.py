"""The card "How firmly it holds": four bars with their changes, words, and kept variants."""

from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QAbstractItemView,
    QCheckBox,
    QComboBox,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from fixplan.case import edits
from fixplan.case.records import Case
from fixplan.desk.bench import Bench
from fixplan.desk.bent import Wanted
from fixplan.desk.firmness import MODES, SHORT, card_lines, firm_rows, load_names
from fixplan.desk.hold_watch import HoldWatch
from fixplan.desk.panels.card import Card, soft_label
from fixplan.desk.panels.fields import Choice, Field
from fixplan.desk.panels.firm_bars import CompareChart, FirmBars
from fixplan.desk.panels.inputs import ChoiceBox, ChoiceInput
from fixplan.desk.sheet_hold import Attempt
from fixplan.frame.assumed import assumed
from fixplan.frame.hold_words import figure, spanned_joints

NOW = "now"
JOINTS = Field(
    "spanned_joints",
    "Ligaments of spanned joints",
    "choice",
    choices=(
        Choice("free", "not counted: the joint is free"),
        Choice("braced", "counted: unbroken, they hold too"),
    ),
)


class FirmnessCard(Card):
    """Foldable; `wanted_changed` tells what is to be shown over the drawing."""

    wanted_changed = Signal(object)

    def __init__(
        self, bench: Bench, watch: HoldWatch, attempt: Attempt, parent: QWidget | None = None
    ) -> None:
        super().__init__("How firmly it holds", parent)
        self._bench, self._watch, self._attempt = bench, watch, attempt
        self._gap = 0
        self._gaps = _narrow_choice("Gap")
        self._gaps.currentIndexChanged.connect(self._pick_gap)
        self.body.addWidget(self._gaps)
        self.joints = ChoiceInput(JOINTS, self._change_joints)
        self._joints_row = _row(soft_label("Ligaments"), self.joints)
        self.body.addWidget(self._joints_row)
        self.lead = QLabel()
        self.lead.setWordWrap(True)
        self.lead.setAccessibleName("Firmness in words")
        self.body.addWidget(self.lead)
        self.bars = FirmBars()
        self.body.addWidget(self.bars)
        self.caution = soft_label(assumed().caution)
        self.body.addWidget(self.caution)
        self._inner = QWidget()
        self._rows = QVBoxLayout(self._inner)
        self._rows.setContentsMargins(0, 0, 0, 0)
        self._add_words()
        self._add_overlay()
        self._add_variants()
        self.body.addWidget(self._inner)
        self._fold = self.add_fold(self._inner)
        self.unfold()
        watch.changed.connect(self.refresh)

    @property
    def is_folded(self) -> bool:
        """Whether only title, first words, bars and caution are shown."""
        return self._inner.isHidden()

    @property
    def wanted(self) -> Wanted:
        """What is to be shown over the drawing."""
        chosen = self._load.currentData()
        return Wanted(self._bent.isChecked(), self._stress.isChecked(), str(chosen or ""))

    def refresh(self) -> None:
        """Show what is known now; grey while the drawing is newer."""
        watch = self._watch
        found = watch.compared_with()
        self.entitle("How firmly it holds", f"against {found[0]}" if found else "")
        known = watch.known
        gaps = () if known is None else known.results.gaps
        self._show_gaps(tuple(one.gap.words for one in gaps))
        self._show_loads()
        self._show_joints(watch.case)
        self._inner.setEnabled(watch.is_current)
        self.bars.setEnabled(watch.is_current)
        self.lead.setEnabled(watch.is_current)
        if known is None or not gaps:
            self.bars.show_rows(())
            self._tell(watch.problem, ())
        elif watch.case is not None:
            self.bars.show_rows(firm_rows(watch.case, known, self._gap))
            lead, *lines = card_lines(watch.case, known, self._gap)
            self._tell(lead, tuple(lines))
        self._show_kept()

    def _show_joints(self, case: Case | None) -> None:
        """The choice about ligaments, where the frame spans a joint that is not broken."""
        joints = () if case is None else spanned_joints(case)
        self._joints_row.setVisible(bool(joints))
        if case is not None:
            self.joints.show_value(case.spanned_joints)

    def _change_joints(self, value: object) -> None:
        document = self._bench.document

        def work() -> None:
            case = edits.change_case(document.case, spanned_joints=value)
            document.commit("Count ligaments", case)

        self._attempt(work)

    def _tell(self, lead: str, lines: tuple[str, ...]) -> None:
        """What stands above the bars, also when the card is folded; and the rest below."""
        self.lead.setText(lead)
        self.words.setText("\n".join(lines))
        self.words.setVisible(bool(lines))
        self.bars.setVisible(bool(self.bars.rows))

    def _add_words(self) -> None:
        self.words = QLabel()
        self.words.setWordWrap(True)
        self._rows.addWidget(self.words)

    def _add_overlay(self) -> None:
        self._bent = QCheckBox("Show it bent")
        self._bent.setToolTip("The frame as it bends, much enlarged, over both views")
        self._stress = QCheckBox("Show stress")
        self._stress.setToolTip("Width, pattern and figure tell the stress of pins and bars")
        self._load = _narrow_choice("Load that is shown")
        row = QHBoxLayout()
        for part in (self._bent, self._stress):
            row.addWidget(part)
        row.addStretch(1)
        self._bent.toggled.connect(self._tell_wanted)
        self._stress.toggled.connect(self._tell_wanted)
        self._load.currentIndexChanged.connect(self._tell_wanted)
        self._rows.addLayout(row)
        self._rows.addWidget(self._load)

    def _add_variants(self) -> None:
        self.keep_button = QPushButton("Keep for comparison")
        self.keep_button.clicked.connect(partial(self._attempt, self._watch.keep))
        self.let_go_button = QPushButton("Let go")
        self.let_go_button.clicked.connect(self._let_go)
        self._against = _narrow_choice("Compared with")
        self._against.currentIndexChanged.connect(self._pick_against)
        row = QHBoxLayout()
        row.addWidget(self._against, 1)
        row.addWidget(self.let_go_button)
        self._rows.addWidget(self.keep_button)
        self._rows.addLayout(row)
        self.table = QTableWidget(len(MODES), 0)
        self.table.setAccessibleName("Kept variants")
        self.table.setVerticalHeaderLabels(list(MODES))
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.table.setMinimumWidth(200)
        self.chart = CompareChart()
        self._rows.addWidget(self.table)
        self._rows.addWidget(self.chart)

    def unfold(self) -> None:
        """Show everything."""
        self._fold.setChecked(True)

    def _pick_gap(self, index: int) -> None:
        self._gap = max(index, 0)
        self.refresh()

    def _pick_against(self, index: int) -> None:
        self._watch.compare_with(index - 1 if index > 0 else None)

    def _let_go(self) -> None:
        kept = len(self._watch.kept)
        self._watch.let_go(kept - 1 if self._watch.against is None else self._watch.against)

    def _tell_wanted(self) -> None:
        self.wanted_changed.emit(self.wanted)

    def _show_gaps(self, words: tuple[str, ...]) -> None:
        self._gap = min(self._gap, max(len(words) - 1, 0))
        _list(self._gaps, words, self._gap)
        self._gaps.setVisible(len(words) > 1)

    def _show_loads(self) -> None:
        listed = load_names(self._watch.results)
        if [self._load.itemData(n) for n in range(self._load.count())] != [
            id_ for id_, _ in listed
        ]:
            self._load.blockSignals(True)
            chosen = self._load.currentData() or Wanted().load_id
            self._load.clear()
            for id_, name in listed:
                self._load.addItem(name, id_)
            self._load.setCurrentIndex(max(self._load.findData(chosen), 0))
            self._load.blockSignals(False)

    def _show_kept(self) -> None:
        kept = self._watch.kept
        names = ("last saved", *(one.name for one in kept))
        _list(self._against, names, 0 if self._watch.against is None else self._watch.against + 1)
        self._against.setVisible(bool(kept))
        self.let_go_button.setVisible(bool(kept))
        self.table.setVisible(bool(kept))
        self.chart.setVisible(bool(kept))
        if not kept:
            return
        results = self._watch.results
        columns = [(one.name, one.firmness) for one in kept]
        if results is not None:
            columns.append((NOW, tuple(one.firmness for one in results.gaps)))
        shown = [(name, firm[self._gap]) for name, firm in columns if self._gap < len(firm)]
        self.table.setColumnCount(len(shown))
        self.table.setHorizontalHeaderLabels([name for name, _ in shown])
        for column, (_, firm) in enumerate(shown):
            for line, value in enumerate(firm):
                self.table.setItem(line, column, QTableWidgetItem(figure(value)))
        tall = sum(self.table.rowHeight(n) for n in range(len(MODES)))
        self.table.setFixedHeight(tall + self.table.horizontalHeader().sizeHint().height() + 4)
        groups = tuple((mode, tuple(firm[n] for _, firm in shown)) for n, mode in enumerate(SHORT))
        self.chart.show_groups(tuple(name for name, _ in shown), groups)


def _row(*parts: QWidget) -> QWidget:
    holder = QWidget()
    row = QHBoxLayout(holder)
    row.setContentsMargins(0, 0, 0, 0)
    for part in parts[:-1]:
        row.addWidget(part)
    row.addWidget(parts[-1], 1)
    return holder


def _narrow_choice(name: str) -> QComboBox:
    """A choice that gives way in a narrow column."""
    box = ChoiceBox()
    box.setAccessibleName(name)
    box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    box.setMinimumContentsLength(6)
    return box


def _list(box: QComboBox, words: tuple[str, ...], index: int) -> None:
    """The words in a choice, without telling anybody."""
    box.blockSignals(True)
    if [box.itemText(n) for n in range(box.count())] != list(words):
        box.clear()
        box.addItems(list(words))
    box.setCurrentIndex(index)
    box.blockSignals(False)
