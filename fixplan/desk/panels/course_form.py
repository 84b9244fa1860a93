"""What the clocks count from: times, guideline, contamination, energy, grade, final fixation."""

from collections.abc import Callable
from typing import get_args

from msgspec.structs import replace
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from fixplan.case.records import Case
from fixplan.case.trip_edits import change_course, in_order
from fixplan.case.trip_records import Contamination, Course, Energy, Moment, YesNo
from fixplan.checks.texts import candidate_words
from fixplan.desk.panels.field_form import FieldForm
from fixplan.desk.panels.fields import Choice, Field
from fixplan.errors import TripsError
from fixplan.trips.clock_book import clock_book, guideline_of
from fixplan.trips.clock_words import trip_words
from fixplan.trips.grades import scheme_parts
from fixplan.trips.moments import moment_typed, typed_words, zone_named
from fixplan.trips.zones import told_in_zone

Change = Callable[[str, Callable[[Case], Case]], None]
TIMES = {
    "injured_at": "Injury",
    "arrived_at": "Arrival",
    "antibiotic_at": "First antibiotic",
    "antibiotic_stopped_at": "Antibiotic stopped",
}
TIME_TIP = "Day and hour as 2026-03-29 14:30; empty: not given"
ZONE_TIP = "Such as Europe/London; all times are kept in UTC and told in this zone"


def _same(words: tuple[str, ...]) -> tuple[Choice, ...]:
    return tuple(Choice(word, word) for word in words)


def _fields(case: Case) -> tuple[Field, ...]:
    """The fields, with the guidelines, trips and candidates that there are."""
    book = clock_book().guideline
    settled = [trip for trip in in_order(case.trips) if trip.done_at and _debrides(trip.what)]
    grade = (Choice(None, "provisional"), *(Choice(one.id, trip_words(one)) for one in settled))
    fixation = (
        Choice(None, "not chosen"),
        *(Choice(one.id, candidate_words(one)) for one in case.candidates),
    )
    return (
        *(Field(name, label, tip=TIME_TIP) for name, label in TIMES.items()),
        Field("zone", "Time zone", tip=ZONE_TIP),
        Field(
            "guideline",
            "Guideline in force",
            "choice",
            choices=tuple(Choice(one.id, one.name) for one in book),
        ),
        Field("contamination", "Contamination", "choice", choices=_same(get_args(Contamination))),
        Field("energy", "Energy", "choice", choices=_same(get_args(Energy))),
        Field("tissue_doubtful", "Tissue doubtful", "choice", choices=_same(get_args(YesNo))),
        Field("grade_settled_at", "Grade settled at", "choice", choices=grade),
        Field("fixation", "Final fixation", "choice", choices=fixation),
        *(
            Field(
                f"scheme.{part.id}",
                f"OTA-OFC {part.name}",
                "choice",
                choices=(
                    Choice(None, "not judged"),
                    *(Choice(k, f"{k}: {step}") for k, step in enumerate(part.steps, 1)),
                ),
            )
            for part in scheme_parts()
        ),
    )


def _debrides(what: tuple[str, ...]) -> bool:
    return "debridement" in what or "second look" in what


class CourseForm(QWidget):
    """The fields; laid out anew when trips, candidates or guidelines are others.

    `zone_typed` tells of a time zone, which counts for the next time that is typed.
    """

    zone_typed = Signal(str)

    def __init__(self, change: Change, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._change = change
        self._built: tuple[Field, ...] = ()
        self.zone = "UTC"
        self.form: FieldForm | None = None
        self._lines = QVBoxLayout(self)
        self._lines.setContentsMargins(0, 0, 0, 0)

    def show_case(self, case: Case, zone: str) -> None:
        """Show the course of a case."""
        self.zone = zone
        fields = _fields(case)
        if fields != self._built or self.form is None:
            self._build(fields)
        if self.form is not None:
            self.form.show_values(_values(case.course, zone, _guideline(case)))

    def _build(self, fields: tuple[Field, ...]) -> None:
        if self.form is not None:
            self.form.hide()
            self.form.deleteLater()
        self._built = fields
        self.form = FieldForm(fields, self._type)
        self._lines.addWidget(self.form)

    def _type(self, name: str, value: object) -> None:
        if name == "zone":
            self.zone_typed.emit(str(value).strip())
        words = f"Change {name.replace('_', ' ').replace('scheme.', 'OTA-OFC ')}"
        self._change(words, lambda case: changed(case, name, value, self.zone))


def changed(case: Case, name: str, value: object, zone: str) -> Case:
    """The case with one field of the course changed. Raises EditError, TripsError."""
    if name in TIMES:
        text = str(value).strip()
        return change_course(case, **{name: moment_typed(text, zone) if text else None})
    if name == "zone":
        zone_named(str(value).strip())
        return told_in_zone(case, str(value).strip())
    if name.startswith("scheme."):
        scheme = replace(case.course.second_scheme, **{name.removeprefix("scheme."): value})
        return change_course(case, second_scheme=scheme)
    return change_course(case, **{name: value})


def _guideline(case: Case) -> str:
    """The guideline in force; one that is not listed here is shown as none."""
    try:
        return guideline_of(case).id
    except TripsError:
        return ""


def _values(course: Course, zone: str, guideline: str) -> dict[str, object]:
    times: dict[str, Moment | None] = {name: getattr(course, name) for name in TIMES}
    return {
        **{name: typed_words(moment) for name, moment in times.items()},
        "zone": zone,
        "guideline": guideline,
        "contamination": course.contamination,
        "energy": course.energy,
        "tissue_doubtful": course.tissue_doubtful,
        "grade_settled_at": course.grade_settled_at,
        "fixation": course.fixation,
        **{f"scheme.{part.id}": getattr(course.second_scheme, part.id) for part in scheme_parts()},
    }
