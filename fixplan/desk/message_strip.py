"""The strip above the sheet that tells one sentence until it is dismissed."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget


class MessageStrip(QWidget):
    """Hidden while there is nothing to tell."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("strip")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._words = QLabel()
        self._words.setWordWrap(True)
        self._words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._words.setAccessibleName("Message")
        self.away = QPushButton("Dismiss")
        self.away.clicked.connect(self.hide)
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 3, 8, 3)
        row.addWidget(self._words, 1)
        row.addWidget(self.away)
        self.hide()

    def say(self, sentence: str) -> None:
        """Show a sentence."""
        self._words.setText(sentence)
        self.show()

    def said(self) -> str:
        """The sentence that is shown; empty when there is none."""
        return "" if self.isHidden() else self._words.text()
