"""Keeps the firmness of the shown case up to date: at once while that is quick, else later.

The middle of the clamp band comes first, its ends and what would be firmer when all is at rest.
"""

from time import perf_counter
from typing import NamedTuple

from PySide6.QtCore import QObject, QTimer, Signal

from fixplan.case.records import Case
from fixplan.desk.bench import Bench
from fixplan.desk.firmness import Known
from fixplan.errors import EditError, UnstableFrame
from fixplan.frame.bodies import holding
from fixplan.frame.hold import Firmness, Hold, Results, full_hold, has_frame, quick_hold
from fixplan.frame.hold_words import NO_FRAME
from fixplan.frame.trying import Tried, best

LIVE_MS = 3.0
LATER_MS, BAND_MS, ADVICE_MS = 60, 120, 700
MOST_KEPT = 4


class Kept(NamedTuple):
    """A variant kept for comparison: its name and the stiffness of each gap."""

    name: str
    firmness: tuple[Firmness, ...]


class HoldWatch(QObject):
    """What is known about the shown case's firmness; `changed` tells that something new is known.

    `results` belong to `case`, which may be older than what is shown: see `is_current`.
    `problem` says why there is nothing to tell.
    """

    changed = Signal()

    def __init__(self, bench: Bench, parent: QObject | None = None) -> None:
        super().__init__(parent or bench)
        self._bench = bench
        self.results: Results | None = None
        self.hold: Hold | None = None
        self.advice: tuple[Tried, ...] | None = None
        self.problem = NO_FRAME
        self.kept: list[Kept] = []
        self.against: int | None = None
        self.case: Case | None = None
        self._saved: Case | None = None
        self._last_ms = 0.0
        self._later = self._timer(LATER_MS, self._solve)
        self._band = self._timer(BAND_MS, self._solve_band)
        self._advise = self._timer(ADVICE_MS, self._try_changes)
        bench.document.shown_changed.connect(self._follow)
        self._note = self._timer(
            0, self._note_saved
        )  # while a change is made, it is not counted yet
        bench.document.state_changed.connect(self._note.start)

    @property
    def is_current(self) -> bool:
        """Whether what is told holds for the drawing as it is shown."""
        return self.case is self._bench.document.shown

    @property
    def known(self) -> Known | None:
        """All that is known about the frame of `case`; None when there is nothing to tell."""
        if self.results is None:
            return None
        found = self.compared_with()
        return Known(self.results, self.hold, self.advice, found[1] if found else None)

    def compared_with(self) -> tuple[str, tuple[Firmness, ...]] | None:
        """What the shown frame is compared with: a kept variant, else the case as last saved."""
        if self.against is not None and self.against < len(self.kept):
            return self.kept[self.against].name, self.kept[self.against].firmness
        saved = self._saved_firmness()
        return None if saved is None else ("last saved", saved)

    def keep(self) -> None:
        """Keep the frame for comparison. Raises EditError without one, or when four are kept."""
        self._solve()
        if self.results is None:
            raise EditError(f"{self.problem} Draw a frame first.")
        if len(self.kept) >= MOST_KEPT:
            raise EditError(f"{MOST_KEPT} variants are kept; let one go first.")
        taken = {one.name for one in self.kept}
        name = next(name for name in "ABCD" if name not in taken)
        self.kept.append(Kept(name, tuple(one.firmness for one in self.results.gaps)))
        self.changed.emit()

    def let_go(self, index: int) -> None:
        """Forget a kept variant."""
        if 0 <= index < len(self.kept):
            del self.kept[index]
            self.against = None
            self.changed.emit()

    def compare_with(self, index: int | None) -> None:
        """Compare with a kept variant, or with the case as last saved."""
        self.against = index
        self.changed.emit()

    def begin(self) -> None:
        """Forget everything that belongs to another case."""
        self.kept.clear()
        self.against = None
        self._saved = self._bench.document.case
        self._solve()

    def _timer(self, wait_ms: int, work: object) -> QTimer:
        timer = QTimer(self)
        timer.setSingleShot(True)
        timer.setInterval(wait_ms)
        timer.timeout.connect(work)
        return timer

    def _follow(self) -> None:
        """Solve now if the last time was quick; else show what is known as old, and solve later."""
        if not self._bench.document.is_open or self.is_current:
            return
        self._band.stop()
        self._advise.stop()
        if self._last_ms < LIVE_MS:
            self._solve()
        else:
            self._later.start()
            self.changed.emit()

    def _solve(self) -> None:
        case = self._bench.document.shown
        start = perf_counter()
        self.results, self.problem = _solved(case)
        self._last_ms = 1000 * (perf_counter() - start)
        if case is not self.case:
            self.hold, self.advice = None, None
        self.case = case
        if self.results is not None and self.hold is None:
            self._band.start()
        self.changed.emit()

    def _solve_band(self) -> None:
        if self.is_current and self.case is not None and self.results is not None:
            self.hold = full_hold(self.case)
            self._advise.start()
            self.changed.emit()

    def _try_changes(self) -> None:
        resting = self._bench.document.shown is self._bench.document.case
        if resting and self.is_current and self.case is not None and self.results is not None:
            self.advice = best(self.case)
            self.changed.emit()

    def _note_saved(self) -> None:
        document = self._bench.document
        if document.is_open and not document.is_changed and self._saved is not document.case:
            self._saved = document.case
            self.changed.emit()

    def _saved_firmness(self) -> tuple[Firmness, ...] | None:
        if self._saved is None:
            return None
        found, _ = _solved(self._saved)
        return None if found is None else tuple(one.firmness for one in found.gaps)


def _solved(case: Case) -> tuple[Results | None, str]:
    """Results, or the sentence that says why there are none."""
    if not has_frame(case):
        said = holding(case).said
        return None, " ".join((NO_FRAME, *said))
    try:
        return quick_hold(case), ""
    except UnstableFrame as problem:
        return None, str(problem)
