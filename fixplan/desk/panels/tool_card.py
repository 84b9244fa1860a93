"""The card of the tool in hand: how the next thing is drawn, and the way to draw it by numbers."""

from time import monotonic
from typing import get_args

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QFormLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QVBoxLayout,
    QWidget,
)

from fixplan.case.limbs import limb_of_case
from fixplan.case.scalars import WoundKind
from fixplan.desk.bench import LINE_WOUNDS, Bench, ToolOptions
from fixplan.desk.panels.card import Card, soft_label
from fixplan.desk.panels.fields import FACES, Choice, Field
from fixplan.desk.panels.inputs import ChoiceInput, Input, NumberInput
from fixplan.desk.panels.number_forms import BarForm, NumbersForm
from fixplan.desk.tab_order import give_keys, tab_stops

GRADES = (Choice("open", "open, crushed or degloved"), Choice("bruised", "bruised or blistered"))
TITLES = {
    "fracture": "Fracture",
    "wound": "Wound",
    "injury": "Injury",
    "later": "Later fixation",
    "pin": "Pin",
    "bar": "Bar",
    "tape": "Schematic distance",
}
LINE_CHOICES = (Choice(False, "an outline"), Choice(True, "an incision line"))
DOUBLE_S = 0.4
BY_NUMBERS: dict[str, tuple[str, tuple[tuple[str, str], ...], str]] = {
    "fracture": ("Bone", (("level", "From level"), ("long", "Length")), "Mark fracture"),
    "pin": ("Bone", (("level", "Level"),), "Place pin"),
    "injury": ("Part", (("level", "From level"), ("to", "To level")), "Mark zone in both views"),
    "later": ("Part", (("level", "From level"), ("to", "To level")), "Keep this zone free"),
}
"""For each tool: what is chosen, the numbers, and the words on the button."""


class ToolCard(Card):
    """Options of a drawing tool.

    Signals: `preset_asked` (id of a candidate's preset); `numbers_asked` (tool, bone or part,
    numbers in mm); `bar_asked` (ids of two pins).
    """

    preset_asked = Signal(str)
    numbers_asked = Signal(str, str, tuple)
    bar_asked = Signal(str, str)

    def __init__(self, bench: Bench, parent: QWidget | None = None) -> None:
        super().__init__("Tool", parent)
        self._bench = bench
        self._hint = soft_label("")
        self.body.addWidget(self._hint)
        self._forms: dict[str, QWidget] = {}
        self._numbers: list[NumbersForm | BarForm] = []
        self._faces: list[Input] = []
        self._added_at = 0.0
        bench.document.loaded.connect(self._begin_on_near_face)
        bench.document.case_changed.connect(self._show_case)
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
        self._show_case()

    def take_focus(self) -> bool:
        """Give the keys to the first input of the tool; False when it has none."""
        for form in self._forms.values():
            stops = tab_stops(form) if form.isVisible() else []
            if stops:
                give_keys(stops[0])
                return True
        return False

    def _show_case(self) -> None:
        if self._bench.document.is_open:
            for known in self._numbers:
                if known.isVisibleTo(self):
                    known.show_case()

    def _form_of(self, name: str) -> QWidget:
        made = {
            "wound": self._wound_form,
            "injury": self._injury_form,
            "later": self._later_form,
            "bar": self._bar_form,
        }.get(name)
        form, numbers = (made() if made else QWidget()), BY_NUMBERS.get(name)
        if numbers is None:
            return form
        both = QWidget()
        column = QVBoxLayout(both)
        column.setContentsMargins(0, 0, 0, 0)
        if made:
            column.addWidget(form)
        column.addWidget(self._by_numbers(name))
        return both

    def _by_numbers(self, name: str) -> NumbersForm:
        form = NumbersForm(self._bench, *BY_NUMBERS[name], follows_pins=name == "pin")
        form.given.connect(lambda where, mm: self.numbers_asked.emit(name, where, mm))
        self._numbers.append(form)
        return form

    def _bar_form(self) -> QWidget:
        form = BarForm(self._bench)
        form.given.connect(self.bar_asked)
        self._numbers.append(form)
        return form

    def _wound_form(self) -> QWidget:
        kinds = tuple(Choice(kind, kind) for kind in get_args(WoundKind))
        face = self._face()
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
        column.addWidget(_form(line, self._face(), self._half_width()))
        return form

    def _list_presets(self) -> None:
        """The usual candidates, those of a broken bone first."""
        from fixplan.frame.presets import presets_of

        case = self._bench.document.case
        broken = {fracture.bone for fracture in case.fractures}
        self._presets.clear()
        for preset in sorted(
            presets_of(limb_of_case(case)), key=lambda one: one.bone not in broken
        ):
            item = QListWidgetItem(preset.label, self._presets)
            item.setData(Qt.ItemDataRole.UserRole, preset.id)

    def _add_preset(self, item: QListWidgetItem) -> None:
        now = monotonic()
        if now - self._added_at > DOUBLE_S:
            self.preset_asked.emit(item.data(Qt.ItemDataRole.UserRole))
        self._added_at = now

    def _half_width(self) -> Input:
        field = Field("half_width_mm", "Half-width", "number", "mm", 0, 100)
        made = NumberInput(field, lambda value: self._set("half_width_mm", value))
        made.show_value(self._bench.options.half_width_mm)
        return made

    def _face(self) -> Input:
        """On which face the next thing is drawn: one choice, shown by every tool that has it."""
        made = self._option("face", "On the", FACES)
        self._faces.append(made)
        return made

    def _begin_on_near_face(self) -> None:
        """Another case: what was chosen for the last one must not put a wound on the far side."""
        self._set("face", ToolOptions().face)

    def _option(self, name: str, label: str, choices: tuple[Choice, ...]) -> Input:
        field = Field(name, label, "choice", choices=choices)
        made = ChoiceInput(field, lambda value: self._set(name, value))
        made.show_value(getattr(self._bench.options, name))
        return made

    def _set(self, name: str, value: object) -> None:
        setattr(self._bench.options, name, value)
        if name == "face":
            for one in self._faces:
                one.show_value(value)
        self._bench.options_changed.emit()


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
