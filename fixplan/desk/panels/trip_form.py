"""One trip by its fields: time, tasks, who, note; done, with the plan it was done from."""

from collections.abc import Callable
from typing import get_args

from msgspec.structs import replace
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from fixplan.case.records import Case
from fixplan.case.trip_edits import change_trip, mark_done, mark_not_done, trip_of
from fixplan.case.trip_records import Moment, Specialty, Trip, TripTask
from fixplan.desk.panels.card import soft_label
from fixplan.desk.panels.field_form import FieldForm, TickList
from fixplan.desk.panels.fields import Field
from fixplan.desk.panels.inputs import ChoiceBox
from fixplan.errors import EditError
from fixplan.trips.answer import TripsAnswer
from fixplan.trips.clock_words import trip_words
from fixplan.trips.moments import moment_typed, typed_words
from fixplan.trips.tasks import kit_of_trip, usual_who

TIME_TIP = "Day and hour as 2026-03-29 14:30, on the clocks of the time zone below"
FIELDS = (Field("planned", "Planned", tip=TIME_TIP), Field("note", "Note"))
DONE = Field("done_at", "Done at", tip=TIME_TIP)
Change = Callable[[str, Callable[[Case], Case]], None]


class TripForm(QWidget):
    """The trip that is chosen. `chosen` tells of another choice, `plan_asked` of a kept plan."""

    chosen = Signal(str)
    plan_asked = Signal(str)

    def __init__(
        self, change: Change, now: Callable[[], Moment], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._change, self._now = change, now
        self._trip = Trip(id="trip-0")
        self.zone = "UTC"
        lines = QVBoxLayout(self)
        lines.setContentsMargins(0, 0, 0, 0)
        self.choice = ChoiceBox()
        self.choice.setAccessibleName("Trip")
        self.choice.setMinimumContentsLength(10)
        self.choice.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.choice.activated.connect(lambda at: self.chosen.emit(self.choice.itemData(at)))
        lines.addWidget(self.choice)
        self.form = FieldForm((*FIELDS, DONE), self._type)
        self.tasks = TickList("What is done", get_args(TripTask), self._set_tasks, "nothing yet")
        self.who = TickList("Who is needed", get_args(Specialty), self._set_who, "nobody yet")
        self.form.add("What", self.tasks, self.tasks)
        self.form.add("Who", self.who, self.who)
        lines.addWidget(self.form)
        lines.addLayout(self._done_row())
        self.kit = soft_label("")
        self.kit.setAccessibleName("What the trip takes")
        lines.addWidget(self.kit)

    def show_trip(self, answer: TripsAnswer, chosen: str, zone: str) -> None:
        """Show the chosen trip of a case; nothing to edit without one."""
        self.zone = zone
        self.choice.clear()
        for one in answer.trips:
            self.choice.addItem(_choice_words(one), one.id)
        self.setVisible(bool(answer.trips))
        trip = next((one for one in answer.trips if one.id == chosen), None)
        if trip is None:
            return
        self._trip = trip
        self.choice.setCurrentIndex(self.choice.findData(trip.id))
        self.form.show_values(
            {
                "planned": typed_words(trip.planned),
                "note": trip.note,
                "done_at": typed_words(trip.done_at),
            }
        )
        self.tasks.show_ticked(trip.what)
        self.who.show_ticked(trip.who)
        kept = any(one.trip == trip.id for one in answer.case.kept_plans)
        self.plan.setEnabled(kept)
        self.done.blockSignals(True)
        self.done.setChecked(trip.done_at is not None)
        self.done.blockSignals(False)
        self.form.show_row("done_at", trip.done_at is not None)
        self.kit.setText(f"Takes: {'; '.join(kit_of_trip(trip))}." if trip.what else "")
        self.kit.setVisible(bool(trip.what))

    def _done_row(self) -> QHBoxLayout:
        self.done = QCheckBox("Done")
        self.done.setToolTip("Keeps the plan as it stands now as the plan it was done from")
        self.done.toggled.connect(self._mark)
        self.plan = QPushButton("Open the plan then")
        self.plan.setToolTip("The plan that it was done from, as a case of its own, in no file yet")
        self.plan.clicked.connect(lambda: self.plan_asked.emit(self._trip.id))
        row = QHBoxLayout()
        row.addWidget(self.done)
        row.addWidget(self.plan, 1)
        return row

    def _type(self, name: str, value: object) -> None:
        id_, text = self._trip.id, str(value)
        if name == "note":
            self._change("Change a trip's note", lambda case: change_trip(case, id_, note=text))
        elif name == "planned":
            self._change("Move a trip", lambda case: planned_at(case, id_, text, self.zone))
        else:
            self._change(
                "Change when a trip was done",
                lambda case: mark_done(case, id_, moment_typed(text, self.zone)),
            )

    def _set_tasks(self, words: tuple[str, ...]) -> None:
        """Tasks, and with a task that is added those who are usually needed for it."""
        id_, before = self._trip.id, set(self._trip.what)
        added = [word for word in get_args(TripTask) if word in words and word not in before]

        def work(case: Case) -> Case:
            who = (*trip_of(case, id_).who, *usual_who(added))
            ordered = tuple(one for one in get_args(Specialty) if one in who)
            return change_trip(case, id_, what=words, who=ordered)

        self._change("Change what a trip is for", work)

    def _set_who(self, words: tuple[str, ...]) -> None:
        id_ = self._trip.id
        self._change("Change who is needed", lambda case: change_trip(case, id_, who=words))

    def _mark(self, is_done: bool) -> None:
        id_, when = self._trip.id, self._trip.planned or self._now()
        if is_done:
            now = self._now()
            at = when if when.utc <= now.utc else replace(now, zone=when.zone)
            self._change("Mark a trip as done", lambda case: mark_done(case, id_, at))
        else:
            self._change("Mark a trip as not done", lambda case: mark_not_done(case, id_))


def planned_at(case: Case, id_: str, text: str, zone: str) -> Case:
    """The trip planned for what was typed, nothing for no time. Raises EditError, TripsError."""
    trip = trip_of(case, id_)
    if not text.strip():
        return change_trip(case, id_, planned=None)
    if trip.done_at is not None and trip.planned is None:
        raise EditError(f"{trip_words(trip)} is done; change the time at which it was done")
    return change_trip(case, id_, planned=moment_typed(text, zone))


def _choice_words(trip: Trip) -> str:
    what = ", ".join(trip.what) or "nothing planned yet"
    return f"{trip_words(trip)}: {what}"
