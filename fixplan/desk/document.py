"""The open case: what is shown, undo, and the saved state. The only module that touches the stack.

A gesture previews any number of candidates and commits once; `ReplaceCase` swaps whole snapshots.
"""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtGui import QUndoStack

from fixplan.case.file import write_case
from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.checks.run import open_case, rule_set_version
from fixplan.desk.judged import findings_in, findings_in_motion, resting_rules
from fixplan.desk.recovery import Recovery, SittingCopy, Unsaved
from fixplan.desk.tidying import go_on_tidying, wait_with_tidying
from fixplan.desk.undo_step import ReplaceCase
from fixplan.frame.hold import is_quick

EMPTY = Case(side="right")
SETTLE_MS = 250
"""How long a large frame is held still before its firmness is judged in the middle of a drag."""


class CaseDocument(QObject):
    """The open case with its undo stack, its preview, its file and its recovery copy.

    Signals: `shown_changed` (the case or a preview of a change), `settled` (a preview that is held
    still has been judged in full), `case_changed` (a change was made, undone or loaded), `loaded`
    (another case, before `case_changed`),
    `state_changed` (path, saved state, recovery state, undo texts).
    """

    shown_changed = Signal()
    settled = Signal()
    case_changed = Signal()
    loaded = Signal()
    state_changed = Signal()

    def __init__(self, recovery: Recovery, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._case = EMPTY
        self._preview: Case | None = None
        self._settled: Case | None = None
        self._still = QTimer(self)
        self._still.setSingleShot(True)
        self._still.setInterval(SETTLE_MS)
        self._still.timeout.connect(self._settle)
        self._stack = QUndoStack(self)
        self._stack.cleanChanged.connect(self._tell_state)
        self._stack.indexChanged.connect(self._tell_state)
        self._recovery = recovery
        recovery.setParent(self)
        recovery.state_changed.connect(self.state_changed)
        self._opened_hash: str | None = None
        self._is_saved = True
        self.path: Path | None = None
        self.is_open = False
        self.hidden_findings: tuple[Finding, ...] = ()
        """Told in place of the findings while an exercise hides them."""
        self.sitting_copy: Callable[[], SittingCopy | None] = lambda: None
        """What the sitting of an exercise adds to the recovery copy."""
        self.is_preview = False
        """Whether nothing here is to be kept: a teacher looks at an exercise as a trainee."""

    # What is there

    @property
    def case(self) -> Case:
        """The case as it stands, without any preview."""
        return self._case

    @property
    def shown(self) -> Case:
        """The case that is drawn: a preview while a gesture runs."""
        return self._case if self._preview is None else self._preview

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What the checks find in the shown case.

        While a gesture moves a large frame, its firmness is told as it was before: see `waiting`.
        """
        if self.hidden_findings:
            return self.hidden_findings
        if self._preview is None or not self._is_waiting:
            return findings_in(self.shown)
        return findings_in_motion(self._preview, self._case)

    @property
    def waiting(self) -> frozenset[str]:
        """Rules whose findings are told as they were before the gesture; they are shown greyed."""
        return resting_rules() if self._is_waiting else frozenset()

    @property
    def _is_waiting(self) -> bool:
        preview = self._preview
        return preview is not None and preview is not self._settled and not is_quick(preview)

    @property
    def is_changed(self) -> bool:
        """Whether there are changes that are in no file of the user's."""
        if self.is_preview:
            return False
        return self.is_open and not (self._is_saved and self._stack.isClean())

    @property
    def recovery_words(self) -> str:
        """The state of the recovery copy, for the status bar."""
        return self._recovery.words

    # Changes

    def preview(self, case: Case) -> None:
        """Show a candidate; the case itself is untouched."""
        if case != self.shown:
            wait_with_tidying()
            self._preview = case
            self.shown_changed.emit()
            if self._is_waiting:
                self._still.start()

    def _settle(self) -> None:
        """Judge the preview in full once it has been held still."""
        if self._is_waiting:
            self._settled = self._preview
            self.settled.emit()

    def cancel_preview(self) -> None:
        """Show the case itself again."""
        if self._preview is not None:
            self._end_preview()
            self.shown_changed.emit()

    def _end_preview(self) -> None:
        self._preview = None
        go_on_tidying()

    def commit(self, text: str, case: Case, merge_key: str = "") -> None:
        """Make a change; `merge_key` joins it to the last one of the same key."""
        self._end_preview()
        if case == self._case:
            self.shown_changed.emit()
            return
        self._stack.push(ReplaceCase(self._put, self._case, case, text, merge_key))

    def commit_for_good(self, case: Case) -> None:
        """Make a change that cannot be taken back: what was before it is forgotten."""
        self._is_saved = False
        self._put(case)
        self._stack.clear()
        self._tell_state()

    def undo(self) -> None:
        """Take the last change back."""
        self.cancel_preview()
        self._stack.undo()

    def redo(self) -> None:
        """Make the change again that was taken back."""
        self.cancel_preview()
        self._stack.redo()

    @property
    def undo_text(self) -> str:
        """What undo would take back; empty when there is nothing."""
        return self._stack.undoText()

    @property
    def redo_text(self) -> str:
        """What redo would make again; empty when there is nothing."""
        return self._stack.redoText()

    # Files

    def start(self, case: Case) -> None:
        """Begin a new case, in no file yet; it counts as changed only once something is drawn."""
        self._load(case, None, None, is_saved=True)

    def open(self, path: Path) -> None:
        """Open a case file. Raises CaseFileError; the case that is open then stays."""
        opened = open_case(path)
        self._recovery.drop()
        self._load(opened.case, path, opened.hash, is_saved=True)

    def restore(self, case: Case, path: Path | None, opened_hash: str | None) -> None:
        """Open a recovered case: it counts as changed until it is saved."""
        self._load(case, path, opened_hash, is_saved=False)
        self._recovery.note_change()

    def save(self, path: Path, *, over_others: bool = False) -> None:
        """Write the case to `path`.

        Raises CaseChangedError when the file is no longer the one that was opened, unless
        `over_others`; CaseFileError when it cannot be written.
        """
        is_same = self.path is not None and path.resolve() == self.path.resolve()
        expected = self._opened_hash if is_same and not over_others else None
        self._opened_hash = write_case(
            self._case, path, expected_hash=expected, rules=rule_set_version()
        )
        self.path = path
        self._is_saved = True
        self._stack.setClean()
        self._recovery.drop()
        self._tell_state()

    def note_beside(self) -> None:
        """Something that belongs to the case, but is not in it, has changed."""
        if not self.is_preview:
            self._is_saved = False
            self._recovery.note_change()
            self._tell_state()

    def note_saved(self) -> None:
        """All of it has been written to another kind of file of the user's."""
        self._is_saved = True
        self._stack.setClean()
        self._recovery.drop()
        self._tell_state()

    def close(self) -> None:
        """Leave the case; its recovery copy goes too (the user has saved or discarded it)."""
        self._recovery.drop()
        self._load(EMPTY, None, None, is_saved=True)
        self.is_open = False
        self._tell_state()

    def write_recovery_now(self) -> None:
        """Write the recovery copy at once, for a crash."""
        if self.is_changed:
            self._recovery.write_now()

    def _load(
        self, case: Case, path: Path | None, opened_hash: str | None, *, is_saved: bool
    ) -> None:
        self._end_preview()
        self._case = case
        self.path = path
        self._opened_hash = opened_hash
        self._is_saved = is_saved
        self.is_open = True
        self._stack.clear()
        self._recovery.follow(
            lambda: Unsaved(self._case, self.path, self._opened_hash, self.sitting_copy())
        )
        self.loaded.emit()
        self.case_changed.emit()
        self.shown_changed.emit()
        self._tell_state()

    def _put(self, case: Case) -> None:
        self._case = case
        self._end_preview()
        if not self.is_preview:
            self._recovery.note_change()
        self.case_changed.emit()
        self.shown_changed.emit()

    def _tell_state(self) -> None:
        self.state_changed.emit()
