"""Forms that draw by numbers: for those who know the number, and for the keyboard alone."""

from collections.abc import Iterator

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QFormLayout, QLabel, QPushButton, QWidget

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Pin
from fixplan.desk.bench import Bench
from fixplan.desk.datum import (
    counted_from_mm,
    counted_words,
    ray_words,
    usual_fracture_mm,
    usual_level_mm,
)
from fixplan.desk.panels.card import soft_label
from fixplan.desk.panels.fields import Field
from fixplan.desk.panels.inputs import ChoiceBox, NumberInput
from fixplan.desk.subjects import thing_of
from fixplan.frame.defaults import pinned_bones
from fixplan.limb.anatomy import Limb

LEVEL_RANGE = (-100, 600, 5)
USUAL_ZONE_MM = 60.0


class NumbersForm(QWidget):
    """A place on the limb and a button; `given` tells where and the numbers typed.

    `fields`: names and labels of the numbers, the first of them a level. What is chosen first is
    left open until it is plain: the bone of the selected thing, or the only broken one. With
    `follows_pins` the level is that of the selected pin, after a change of case or selection.
    """

    given = Signal(str, tuple)

    def __init__(
        self,
        bench: Bench,
        place: str,
        fields: tuple[tuple[str, str], ...],
        button: str,
        *,
        follows_pins: bool = False,
    ) -> None:
        super().__init__()
        self._follows_pins = follows_pins
        self._bench = bench
        self._place = place
        self._rows = QFormLayout(self)
        self._rows.setContentsMargins(0, 0, 0, 0)
        self._rows.setVerticalSpacing(5)
        self.chooser = _chooser(place, f"choose the {place.lower()}")
        self._add(place, self.chooser)
        self._counted = soft_label("")
        self._rows.addRow(self._counted)
        self._numbers = [self._number(name, label) for name, label in fields]
        self._told = soft_label("")
        self._told.setAccessibleName("Levels in words")
        self._rows.addRow(self._told)
        self.button = QPushButton(button)
        self.button.setObjectName("place")
        self.button.clicked.connect(self._give)
        self._rows.addRow("", self.button)
        self.chooser.currentIndexChanged.connect(self._choose)
        self._listed_for: tuple[str, str] | None = None
        if follows_pins:
            bench.selection.changed.connect(self._show_selected)

    def show_case(self) -> None:
        """Offer what this case's limb has, and what is plainly meant."""
        case = self._bench.document.case
        if self._listed_for != (case.limb, case.side):
            self._listed_for = (case.limb, case.side)
            self.chooser.blockSignals(True)
            self.chooser.clear()
            for name, words in self._offered(limb_of_case(case)):
                self.chooser.addItem(words, name)
            self.chooser.setCurrentIndex(-1)
            self.chooser.blockSignals(False)
        meant = self._meant(case)
        if meant:
            self.chooser.setCurrentIndex(self.chooser.findData(meant))
        self._follow(case)
        self._tell()

    def _show_selected(self) -> None:
        if self._bench.document.is_open and self.isVisible():
            self.show_case()

    def _follow(self, case: Case) -> None:
        """A form for pins shows the level of the pin that has just been placed or moved."""
        pin = thing_of(case, self._bench.selection.subject)
        if self._follows_pins and isinstance(pin, Pin):
            self._numbers[0].show_value(pin.level_mm - self._counted_from_mm(pin.bone))

    def _offered(self, limb: Limb) -> Iterator[tuple[str, str]]:
        if self._place == "Bone":
            for bone in pinned_bones(limb):
                yield bone, limb.bones[bone].title
        else:
            for name, segment in limb.segments.items():
                yield name, segment.title

    def _meant(self, case: Case) -> str:
        """The bone or part that is plainly meant; empty when it is not."""
        thing = thing_of(case, self._bench.selection.subject)
        bone = str(getattr(thing, "bone", ""))
        broken = {fracture.bone for fracture in case.fractures}
        if not bone and len(broken) == 1:
            (bone,) = broken
        if self._place == "Bone" or not bone:
            return bone
        known = limb_of_case(case).bones.get(bone)
        return known.segment if known is not None else ""

    def _number(self, name: str, label: str) -> NumberInput:
        low, high, step = LEVEL_RANGE
        made = NumberInput(Field(name, label, "number", "mm", low, high, step), self._typed)
        self._add(label, made, made.editor())
        return made

    def _add(self, label: str, made: QWidget, editor: QWidget | None = None) -> None:
        words = QLabel(label)
        words.setBuddy(editor or made)
        self._rows.addRow(words, made)

    def _typed(self, _: object) -> None:
        self._tell()

    def _choose(self, _: int) -> None:
        """Numbers that make sense on what was chosen."""
        name = self.chooser.currentData()
        if name:
            limb = limb_of_case(self._bench.document.case)
            for made, value in zip(self._numbers, self._usual(limb, name), strict=False):
                made.show_value(value)
        self._tell()

    def _usual(self, limb: Limb, name: str) -> tuple[float, ...]:
        if self._place == "Bone":
            level = usual_level_mm(limb, name) - self._counted_from_mm(name)
            return (level, usual_fracture_mm(limb, name))
        bone = limb.segments[name].primary
        middle = usual_level_mm(limb, bone)
        return (middle - USUAL_ZONE_MM / 2, middle + USUAL_ZONE_MM / 2)

    def _tell(self) -> None:
        """Say from where levels count, and what has been typed."""
        name = self.chooser.currentData()
        self.button.setEnabled(bool(name))
        self._counted.setVisible(bool(name))
        self._told.setVisible(bool(name))
        if not name:
            return
        limb = limb_of_case(self._bench.document.case)
        bone = name if self._place == "Bone" else ""
        segment = limb.bones[bone].segment if bone else name
        self._counted.setText(counted_words(limb, segment, bone))
        levels = [value for made, value in self._levels() if made.field.name != "long"]
        told = [ray_words(limb, segment, level, bone) for level in levels]
        self._told.setText("\n".join(_spoken(told)))

    def _counted_from_mm(self, bone: str) -> float:
        return counted_from_mm(limb_of_case(self._bench.document.case), bone)

    def _levels(self) -> Iterator[tuple[NumberInput, float]]:
        """Each number with what it stands for: a level in its segment, or a length, mm."""
        bone = str(self.chooser.currentData()) if self._place == "Bone" else ""
        start = self._counted_from_mm(bone)
        for made in self._numbers:
            yield made, value_of(made) + (0.0 if made.field.name == "long" else start)

    def _give(self) -> None:
        numbers = tuple(value for _, value in self._levels())
        self.given.emit(str(self.chooser.currentData()), numbers)


class BarForm(QWidget):
    """Two pins to join; `given` tells their ids."""

    given = Signal(str, str)

    def __init__(self, bench: Bench) -> None:
        super().__init__()
        self._bench = bench
        rows = QFormLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setVerticalSpacing(5)
        self.first, self.second = _chooser("From pin", "choose"), _chooser("To pin", "choose")
        rows.addRow("From pin", self.first)
        rows.addRow("To pin", self.second)
        self.button = QPushButton("Lay bar")
        self.button.setObjectName("place")
        self.button.clicked.connect(self._give)
        rows.addRow("", self.button)
        for box in (self.first, self.second):
            box.currentIndexChanged.connect(self._judge)

    def show_case(self) -> None:
        """Offer the pins that there are."""
        case = self._bench.document.case
        pins, limb = case.pins, limb_of_case(case)
        for box, last in ((self.first, -2), (self.second, -1)):
            kept = box.currentData()
            box.blockSignals(True)
            box.clear()
            for pin in pins:
                box.addItem(_pin_words(limb, pin), pin.id)
            at = box.findData(kept)
            box.setCurrentIndex(at if at >= 0 else (len(pins) + last if len(pins) > 1 else -1))
            box.blockSignals(False)
        self._judge()

    def _judge(self) -> None:
        chosen = (self.first.currentData(), self.second.currentData())
        self.button.setEnabled(all(chosen) and chosen[0] != chosen[1])

    def _give(self) -> None:
        self.given.emit(str(self.first.currentData()), str(self.second.currentData()))


def value_of(number: NumberInput) -> float:
    """What is typed in a number's input."""
    value: float = number.editor().property("value")
    return value


def _pin_words(limb: Limb, pin: Pin) -> str:
    known = limb.bones.get(pin.bone)
    if known is None:
        return f"{pin.number}: {pin.bone}"
    level = pin.level_mm - counted_from_mm(limb, pin.bone)
    return f"{pin.number}: {known.title}, level {level:.0f}"


def _chooser(name: str, placeholder: str) -> QComboBox:
    box = ChoiceBox()
    box.setAccessibleName(name)
    box.setObjectName(name.lower().replace(" ", "_"))
    box.setPlaceholderText(placeholder)
    box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    box.setMinimumContentsLength(10)
    return box


def _spoken(told: list[str]) -> list[str]:
    """A sentence for each level; two are the ends of a range."""
    if len(told) == 2:
        return [f"From {told[0]}.", f"To {told[1]}."]
    return [f"{one}." for one in told]
