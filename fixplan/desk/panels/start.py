"""What an empty window shows: begin a case, open one, or one of the last."""

from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from fixplan.desk.panels.card import Card, soft_label

RECENT_SHOWN = 6


class StartPage(QWidget):
    """Signals: `new_asked`, `open_asked`, and `path_asked` with a recent case."""

    new_asked = Signal()
    open_asked = Signal()
    path_asked = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("start")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        outer = QVBoxLayout(self)
        outer.addStretch(2)
        row = QHBoxLayout()
        row.addStretch(1)
        self._card = Card("Plan a temporary external frame")
        self._card.setFixedWidth(480)
        row.addWidget(self._card)
        row.addStretch(1)
        outer.addLayout(row)
        outer.addStretch(3)
        self._card.body.addWidget(
            soft_label("On a schematic limb, for planning and teaching; not a medical device.")
        )
        self.new = QPushButton("New case…")
        self.new.setDefault(True)
        self.open = QPushButton("Open a case…")
        self.new.clicked.connect(self.new_asked)
        self.open.clicked.connect(self.open_asked)
        buttons = QHBoxLayout()
        buttons.addWidget(self.new)
        buttons.addWidget(self.open)
        self._card.body.addLayout(buttons)
        self._recent = QVBoxLayout()
        self._recent.setSpacing(4)
        self._card.body.addLayout(self._recent)

    def show_recent(self, paths: list[Path]) -> None:
        """List the last cases."""
        while (item := self._recent.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.deleteLater()
        if paths:
            self._recent.addWidget(soft_label("Last used"))
        for path in paths[:RECENT_SHOWN]:
            button = QPushButton(path.stem)
            button.setToolTip(str(path))
            button.setAccessibleDescription(str(path))
            button.clicked.connect(lambda _=False, chosen=path: self.path_asked.emit(chosen))
            self._recent.addWidget(button)
