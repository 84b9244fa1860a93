"""A sentence over the sheet until it is dismissed: it covers as little as it can, moves nothing."""

from collections.abc import Callable

import numpy as np
from PySide6.QtCore import QEvent, QObject, QRect, Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from fixplan.desk.free_room import Boxes, least_covering
from fixplan.desk.guard import guarded_with

EDGE_PX = 4
WIDEST_PX = (1240, 980, 780, 620, 500, 400)
"""How wide it may be at most; the first one that covers least is taken."""

Sheet = tuple[QRect, Boxes]
"""Where the sheet is on the screen, and left, top, right and bottom of what is drawn on it, px."""


class MessageStrip(QWidget):
    """Hidden while there is nothing to tell. `undo`: what its Undo button does."""

    def __init__(self, undo: Callable[[], object], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._sheet: Callable[[], Sheet | None] = lambda: None
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

    def keep_clear_of(self, sheet: Callable[[], Sheet | None]) -> None:
        """Lie on the sheet; `sheet` gives where it is on the screen and what is drawn on it."""
        self._sheet = sheet

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
        sheet = self._sheet()
        if sheet is None:
            width, height = self._size(area.width() - 2 * EDGE_PX, WIDEST_PX[1])
            self.setGeometry(EDGE_PX, area.height() - height - EDGE_PX, width, height)
            return
        room, taken = sheet
        inner = room.adjusted(EDGE_PX, EDGE_PX, -EDGE_PX, -EDGE_PX)
        boxes = taken - np.array([EDGE_PX, EDGE_PX, EDGE_PX, EDGE_PX, 0])
        sizes = dict.fromkeys(self._size(inner.width(), widest) for widest in WIDEST_PX)
        spots = {
            size: least_covering(boxes, (inner.width(), inner.height()), size) for size in sizes
        }
        size, spot = min(spots.items(), key=lambda one: one[1].covered)
        corner = area.mapFromGlobal(inner.topLeft())
        self.setGeometry(corner.x() + spot.x, corner.y() + spot.y, *size)

    def _size(self, area_px: int, widest_px: int) -> tuple[int, int]:
        """Width and height that the words and buttons take."""
        buttons = self.sizeHint().width() - self._words.sizeHint().width()
        told = self._words.fontMetrics().horizontalAdvance(self._words.text()) + 8
        width = min(buttons + told, widest_px, area_px)
        return width, max(self.heightForWidth(width), self.minimumSizeHint().height())
