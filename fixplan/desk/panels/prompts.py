"""The card "Prompts": compartments and pressure gap, artery, both schools, tetanus, pin sites."""

from collections.abc import Callable
from datetime import datetime
from typing import get_args

from msgspec.structs import replace
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from fixplan.case.records import Case
from fixplan.case.trip_edits import change_course
from fixplan.case.trip_records import (
    DiastolicFrom,
    PinSite,
    PinSiteState,
    VascularSign,
    YesNo,
)
from fixplan.desk.bench import Bench
from fixplan.desk.panels.card import Card
from fixplan.desk.panels.field_form import FieldForm, TickList
from fixplan.desk.panels.fields import Choice, Field
from fixplan.desk.panels.inputs import ChoiceBox
from fixplan.desk.panels.thing import next_turn
from fixplan.desk.sheet_hold import Attempt
from fixplan.trips.flags import flags_of
from fixplan.trips.moments import moment_typed, typed_words
from fixplan.trips.pin_sites import last_looks, pin_site_lines
from fixplan.trips.zones import zone_of_case

NOT_GIVEN = "not given"


def _choices(words: tuple[str, ...]) -> tuple[Choice, ...]:
    return tuple(Choice(word, word) for word in words)


def _asked(name: str, label: str) -> Field:
    return Field(name, label, "choice", choices=_choices(get_args(YesNo)))


def _number(
    name: str, label: str, unit: str, low: float, high: float, step: float = 1.0, tip: str = ""
) -> Field:
    return Field(name, label, "optional number", unit, low, high, step, NOT_GIVEN, tip=tip)


FIELDS = (
    _asked("compartment.pain_out_of_proportion", "Pain beyond the injury"),
    _asked("compartment.pain_on_stretch", "Pain on stretch"),
    Field("compartment.name", "Compartment", tip="Which one was measured"),
    _number("compartment.pressure_mmhg", "Its pressure", "mmHg", 0, 200),
    _number("compartment.diastolic_mmhg", "Diastolic", "mmHg", 0, 200),
    Field(
        "compartment.diastolic_from",
        "Diastolic taken",
        "choice",
        choices=_choices(get_args(DiastolicFrom)),
        tip="The one from before anaesthesia counts: anaesthesia lowers it",
    ),
    Field("compartment.after_length", "Measured after pulling to length", "flag"),
    Field("compartment.decided_at", "Release decided", tip="Day and hour as 2026-03-29 14:30"),
    _asked("vascular.soft_signs", "Soft signs"),
    _number("vascular.index", "Pressure index", "", 0, 3, 0.01, "Ankle or wrist over arm pressure"),
    _number("resuscitation.lactate_mmol_per_l", "Lactate", "mmol/L", 0, 40, 0.1),
    _number("resuscitation.ph", "pH", "", 6, 8, 0.01),
    _number("resuscitation.base_excess_mmol_per_l", "Base excess", "mmol/L", -40, 40, 0.5),
    _number("resuscitation.platelets_e9_per_l", "Platelets", "10\u2079/L", 0, 2000, 5),
    _number("resuscitation.temperature_c", "Temperature", "\u00b0C", 15, 45, 0.1),
    _number("resuscitation.injury_score", "Injury score", "", 0, 75),
    _number("resuscitation.chest_score", "Chest score", "", 0, 6),
    _number("resuscitation.systolic_mmhg", "Systolic", "mmHg", 0, 300, 5),
    _asked("resuscitation.pelvis_or_abdomen", "Pelvis or abdomen"),
    _asked("resuscitation.both_lungs_bruised", "Both lungs bruised"),
    Field("course.last_tetanus", "Last tetanus dose", tip="A day such as 2015-06-30"),
    _asked("course.tetanus_course_complete", "Tetanus course whole"),
)
WHOLE = ("injury_score", "chest_score")


class PromptsCard(Card):
    """What is prompted is always in sight; what it asks for is unfolded."""

    def __init__(
        self,
        bench: Bench,
        attempt: Attempt,
        now: Callable[[], datetime],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__("Prompts", parent)
        self.entitle("Prompts", "not diagnoses")
        self._document, self._attempt, self.now = bench.document, attempt, now
        self.words = QLabel()
        self.words.setWordWrap(True)
        self.words.setAccessibleName("Prompts")
        self.body.addWidget(self.words)
        self._fold = QToolButton()
        self._fold.setAutoRaise(True)
        self._fold.clicked.connect(self._turn_fold)
        self.body.addWidget(self._fold)
        self.more = QWidget()
        lines = QVBoxLayout(self.more)
        lines.setContentsMargins(0, 0, 0, 0)
        self.form = FieldForm(FIELDS, self._type)
        signs = get_args(VascularSign)
        self.signs = TickList("Hard signs of the artery", signs, self._set_signs, "none seen")
        self.form.add("Hard signs", self.signs, self.signs)
        lines.addWidget(self.form)
        lines.addLayout(self._site_row())
        self.sites = QLabel()
        self.sites.setWordWrap(True)
        lines.addWidget(self.sites)
        self.body.addWidget(self.more)
        self.more.hide()
        self._name_fold()
        self._later = next_turn(self, self.refresh)
        bench.document.case_changed.connect(self._later.start)

    def refresh(self) -> None:
        """Show the case as it is now."""
        if not self._document.is_open:
            return
        case = self._document.case
        told = [
            f"{chr(0x25B2) if flag.is_raised else chr(0x25CB)} {flag.title}: {' '.join(flag.lines)}"
            for flag in flags_of(case, self.now())
            if flag.is_raised or not self.more.isHidden()
        ]
        self.words.setText("\n".join((*told, *pin_site_lines(case))) or "Nothing given calls.")
        self.form.show_values({field.name: _value(case, field.name) for field in FIELDS})
        self.signs.show_ticked(case.course.vascular.signs)
        self._show_sites(case)

    def unfold(self) -> None:
        """Show what is asked."""
        if self.more.isHidden():
            self._turn_fold()

    def log_site(self) -> None:
        """Add an entry to the pin-site log. Raises EditError."""
        case, day = self._document.case, self.day.text().strip()
        site = PinSite(pin=self.pin.currentData(), day=day, state=self.state.currentData())
        sites = (*case.course.pin_sites, site)
        self._document.commit("Log a pin site", change_course(case, pin_sites=sites))

    def _site_row(self) -> QHBoxLayout:
        self.pin, self.state, self.day = ChoiceBox(), ChoiceBox(), QLineEdit()
        self.pin.setAccessibleName("Pin whose site was looked at")
        self.state.setAccessibleName("How the site looks")
        self.day.setAccessibleName("Day of the look")
        for word in get_args(PinSiteState):
            self.state.addItem(word, word)
        for box in (self.pin, self.state):
            box.setMinimumContentsLength(4)
            box.setSizeAdjustPolicy(
                QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
        self.day.setMinimumWidth(60)
        self.log = QPushButton("Log")
        self.log.setToolTip("Add this look to the pin-site log")
        self.log.clicked.connect(lambda: self._attempt(self.log_site))
        row = QHBoxLayout()
        for widget, share in ((self.pin, 2), (self.state, 2), (self.day, 3), (self.log, 0)):
            row.addWidget(widget, share)
        return row

    def _show_sites(self, case: Case) -> None:
        chosen = self.pin.currentData()
        self.pin.clear()
        for pin in case.pins:
            self.pin.addItem(f"Pin {pin.number}", pin.id)
        self.pin.setCurrentIndex(max(0, self.pin.findData(chosen)))
        if not self.day.text():
            self.day.setText(f"{self.now():%Y-%m-%d}")
        self.log.setEnabled(bool(case.pins))
        looks = last_looks(case)
        self.sites.setText(
            "; ".join(
                f"Pin {pin.number} {looks[pin.id].state}, {looks[pin.id].day}"
                for pin in case.pins
                if pin.id in looks
            )
            or "No pin site has been logged."
        )

    def _turn_fold(self) -> None:
        self.more.setVisible(self.more.isHidden())
        self._name_fold()
        self.refresh()

    def _name_fold(self) -> None:
        sign = "\u25b8" if self.more.isHidden() else "\u25be"
        self._fold.setText(f"{sign} What is asked, pressure gap, pin sites")
        self._fold.setAccessibleName("Fold or unfold what is asked")

    def _set_signs(self, words: tuple[str, ...]) -> None:
        self._change("Change the signs of the artery", "vascular.signs", words)

    def _type(self, name: str, value: object) -> None:
        self._change(f"Change {name.split('.')[1].replace('_', ' ')}", name, value)

    def _change(self, text: str, name: str, value: object) -> None:
        document = self._document

        def work() -> None:
            document.commit(text, answered(document.case, name, value), merge_key=name)

        if not self._attempt(work):
            self.refresh()


def answered(case: Case, name: str, value: object) -> Case:
    """The case with one answer changed. Raises EditError, TripsError."""
    group, field = name.split(".")
    if field == "decided_at":
        text = str(value).strip()
        value = moment_typed(text, zone_of_case(case)) if text else None
    elif field == "last_tetanus":
        value = str(value).strip() or None
    elif field in WHOLE and isinstance(value, float):
        value = round(value)
    if group == "course":
        return change_course(case, **{field: value})
    changed = replace(getattr(case.course, group), **{field: value})
    return change_course(case, **{group: changed})


def _value(case: Case, name: str) -> object:
    group, field = name.split(".")
    holder = case.course if group == "course" else getattr(case.course, group)
    value = getattr(holder, field)
    if field == "decided_at":
        return typed_words(value)
    return "" if value is None and field == "last_tetanus" else value
