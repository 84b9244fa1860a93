"""The time of the try that is being planned: it runs, stands still while a mark is read."""

from time import monotonic

from PySide6.QtCore import QObject, QTimer, Signal

TICK_MS = 500


class SittingClock(QObject):
    """`ticked` twice a second while a try is planned."""

    ticked = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._began = 0.0
        self._timer = QTimer(self)
        self._timer.setInterval(TICK_MS)
        self._timer.timeout.connect(self.ticked)

    @property
    def minutes(self) -> float:
        """Minutes since the try began or was gone on with; 0 while none is planned."""
        return (monotonic() - self._began) / 60 if self._timer.isActive() else 0.0

    def begin(self) -> None:
        """A try begins, or is gone on with."""
        self._began = monotonic()
        self._timer.start()
        self.ticked.emit()

    def stop(self) -> None:
        """Nothing is planned."""
        self._timer.stop()
