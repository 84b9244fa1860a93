"""The recovery copy of one window, with its lock; and the copies that no window holds any more."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import QLockFile, QObject, QTimer, Signal

from fixplan.case.records import Case
from fixplan.case.recovery import (
    RecoveryCopy,
    copies,
    discard_copy,
    lock_of,
    new_copy_path,
    write_copy,
)

AFTER_CHANGE_MS = 2000
TRY_LOCK_MS = 50


class SittingCopy(NamedTuple):
    """What the sitting of an exercise adds to a copy: its document, and where its key lay."""

    document: dict[str, object]
    folder: str


class Unsaved(NamedTuple):
    """What a recovery copy holds: the case and the file that it came from."""

    case: Case
    path: Path | None
    opened_hash: str | None
    sitting: SittingCopy | None = None


class Recovery(QObject):
    """Writes a copy 2 s after the first change since the last write (D20).

    `attempt` runs the write and tells the user when it fails; `state_changed` tells the status bar.
    """

    state_changed = Signal()

    def __init__(self, folder: Path, attempt: Callable[[Callable[[], None]], bool]) -> None:
        super().__init__()
        self._folder = folder
        self._attempt = attempt
        self._copy: Path | None = None
        self._lock: QLockFile | None = None
        self._source: Callable[[], Unsaved] | None = None
        self._words = "no unsaved changes"
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(AFTER_CHANGE_MS)
        self._timer.timeout.connect(self._write)

    @property
    def words(self) -> str:
        """The state of the copy, for the status bar."""
        return self._words

    @property
    def copy_path(self) -> Path | None:
        """Where this window's copy lies, once there is one."""
        return self._copy

    def follow(self, source: Callable[[], Unsaved]) -> None:
        """Copy what `source` gives from now on."""
        self._source = source

    def note_change(self) -> None:
        """Start the timer; one that runs already is not started anew."""
        if not self._timer.isActive():
            self._timer.start()
            self._say("recovery copy in 2 s")

    def write_now(self) -> None:
        """Write the copy. Raises CaseFileError when it cannot be written."""
        self._timer.stop()
        if self._source is None:
            return
        unsaved = self._source()
        now = datetime.now().astimezone()
        copy = RecoveryCopy(
            case=unsaved.case,
            origin="" if unsaved.path is None else str(unsaved.path),
            origin_hash=unsaved.opened_hash or "",
            written_at=f"{now:%Y-%m-%d %H:%M:%S}",
            sitting=None if unsaved.sitting is None else unsaved.sitting.document,
            sitting_folder="" if unsaved.sitting is None else unsaved.sitting.folder,
        )
        write_copy(copy, self._own_copy())
        self._say(f"recovery copy written {now:%H:%M:%S}")

    def drop(self) -> None:
        """Take the copy away: the case is saved, or discarded on purpose."""
        self._timer.stop()
        if self._copy is not None:
            discard_copy(self._copy)
        if self._lock is not None:
            self._lock.unlock()
        self._copy, self._lock = None, None
        self._say("no unsaved changes")

    def _own_copy(self) -> Path:
        if self._copy is None:
            self._copy = new_copy_path(self._folder)
            self._lock = QLockFile(str(lock_of(self._copy)))
            self._lock.setStaleLockTime(0)
            self._lock.tryLock(TRY_LOCK_MS)
        return self._copy

    def _write(self) -> None:
        if not self._attempt(self.write_now):
            self._say("NO RECOVERY COPY: save now")

    def _say(self, words: str) -> None:
        if words != self._words:
            self._words = words
            self.state_changed.emit()


class Abandoned(NamedTuple):
    """A copy that no window holds, with the lock that keeps other windows from offering it too."""

    path: Path
    lock: QLockFile

    def discard(self) -> None:
        """Take the copy and its lock away."""
        discard_copy(self.path)
        self.lock.unlock()

    def leave(self) -> None:
        """Keep the copy for another time."""
        self.lock.unlock()


def abandoned_copies(folder: Path) -> list[Abandoned]:
    """Copies whose window is gone, newest first; each is locked for the asker."""
    found = []
    for path in copies(folder):
        lock = QLockFile(str(lock_of(path)))
        lock.setStaleLockTime(0)
        if lock.tryLock(TRY_LOCK_MS):
            found.append(Abandoned(path, lock))
    return found
