"""What happens when the program itself is wrong: save first, then tell once."""

import sys
import traceback
from collections.abc import Callable, Iterable
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import Protocol

from fixplan import __version__
from fixplan.errors import FixplanError

Hook = Callable[[type[BaseException], BaseException, TracebackType | None], object]


class Keeps(Protocol):
    """Something with unsaved work."""

    def write_recovery_now(self) -> None:
        """Write the recovery copy at once."""


class CrashGuard:
    """A `sys.excepthook` that writes every recovery copy and a report, then tells the user once.

    `documents` lists the open documents; `tell` shows a sentence. The report holds the program's
    own lines and versions, nothing of the case.
    """

    def __init__(
        self,
        documents: Callable[[], Iterable[Keeps]],
        tell: Callable[[str], None],
        folder: Path,
        before: Hook = sys.__excepthook__,
    ) -> None:
        self._documents = documents
        self._tell = tell
        self._folder = folder
        self._before = before
        self._told: set[str] = set()

    def install(self) -> None:
        """Take exceptions from now on."""
        sys.excepthook = self

    def __call__(
        self,
        kind: type[BaseException],
        problem: BaseException,
        where: TracebackType | None,
    ) -> None:
        """Save, report, tell. A failing paint comes again at each repaint; a fault is told once."""
        if issubclass(kind, KeyboardInterrupt):
            self._before(kind, problem, where)
            return
        lost = [self._save(document) for document in self._documents()]
        place = _place(kind, where)
        if place in self._told:
            return
        self._told.add(place)
        self._before(kind, problem, where)
        report = self._report(kind, where)
        kept = "Your unsaved work could not be copied; save it now under a new name."
        if all(lost):
            kept = "Your work is in the recovery copy; save it, close the window and start again."
        words = f" A report lies at {report}." if report is not None else ""
        self._tell(f"Something went wrong inside the program ({kind.__name__}). {kept}{words}")

    def _save(self, document: Keeps) -> bool:
        try:
            document.write_recovery_now()
        except (FixplanError, OSError):
            return False
        return True

    def _report(self, kind: type[BaseException], where: TracebackType | None) -> Path | None:
        now = datetime.now().astimezone()
        lines = [f"fixplan {__version__}, Python {sys.version.split()[0]}, {now:%Y-%m-%d %H:%M}\n"]
        lines += [*traceback.format_tb(where), f"{kind.__name__}\n"]
        path = self._folder / f"report-{now:%Y%m%d-%H%M%S}.txt"
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            path.write_text("".join(lines), encoding="utf-8")
        except OSError:
            return None
        return path


def _place(kind: type[BaseException], where: TracebackType | None) -> str:
    """What tells one fault from another: its kind, and the line it came from."""
    frames = traceback.extract_tb(where)
    return f"{kind.__name__} {frames[-1].filename}:{frames[-1].lineno}" if frames else kind.__name__
