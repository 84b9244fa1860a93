"""Keeps the kit of the case up to date: once nothing moves, and the offered changes one by one."""

from collections.abc import Iterator

from PySide6.QtCore import QObject, QTimer, Signal

from fixplan.case.linking import read_linked
from fixplan.case.records import Case
from fixplan.desk.bench import Bench
from fixplan.errors import FixplanError
from fixplan.kit.answer import KitAnswer
from fixplan.kit.offers import Offer, kit_with, trying
from fixplan.kit.tray_files import house_trays
from fixplan.kit.trays import Trays

REST_MS, OFFER_MS, NEXT_MS = 150, 500, 15


class KitWatch(QObject):
    """What the trays give for the open case; `changed` tells that something new is known.

    `answer` and `offers` belong to `case`; `problem` says why there is no answer or no more offer.
    """

    changed = Signal()

    def __init__(self, bench: Bench, parent: QObject | None = None) -> None:
        super().__init__(parent or bench)
        self._document = bench.document
        self.case: Case | None = None
        self.trays: Trays | None = None
        self.answer: KitAnswer | None = None
        self.offers: tuple[Offer, ...] = ()
        self.problem = ""
        self.is_trying = False
        self._tries: Iterator[Offer | None] = iter(())
        self._rest = self._timer(REST_MS, self.ask)
        self._next = self._timer(OFFER_MS, self._try_next)
        bench.document.case_changed.connect(self._rest.start)

    @property
    def is_current(self) -> bool:
        """Whether what is told holds for the drawing as it is shown."""
        return self.case is self._document.shown

    def ask(self) -> None:
        """Read the trays and ask what to open; while something moves, later."""
        self._next.stop()
        if not self._document.is_open:
            return
        if self._document.shown is not self._document.case:
            self._rest.start()
            return
        self.case, self.offers, self.problem = self._document.case, (), ""
        try:
            self.trays = house_trays()
            others = self._others(self.case)
            self.answer = kit_with(self.case, others, self.trays)
        except FixplanError as problem:
            others = ()
            self.trays, self.answer, self.problem = None, None, str(problem)
        self.is_trying = self.answer is not None and not self.answer.is_complete
        if self.is_trying and self.trays is not None and self.answer is not None:
            self._tries = trying(self.case, self.trays, self.answer, others)
            self._next.start(OFFER_MS)
        self.changed.emit()

    def _others(self, case: Case) -> tuple[Case, ...]:
        """The same patient's other cases. Raises CaseFileError when one cannot be read."""
        path = self._document.path
        return () if path is None else tuple(read_linked(path, name) for name in case.linked)

    def _try_next(self) -> None:
        """One try, then time for what the hand does; nothing while something moves."""
        if self.case is not self._document.case:
            return
        if not self.is_current:
            self._next.start(OFFER_MS)
            return
        try:
            found = next(self._tries)
        except (StopIteration, FixplanError) as end:
            self.problem = "" if isinstance(end, StopIteration) else str(end)
            self.is_trying = False
            self.changed.emit()
            return
        if found is not None:
            self.offers = (*self.offers, found)
            self.changed.emit()
        self._next.start(NEXT_MS)

    def _timer(self, wait_ms: int, work: object) -> QTimer:
        timer = QTimer(self)
        timer.setSingleShot(True)
        timer.setInterval(wait_ms)
        timer.timeout.connect(work)
        return timer
