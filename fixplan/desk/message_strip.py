"""A sentence that lies over the foot of the sheet until it is dismissed; it moves nothing."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from fixplan.desk.guard import guarded_with

EDGE_PX = 10
WIDEST_PX = 980
SHARE = 0.62
"""How much of the window's width it takes at most, so that the column stays free."""


class MessageStrip(QWidget):
    """Hidden while there is nothing to tell. `undo`: what its Undo button does."""

    def __init__(self, undo: Callable[[], object], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("message")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._words = QLabel()
        self._words.setWordWrap(True)
        self._words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._words.setAccessibleName("Message")
        self.undo = QPushButton("Undo")
        self.undo.clicked.connect(undo)
        self.away = QPushButton("Dismiss")
        self.away.clicked.connect(self.hide)
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 5, 8, 5)
        row.addWidget(self._words, 1)
        row.addWidget(self.undo)
        row.addWidget(self.away)
        self.hide()

    def float_over(self, area: QWidget) -> None:
        """Lie over the foot of an area, at any size of it."""
        self.setParent(area)
        area.installEventFilter(self)

    def say(self, sentence: str, *, offers_undo: bool = False) -> None:
        """Show a sentence."""
        self._words.setText(sentence)
        self.undo.setVisible(offers_undo)
        self._place()
        self.show()
        self.raise_()

    def said(self) -> str:
        """The sentence that is shown; empty when there is none."""
        return "" if self.isHidden() else self._words.text()

    @guarded_with(False)
    def eventFilter(self, area: QObject, event: QEvent) -> bool:
        """Follow the area's size."""
        if event.type() == QEvent.Type.Resize:
            self._place()
        return super().eventFilter(area, event)

    def _place(self) -> None:
        area = self.parentWidget()
        if area is None:
            return
        buttons = self.sizeHint().width() - self._words.sizeHint().width()
        told = self._words.fontMetrics().horizontalAdvance(self._words.text()) + 8
        width = min(buttons + told, WIDEST_PX, int(SHARE * area.width()))
        height = max(self.heightForWidth(width), self.minimumSizeHint().height())
        self.setGeometry(EDGE_PX, area.height() - height - EDGE_PX, width, height)
