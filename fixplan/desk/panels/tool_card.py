"""The card of the tool in hand: how the next thing is drawn, and the way to draw it by numbers."""

from time import monotonic
from typing import get_args

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFormLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fixplan.case.scalars import WoundKind
from fixplan.desk.bench import LINE_WOUNDS, Bench
from fixplan.desk.panels.card import Card, soft_label
from fixplan.desk.panels.fields import FACES, Choice, Field
from fixplan.desk.panels.inputs import ChoiceInput, Input, NumberInput

GRADES = (Choice("open", "open, crushed or degloved"), Choice("bruised", "bruised or blistered"))
TITLES = {
    "fracture": "Fracture",
    "wound": "Wound",
    "injury": "Injury",
    "later": "Later fixation",
    "pin": "Pin",
    "bar": "Bar",
}
LINE_CHOICES = (Choice(False, "an outline"), Choice(True, "an incision line"))
LEVEL = Field("level", "Level", "number", "mm", -100, 600, 5, tip="From the bone's proximal end")
DOUBLE_S = 0.4
LENGTH = Field("long", "Length", "number", "mm", 1, 400, 5)


class ToolCard(Card):
    """Options of a drawing tool.

    Signals: `preset_asked` (id of a candidate's preset); `pin_asked` (bone, level in mm);
    `fracture_asked` (bone, level in mm, length in mm).
    """

    preset_asked = Signal(str)
    pin_asked = Signal(str, float)
    fracture_asked = Signal(str, float, float)

    def __init__(self, bench: Bench, parent: QWidget | None = None) -> None:
        super().__init__("Tool", parent)
        self._bench = bench
        self._hint = soft_label("")
        self.body.addWidget(self._hint)
        self._forms: dict[str, QWidget] = {}
        self._added_at = 0.0
        self._stack = QVBoxLayout()
        self.body.addLayout(self._stack)

    def show_tool(self, name: str, hint: str) -> None:
        """Show the options of a tool."""
        self.entitle(TITLES.get(name, ""))
        self._hint.setText(hint)
        if name not in self._forms and name in TITLES:
            self._forms[name] = self._form_of(name)
            self._stack.addWidget(self._forms[name])
        if name == "later":
            self._list_presets()
        for known, form in self._forms.items():
            form.setVisible(known == name)

    def _form_of(self, name: str) -> QWidget:
        if name == "wound":
            return self._wound_form()
        if name == "injury":
            return self._injury_form()
        if name == "later":
            return self._later_form()
        if name in ("pin", "fracture"):
            return self._numbers_form(name)
        return QWidget()

    def _wound_form(self) -> QWidget:
        kinds = tuple(Choice(kind, kind) for kind in get_args(WoundKind))
        face = self._option("face", "On the", FACES)
        width = self._half_width()

        def pick(value: object) -> None:
            self._set("wound", value)
            width.setEnabled(value in LINE_WOUNDS)

        kind = ChoiceInput(Field("wound", "Kind", "choice", choices=kinds), pick)
        kind.show_value(self._bench.options.wound)
        width.setEnabled(self._bench.options.wound in LINE_WOUNDS)
        return _form(kind, face, width)

    def _injury_form(self) -> QWidget:
        return _form(self._option("grade", "Grade", GRADES))

    def _later_form(self) -> QWidget:
        form = QWidget()
        column = QVBoxLayout(form)
        column.setContentsMargins(0, 0, 0, 0)
        self._presets = QListWidget()
        self._presets.setObjectName("presets")
        self._presets.setAccessibleName("Usual later fixation; Enter adds one")
        self._presets.setFixedHeight(7 * (self.fontMetrics().height() + 5))
        self._presets.itemClicked.connect(self._add_preset)
        self._presets.itemActivated.connect(self._add_preset)
        column.addWidget(self._presets)
        line = self._option("later_is_line", "Or draw", LINE_CHOICES)
        column.addWidget(_form(line, self._option("face", "On the", FACES), self._half_width()))
        return form

    def _list_presets(self) -> None:
        """The usual candidates, those of a broken bone first."""
        from fixplan.frame.presets import presets

        broken = {fracture.bone for fracture in self._bench.document.case.fractures}
        self._presets.clear()
        for preset in sorted(presets(), key=lambda one: one.bone not in broken):
            item = QListWidgetItem(preset.label, self._presets)
            item.setData(Qt.ItemDataRole.UserRole, preset.id)

    def _add_preset(self, item: QListWidgetItem) -> None:
        now = monotonic()
        if now - self._added_at > DOUBLE_S:
            self.preset_asked.emit(item.data(Qt.ItemDataRole.UserRole))
        self._added_at = now

    def _numbers_form(self, name: str) -> QWidget:
        """A bone and a level, for those who know the number or have no mouse."""
        from fixplan.case.limbs import limb_of_case
        from fixplan.frame.defaults import pinned_bones

        form = QWidget()
        rows = QFormLayout(form)
        rows.setContentsMargins(0, 0, 0, 0)
        bones = QComboBox()
        bones.setAccessibleName("Bone")
        bones.setObjectName("bone")
        bones.addItems(list(pinned_bones(limb_of_case(self._bench.document.case))))
        level = NumberInput(LEVEL, lambda _: None)
        level.show_value(100.0)
        length = NumberInput(LENGTH, lambda _: None)
        length.show_value(30.0)
        rows.addRow("Bone", bones)
        rows.addRow("Level", level)
        button = QPushButton("Place pin" if name == "pin" else "Mark fracture")
        button.setObjectName("place")
        if name == "pin":
            button.clicked.connect(
                lambda: self.pin_asked.emit(bones.currentText(), value_of(level))
            )
        else:
            rows.addRow("Length", length)
            button.clicked.connect(
                lambda: self.fracture_asked.emit(
                    bones.currentText(), value_of(level), value_of(length)
                )
            )
        rows.addRow("", button)
        return form

    def _half_width(self) -> Input:
        field = Field("half_width_mm", "Half-width", "number", "mm", 0, 100)
        made = NumberInput(field, lambda value: self._set("half_width_mm", value))
        made.show_value(self._bench.options.half_width_mm)
        return made

    def _option(self, name: str, label: str, choices: tuple[Choice, ...]) -> Input:
        field = Field(name, label, "choice", choices=choices)
        made = ChoiceInput(field, lambda value: self._set(name, value))
        made.show_value(getattr(self._bench.options, name))
        return made

    def _set(self, name: str, value: object) -> None:
        setattr(self._bench.options, name, value)
        self._bench.options_changed.emit()


def value_of(number: NumberInput) -> float:
    """What is typed in a number's input."""
    value: float = number.editor().property("value")
    return value


def _form(*inputs: Input) -> QWidget:
    form = QWidget()
    rows = QFormLayout(form)
    rows.setContentsMargins(0, 0, 0, 0)
    rows.setVerticalSpacing(5)
    for made in inputs:
        label = QLabel(made.field.label)
        label.setBuddy(made.editor())
        rows.addRow(label, made)
    return form
