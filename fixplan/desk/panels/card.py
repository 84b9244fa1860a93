"""A card in the right column: a title, a few words beside it, and what it holds."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)


class Card(QFrame):
    """A titled card."""

    def __init__(self, title: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self.setAccessibleName(title)
        self._title = QLabel(title)
        self._title.setObjectName("cardTitle")
        self._beside = soft_label("")
        self._beside.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self._head = head = QHBoxLayout()
        head.addWidget(self._title)
        head.addWidget(self._beside, 1)
        self.body = QVBoxLayout(self)
        self.body.setContentsMargins(12, 9, 12, 10)
        self.body.setSpacing(7)
        self.body.addLayout(head)

    @property
    def title(self) -> str:
        """The title in words."""
        return self._title.text()

    @property
    def beside(self) -> str:
        """The words beside the title."""
        return self._beside.text()

    def add_fold(self, folded: QWidget) -> QToolButton:
        """A button before the title that hides and shows a part of the card."""
        button = QToolButton()
        button.setObjectName("fold")
        button.setAutoRaise(True)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        button.setAccessibleName(f"More about {self.title[:1].lower()}{self.title[1:]}")
        button.setCheckable(True)

        def show(is_open: bool) -> None:
            folded.setVisible(is_open)
            button.setArrowType(Qt.ArrowType.DownArrow if is_open else Qt.ArrowType.RightArrow)
            button.setToolTip("Show less" if is_open else "Show more")

        button.toggled.connect(show)
        self._head.insertWidget(0, button)
        show(False)
        return button

    def entitle(self, title: str, beside: str = "") -> None:
        """Give the card another title, and other words beside it."""
        if title != self._title.text():
            self._title.setText(title)
            self.setAccessibleName(title)
        if beside != self._beside.text():
            self._beside.setText(beside)
            self.setAccessibleDescription(beside)


def soft_label(text: str) -> QLabel:
    """Words in the soft ink; they wrap."""
    label = QLabel(text)
    label.setObjectName("soft")
    label.setWordWrap(" " in text or not text)
    label.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
    return label
