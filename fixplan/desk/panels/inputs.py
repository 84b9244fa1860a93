"""Inputs for one property each: a number, one that may be left open, text, a choice, a flag."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent, QWheelEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDoubleSpinBox,
    QHBoxLayout,
    QLineEdit,
    QWidget,
)

from fixplan.desk.guard import guarded, guarded_with
from fixplan.desk.panels.fields import Field

Changed = Callable[[object], None]
ROOM_PX = 9
FINE_STEP = 0.1
"""Below this step a number has two decimals."""


class Input(QWidget):
    """Base of the inputs: `show_value` never tells of a change; only the user's own hand does."""

    def __init__(self, field: Field, changed: Changed, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.field = field
        self._tell = changed
        self._is_showing = False
        self.row = QHBoxLayout(self)
        self.row.setContentsMargins(0, 0, 0, 0)

    def show_value(self, value: object) -> None:
        """Show what the record holds."""
        self._is_showing = True
        self._put(value)
        self._is_showing = False

    def editor(self) -> QWidget:
        """The widget that takes the keys."""
        raise NotImplementedError

    def _put(self, value: object) -> None:
        raise NotImplementedError

    def changed(self, value: object) -> None:
        """Tell of the user's change."""
        if not self._is_showing:
            self._tell(value)

    def take(self, editor: QWidget) -> None:
        """Hold an editor, named for a screen reader."""
        editor.setAccessibleName(self.field.label)
        editor.setAccessibleDescription(self.field.tip)
        editor.setToolTip(self.field.tip)
        editor.setObjectName(self.field.name)
        editor.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        editor.installEventFilter(self)
        self.row.addWidget(editor, 1)

    @guarded_with(False)
    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """A wheel over an input without focus scrolls the panel, it does not change a plan."""
        turns = isinstance(event, QWheelEvent) and isinstance(watched, QWidget)
        if turns and isinstance(watched, QWidget) and not watched.hasFocus():
            event.ignore()
            return True
        return super().eventFilter(watched, event)


def spin_box(field: Field) -> QDoubleSpinBox:
    """A spin box that shows whole numbers whole and steps as the field says."""
    box = PlainNumber()
    box.setRange(field.low, field.high)
    box.setSingleStep(field.step)
    box.setDecimals(2 if field.step < FINE_STEP else 1)
    box.setSuffix(f" {field.unit}" if field.unit not in ("", "°") else field.unit)
    box.setKeyboardTracking(False)
    return box


class PlainNumber(QDoubleSpinBox):
    """A number without a needless ".0"."""

    def __init__(self) -> None:
        super().__init__()
        self.setMinimumHeight(self.fontMetrics().height() + ROOM_PX)

    @guarded_with("")
    def textFromValue(self, value: float) -> str:
        """Whole numbers without decimals."""
        text = f"{value:.{self.decimals()}f}"
        whole, _, part = text.partition(".")
        if part.strip("0"):
            return text
        return "0" if whole == "-0" else whole


class NumberInput(Input):
    """A number that is always given."""

    def __init__(self, field: Field, changed: Changed, parent: QWidget | None = None) -> None:
        super().__init__(field, changed, parent)
        self._box = spin_box(field)
        self._box.valueChanged.connect(self.changed)
        self.take(self._box)

    def editor(self) -> QWidget:
        """The spin box."""
        return self._box

    def _put(self, value: object) -> None:
        if isinstance(value, float | int):
            self._box.setValue(float(value))


class OptionalNumberInput(Input):
    """A number that may be left open: a tick says whether it is given."""

    def __init__(self, field: Field, changed: Changed, parent: QWidget | None = None) -> None:
        super().__init__(field, changed, parent)
        self._tick = QCheckBox()
        self._tick.setAccessibleName(f"{field.label} typed")
        self._tick.setToolTip(f"Ticked: typed here. Not ticked: {field.unset}")
        self._box = spin_box(field)
        self.row.addWidget(self._tick)
        self.take(self._box)
        self._none = QLineEdit(field.unset)
        self._none.setReadOnly(True)
        self._none.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._none.setEnabled(False)
        self.row.addWidget(self._none, 1)
        self._suggested = field.low
        self._tick.toggled.connect(self._toggle)
        self._box.valueChanged.connect(self._type)

    def suggest(self, value: float) -> None:
        """What a tick begins with."""
        self._suggested = value

    def editor(self) -> QWidget:
        """The spin box."""
        return self._box

    def _put(self, value: object) -> None:
        given = isinstance(value, float | int)
        self._tick.setChecked(given)
        self._box.setValue(float(value) if isinstance(value, float | int) else self._suggested)
        self._box.setVisible(given)
        self._none.setVisible(not given)

    def _toggle(self, is_given: bool) -> None:
        if self._is_showing:
            return
        value = self._suggested if is_given else None
        self.show_value(value)
        self.changed(value)

    def _type(self, value: float) -> None:
        if self._tick.isChecked():
            self.changed(value)


class TextInput(Input):
    """A line of text."""

    def __init__(self, field: Field, changed: Changed, parent: QWidget | None = None) -> None:
        super().__init__(field, changed, parent)
        self._line = QLineEdit()
        self._line.setMaxLength(200)
        self._line.editingFinished.connect(self._finish)
        self._shown = ""
        self.take(self._line)

    def editor(self) -> QWidget:
        """The line."""
        return self._line

    def _put(self, value: object) -> None:
        self._shown = str(value)
        if self._line.text() != self._shown:
            self._line.setText(self._shown)

    def _finish(self) -> None:
        text = self._line.text().strip()
        if text != self._shown:
            self._shown = text
            self.changed(text)


class ChoiceBox(QComboBox):
    """A list of choices in which typed letters look for a choice; they pick no tool meanwhile."""

    @guarded_with(False)
    def event(self, event: QEvent) -> bool:
        """Letters are meant for the list."""
        is_override = event.type() == QEvent.Type.ShortcutOverride
        if is_override and isinstance(event, QKeyEvent) and _is_letter(event):
            event.accept()
            return True
        return super().event(event)

    @guarded
    def wheelEvent(self, event: QWheelEvent) -> None:
        """A wheel over a list without focus scrolls the panel, it does not change the choice."""
        if self.hasFocus():
            super().wheelEvent(event)
        else:
            event.ignore()


def _is_letter(event: QKeyEvent) -> bool:
    plain = event.modifiers() in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier)
    return plain and event.text().isprintable() and bool(event.text())


class ChoiceInput(Input):
    """One of a few values."""

    def __init__(self, field: Field, changed: Changed, parent: QWidget | None = None) -> None:
        super().__init__(field, changed, parent)
        self._list = ChoiceBox()
        for choice in field.choices:
            self._list.addItem(choice.words, choice.value)
        self._list.setMinimumContentsLength(10)
        self._list.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self._list.currentIndexChanged.connect(self._pick)
        self.take(self._list)

    def editor(self) -> QWidget:
        """The list."""
        return self._list

    def _put(self, value: object) -> None:
        values = [choice.value for choice in self.field.choices]
        self._list.setCurrentIndex(values.index(value) if value in values else -1)

    def _pick(self, index: int) -> None:
        if index >= 0:
            self.changed(self.field.choices[index].value)


class FlagInput(Input):
    """Yes or no."""

    def __init__(self, field: Field, changed: Changed, parent: QWidget | None = None) -> None:
        super().__init__(field, changed, parent)
        self._tick = QCheckBox(field.label)
        self._tick.toggled.connect(self.changed)
        self.take(self._tick)

    def editor(self) -> QWidget:
        """The tick box."""
        return self._tick

    def _put(self, value: object) -> None:
        self._tick.setChecked(bool(value))


INPUTS: dict[str, type[Input]] = {
    "number": NumberInput,
    "optional number": OptionalNumberInput,
    "text": TextInput,
    "choice": ChoiceInput,
    "flag": FlagInput,
}
