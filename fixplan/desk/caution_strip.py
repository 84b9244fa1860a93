"""The cautions of the first start, above the sheet, which stays in sight and can be used."""

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from fixplan.desk.guard import guarded

AWAY = (Qt.Key.Key_Escape, Qt.Key.Key_Return, Qt.Key.Key_Enter)


class CautionStrip(QWidget):
    """Hidden until cautions are to be read; Enter, Space or Esc takes it away."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("strip")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._read: Callable[[bool], None] | None = None
        self.words = QLabel()
        self.words.setWordWrap(True)
        self.words.setAccessibleName("Before you plan")
        self.again = QCheckBox("Show at the next start too")
        self.away = QPushButton("I have read this")
        self.away.setToolTip("Enter, Space or Esc")
        self.away.clicked.connect(self._take_away)
        ends = QVBoxLayout()
        ends.addWidget(self.away)
        ends.addWidget(self.again)
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 4, 8, 4)
        row.addWidget(self.words, 1)
        row.addLayout(ends)
        self.hide()

    def show_cautions(self, cautions: tuple[str, ...], read: Callable[[bool], None]) -> None:
        """Show them and take the keys; `read` is told whether they are to be shown again."""
        self._read = read
        self.words.setText(f"<b>Before you plan.</b> {' '.join(cautions)}")
        self.away.setAccessibleDescription(" ".join(cautions))
        self.show()
        self.away.setFocus()

    def _take_away(self) -> None:
        self.hide()
        if self._read is not None:
            self._read(self.again.isChecked())

    @guarded
    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter and Esc take the strip away, as Space does on its button."""
        if event.key() in AWAY:
            self._take_away()
            return
        super().keyPressEvent(event)
