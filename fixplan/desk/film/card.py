"""The card of the pictures: which one, how it shows, what its scale is."""

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QCheckBox, QGridLayout, QLabel, QSlider

from fixplan.case.film_records import Film
from fixplan.desk.panels.card import Card, soft_label
from fixplan.desk.panels.inputs import ChoiceBox
from fixplan.film.scaling import is_mirrored, scale_words

INSIDE = "Keep inside the case file"
INSIDE_WHY = "Else its pixels lie in a file beside the case, and do not go where the case file goes"
STEPS = 100
CONTRAST_STEPS = 25.0


class PictureCard(Card):
    """Shows one picture at a time. `chosen` tells its id, `changed` a field and its value.

    `wanted_inside` tells that its pixels are wanted inside the case file, or no longer.
    """

    chosen = Signal(str)
    changed = Signal(str, object)
    wanted_inside = Signal(bool)

    def __init__(self) -> None:
        super().__init__("Pictures under the drawing")
        self._is_showing = False
        self.choice = ChoiceBox()
        self.choice.setAccessibleName("Picture")
        self.choice.setSizeAdjustPolicy(
            ChoiceBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.choice.setMinimumContentsLength(12)
        self.choice.currentIndexChanged.connect(self._tell_choice)
        self.body.addWidget(self.choice)
        self._grid = QGridLayout()
        self.body.addLayout(self._grid)
        self.opacity = self._slider("Opacity", 0, STEPS, lambda v: ("opacity", v / STEPS))
        self.brightness = self._slider(
            "Brightness", -STEPS, STEPS, lambda v: ("brightness", v / STEPS)
        )
        self.contrast = self._slider(
            "Contrast", -STEPS // 2, STEPS // 2, lambda v: ("contrast", 2 ** (v / CONTRAST_STEPS))
        )
        self.inverted = self._tick("Black for white", "is_inverted")
        self.hidden = self._tick("Hidden", "is_hidden")
        self.printed = self._tick("Print on the sheet", "is_printed")
        self.inside = QCheckBox(INSIDE)
        self.inside.setAccessibleDescription(INSIDE_WHY)
        self.inside.setToolTip(INSIDE_WHY)
        self.inside.clicked.connect(self._tell_inside)
        self.body.addWidget(self.inside)
        self.words = soft_label("")
        self.body.addWidget(self.words)
        self.warning = QLabel("")
        self.warning.setObjectName("warning")
        self.warning.setWordWrap(True)
        self.body.addWidget(self.warning)

    def show_films(
        self, films: tuple[Film, ...], current: str, problems: dict[str, str], size: str
    ) -> None:
        """Show a picture of the case, how large it is in a case, and what is wrong with it."""
        self._is_showing = True
        self.choice.clear()
        for film in films:
            self.choice.addItem(_named(film), film.id)
        self.setVisible(bool(films))
        shown = next((film for film in films if film.id == current), None)
        if shown is not None:
            self.choice.setCurrentIndex(self.choice.findData(current))
            self._show(shown, problems.get(current, ""))
            self.inside.setText(f"{INSIDE} ({size})" if size else INSIDE)
        self._is_showing = False

    def _show(self, film: Film, problem: str) -> None:
        self.opacity.setValue(round(film.opacity * STEPS))
        self.brightness.setValue(round(film.brightness * STEPS))
        self.contrast.setValue(round(_steps_of(film.contrast)))
        self.inverted.setChecked(film.is_inverted)
        self.hidden.setChecked(film.is_hidden)
        self.printed.setChecked(film.is_printed)
        self.inside.setChecked(bool(film.inside))
        told = (scale_words(film.scale), *(() if film.is_matched else (UNMATCHED,)))
        self.words.setText(" ".join(told))
        warnings = [words for words in (problem, MIRRORED if is_mirrored(film) else "") if words]
        self.warning.setText("\n".join(warnings))
        self.warning.setVisible(bool(warnings))

    def _slider(
        self, words: str, low: int, high: int, told: Callable[[int], tuple[str, float]]
    ) -> QSlider:
        slider = QSlider(Qt.Orientation.Horizontal)
        slider.setRange(low, high)
        slider.setAccessibleName(words)
        slider.setTracking(True)
        slider.valueChanged.connect(lambda value: self._tell(*told(value)))
        row = self._grid.rowCount()
        label = QLabel(words)
        label.setBuddy(slider)
        self._grid.addWidget(label, row, 0)
        self._grid.addWidget(slider, row, 1)
        return slider

    def _tick(self, words: str, field: str) -> QCheckBox:
        tick = QCheckBox(words)
        tick.toggled.connect(lambda is_on: self._tell(field, is_on))
        self.body.addWidget(tick)
        return tick

    def _tell(self, field: str, value: object) -> None:
        if not self._is_showing:
            self.changed.emit(field, value)

    def _tell_inside(self) -> None:
        self.wanted_inside.emit(self.inside.isChecked())

    def _tell_choice(self) -> None:
        if not self._is_showing:
            self.chosen.emit(str(self.choice.currentData()))


UNMATCHED = "Not matched to the limb: pins as built are not told from it."
MIRRORED = (
    "MIRRORED: this picture is turned over, left for right. Check the side marker on it before "
    "anything is planned from it."
)


def _named(film: Film) -> str:
    return f"{film.id.replace('-', ' ').capitalize()}, {film.view} view: {film.note or film.file}"


def _steps_of(contrast: float) -> float:
    from math import log2

    return CONTRAST_STEPS * log2(contrast)
