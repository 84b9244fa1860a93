"""What is selected on the desk. Not part of the case."""

from PySide6.QtCore import QObject, Signal


class Selection(QObject):
    """The id of the selected thing, or None. `changed` tells of a new one."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._subject: str | None = None

    @property
    def subject(self) -> str | None:
        """The selected thing's id."""
        return self._subject

    def select(self, subject: str | None) -> None:
        """Select a thing, or nothing."""
        if subject != self._subject:
            self._subject = subject
            self.changed.emit()
