"""A form of fields, and a button with a list of words to tick."""

from collections.abc import Callable, Mapping, Sequence
from functools import partial

from PySide6.QtCore import QSignalBlocker, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFormLayout, QLabel, QMenu, QPushButton, QSizePolicy, QWidget

from fixplan.desk.guard import guarded
from fixplan.desk.panels.fields import Field
from fixplan.desk.panels.inputs import INPUTS, Input

ChangedField = Callable[[str, object], None]


class FieldForm(QWidget):
    """One line for each field; `changed` is told name and value after the user's own change."""

    def __init__(
        self, fields: Sequence[Field], changed: ChangedField, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.inputs: dict[str, Input] = {}
        self._lines = QFormLayout(self)
        self._lines.setContentsMargins(0, 0, 0, 0)
        self._lines.setVerticalSpacing(4)
        self._lines.setLabelAlignment(Qt.AlignmentFlag.AlignLeft)
        self._lines.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        for field in fields:
            made = INPUTS[field.kind](field, partial(changed, field.name))
            self.inputs[field.name] = made
            if field.kind == "flag":
                self._lines.addRow(made)
            else:
                self.add(field.label, made, made.editor())

    def add(self, label: str, held: QWidget, editor: QWidget) -> None:
        """Add a line of its own."""
        words = QLabel(label)
        words.setBuddy(editor)
        self._lines.addRow(words, held)

    def show_row(self, name: str, is_shown: bool) -> None:
        """Show or hide one line."""
        self._lines.setRowVisible(self.inputs[name], is_shown)

    def show_values(self, values: Mapping[str, object]) -> None:
        """Show what the records hold; a field that is being typed in is left alone."""
        for name, value in values.items():
            self.inputs[name].show_value(value)


class TickList(QPushButton):
    """A button that opens a list of words to tick, and shows those that are ticked."""

    def __init__(
        self,
        name: str,
        words: Sequence[str],
        changed: Callable[[tuple[str, ...]], None],
        none: str,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._words, self._changed, self._none = tuple(words), changed, none
        self._menu = QMenu(self)
        self._ticked: tuple[str, ...] = ()
        for word in self._words:
            action = self._menu.addAction(word)
            action.setCheckable(True)
            action.toggled.connect(partial(self._tick, word))
        self.setMenu(self._menu)
        self.setStyleSheet("text-align: left; padding: 3px 8px;")
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def show_ticked(self, words: Sequence[str]) -> None:
        """Show which are ticked, in the order in which they are listed."""
        self._ticked = tuple(word for word in self._words if word in words)
        for action in self._menu.actions():
            blocker = QSignalBlocker(action)
            action.setChecked(action.text() in self._ticked)
            blocker.unblock()
        told = ", ".join(self._ticked) or self._none
        self.setText(self._shortened(told))
        self.setToolTip(told)
        self.setAccessibleDescription(told)

    def tick(self, word: str) -> None:
        """Tick a word, or take its tick away, as a hand does in the list."""
        next(one for one in self._menu.actions() if one.text() == word).trigger()

    @guarded
    def resizeEvent(self, event: QResizeEvent) -> None:
        """As many of the words as there is room for."""
        super().resizeEvent(event)
        self.setText(self._shortened(self.toolTip()))

    def _shortened(self, told: str) -> str:
        room = max(120, self.width() - 36)
        return self.fontMetrics().elidedText(told, Qt.TextElideMode.ElideRight, room)

    def _tick(self, word: str, is_ticked: bool) -> None:
        kept = [one for one in self._words if (is_ticked if one == word else one in self._ticked)]
        self._changed(tuple(kept))
