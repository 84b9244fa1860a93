"""The step of the undo stack: whole cases, swapped."""

from collections.abc import Callable
from zlib import crc32

from PySide6.QtGui import QUndoCommand

from fixplan.case.records import Case
from fixplan.desk.guard import guarded_with


class ReplaceCase(QUndoCommand):
    """The one command there is: the case before, the case after; `put` sets a case."""

    def __init__(
        self, put: Callable[[Case], None], before: Case, after: Case, text: str, merge_key: str
    ) -> None:
        super().__init__(text)
        self._put = put
        self._before = before
        self._after = after
        self._merge_key = merge_key

    def id(self) -> int:
        """Commands of one merge key may be joined; -1: never."""
        return crc32(self._merge_key.encode()) & 0x7FFFFFFF if self._merge_key else -1

    def redo(self) -> None:
        """Set the case after the change."""
        self._put(self._after)

    def undo(self) -> None:
        """Set the case before the change."""
        self._put(self._before)

    @guarded_with(False)
    def mergeWith(self, other: QUndoCommand) -> bool:
        """Join a further step of the same nudge or spin; one that ends where it began goes."""
        if not isinstance(other, ReplaceCase) or other._merge_key != self._merge_key:
            return False
        self._after = other._after
        self.setObsolete(self._after == self._before)
        return True
