"""The findings panel: what the checks found, what could not be checked, and what was accepted."""

from PySide6.QtCore import QEvent, QModelIndex, QObject, Qt, QTimer, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QListView, QPushButton, QWidget

from fixplan.case.records import Case
from fixplan.case.scalars import Severity
from fixplan.checks.finding import Finding
from fixplan.checks.grouping import grouped
from fixplan.checks.hidden import are_hidden
from fixplan.desk.bench import Bench
from fixplan.desk.guard import guarded_with
from fixplan.desk.panels.card import Card
from fixplan.desk.panels.finding_rows import (
    FindingDelegate,
    FindingRows,
    Key,
    Row,
    key_of,
    subject_words,
)
from fixplan.trips.open_prompts import caution_words

UNDECIDED: tuple[Severity, ...] = ("note", "not assessed")
"""What nobody accepts or withdraws, so that one row may stand for several pins."""


class FindingsPanel(Card):
    """Every finding of the shown case.

    Signals: `subject_asked` (id) when an entry is clicked or reached by keyboard; `accept_asked`,
    `withdraw_asked` and `why_asked` with a finding.
    """

    subject_asked = Signal(str)
    accept_asked = Signal(object)
    withdraw_asked = Signal(object)
    why_asked = Signal(object)

    def __init__(self, bench: Bench, parent: QWidget | None = None) -> None:
        super().__init__("Findings", parent)
        self._bench = bench
        self._known: frozenset[Key] = frozenset()
        self._at_rest: frozenset[Key] = frozenset()
        self._judged: Case | None = None
        self._told: frozenset[Key] = frozenset()
        self.rows = FindingRows(self)
        self.list = self._list()
        self.body.addWidget(self.list, 1)
        self.accept = QPushButton("Accept…")
        self.accept.setToolTip("Keep this finding on purpose, with a reason")
        self.withdraw = QPushButton("Withdraw")
        self.withdraw.setToolTip("Take the acceptance of this finding back")
        self.why = QPushButton("Why?")
        self.why.setToolTip("The rule behind this finding, its limit and its sources")
        self.body.addLayout(self._buttons())
        self._refresh_later = QTimer(self)
        self._refresh_later.setSingleShot(True)
        self._refresh_later.setInterval(0)
        self._refresh_later.timeout.connect(self.refresh)
        bench.document.shown_changed.connect(self._refresh_later.start)
        bench.document.settled.connect(self.refresh)
        self._tell_buttons()

    @property
    def current(self) -> Finding | None:
        """The finding of the selected entry."""
        return self.rows.finding(self.list.currentIndex())

    def refresh(self) -> None:
        """List what the checks find now."""
        if not self._bench.document.is_open:
            return
        current = self.current
        document = self._bench.document
        findings, waiting = document.findings, document.waiting
        new = self._new_among(findings)
        pins = {pin.id: pin.number for pin in document.shown.pins}
        self.rows.put(
            [
                Row(one, key_of(one) in new, one.rule in waiting, subject_words(one, pins))
                for one in grouped(findings, UNDECIDED)
            ]
        )
        of_trips = "" if are_hidden(findings) else caution_words(document.case, findings)
        counts = counts_in_words(findings)
        self.entitle("Findings", f"{counts} · {of_trips}" if of_trips else counts)
        self._keep(current)
        self._show_new(new)
        self._tell_buttons()

    def begin(self) -> None:
        """Another case has been opened: nothing in it is new."""
        document = self._bench.document
        self._judged = document.case
        self._known = self._at_rest = _open_keys(document.findings)
        self._told = frozenset()
        self.refresh()
        self.list.scrollToTop()

    def _new_among(self, findings: tuple[Finding, ...]) -> frozenset[Key]:
        """Open stops and cautions that were not there before the last change."""
        document = self._bench.document
        keys = _open_keys(findings)
        if document.shown is not document.case:
            return keys - self._at_rest
        if document.case is not self._judged:
            self._known, self._at_rest, self._judged = self._at_rest, keys, document.case
        return keys - self._known

    def _show_new(self, new: frozenset[Key]) -> None:
        """Bring what has just become a stop or caution into view; the focus stays where it is."""
        fresh, self._told = new - self._told, new
        rows = [n for n, row in enumerate(self.rows.rows) if key_of(row.finding) in fresh]
        if rows:
            self.list.scrollTo(self.rows.index(rows[0]), QListView.ScrollHint.EnsureVisible)

    def take_focus(self) -> None:
        """Give the keys to the list, its first entry if none is current."""
        self.refresh()
        self.list.setFocus()
        if not self.list.currentIndex().isValid() and self.rows.rowCount():
            self.list.setCurrentIndex(self.rows.index(0))

    def _list(self) -> QListView:
        view = QListView()
        view.setModel(self.rows)
        view.setItemDelegate(FindingDelegate(view))
        view.setFrameShape(QFrame.Shape.NoFrame)
        view.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        view.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        view.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
        view.setResizeMode(QListView.ResizeMode.Adjust)
        view.setAccessibleName("Findings")
        view.setMinimumHeight(90)
        view.clicked.connect(self._show)
        view.activated.connect(self._show)
        view.selectionModel().currentChanged.connect(self._show_current)
        view.viewport().installEventFilter(self)
        return view

    def _buttons(self) -> QHBoxLayout:
        row = QHBoxLayout()
        for button, signal in (
            (self.accept, self.accept_asked),
            (self.withdraw, self.withdraw_asked),
            (self.why, self.why_asked),
        ):
            row.addWidget(button)
            button.setAccessibleDescription(button.toolTip())
            button.clicked.connect(lambda _=False, signal=signal: self._ask(signal))
        row.addStretch(1)
        return row

    def _ask(self, signal: Signal) -> None:
        if self.current is not None:
            signal.emit(self.current)  # type: ignore[attr-defined]  # bound by Qt

    def _show(self, index: QModelIndex) -> None:
        finding = self.rows.finding(index)
        if finding is not None and finding.subjects:
            self.subject_asked.emit(_to_show(finding, self._bench.selection.subject))

    def _show_current(self, index: QModelIndex) -> None:
        self._tell_buttons()
        if self.list.hasFocus():
            self._show(index)

    def _keep(self, before: Finding | None) -> None:
        """Keep the entry of the same rule and subjects selected after a change."""
        if before is None:
            return
        key = key_of(before)
        keys = [key_of(finding) for finding in self.rows.findings]
        if key in keys:
            index = self.rows.index(keys.index(key))
            if index != self.list.currentIndex():
                self.list.setCurrentIndex(index)

    def _tell_buttons(self) -> None:
        finding = self.current
        self.accept.setEnabled(finding is not None and finding.is_open)
        self.withdraw.setEnabled(finding is not None and finding.accepted is not None)
        self.why.setEnabled(finding is not None)

    @guarded_with(False)
    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Rows are as high as their words need at the list's width."""
        if event.type() == QEvent.Type.Resize:
            self.list.scheduleDelayedItemsLayout()
        return super().eventFilter(watched, event)


def _to_show(finding: Finding, selected: str | None) -> str:
    """What an entry shows: the selected thing where the finding is about it, else its first."""
    return selected if selected in finding.subjects else finding.subjects[0]


def _open_keys(findings: tuple[Finding, ...]) -> frozenset[Key]:
    return frozenset(key_of(finding) for finding in findings if finding.is_open)


def counts_in_words(findings: tuple[Finding, ...]) -> str:
    """Open stops and cautions, notes, accepted, and what could not be checked."""
    if are_hidden(findings):
        return "hidden"
    open_ones = [finding for finding in findings if finding.accepted is None]
    parts = [
        f"{sum(finding.severity == severity for finding in open_ones)} {severity}"
        for severity in ("stop", "caution")
    ]
    accepted = len(findings) - len(open_ones)
    if accepted:
        parts.append(f"{accepted} accepted")
    unknown = sum(finding.severity == "not assessed" for finding in findings)
    parts.append(f"{unknown} not assessed")
    return " · ".join(parts)
