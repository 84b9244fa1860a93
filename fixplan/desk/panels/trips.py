"""The card "Trips": time line, what is due by when, the chosen trip, what the clocks count from."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime

from PySide6.QtCore import QTimeZone, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QToolButton, QWidget

from fixplan.case.records import Case
from fixplan.case.trip_edits import add_trip, change_trip, remove_trip
from fixplan.case.trip_records import Moment, Trip
from fixplan.desk.bench import Bench
from fixplan.desk.panels.card import Card
from fixplan.desk.panels.course_form import CourseForm
from fixplan.desk.panels.thing import next_turn
from fixplan.desk.panels.trip_form import TripForm
from fixplan.desk.panels.trip_line import TripLine
from fixplan.desk.sheet_hold import Attempt
from fixplan.errors import FixplanError, TripsError
from fixplan.trips.answer import TripsAnswer, trips_for
from fixplan.trips.clock_words import planned_words, state_words, unplanned_words
from fixplan.trips.clocks import ClockAnswer
from fixplan.trips.moments import moment_of, short_in, told_in, zone_named
from fixplan.trips.suggesting import with_usual_trips
from fixplan.trips.time_line import time_line
from fixplan.trips.zones import zone_of_case

TITLE = "Trips"
SIGNS = {"stop": "\u25a0 Stop", "caution": "\u25b2 Caution", "note": "\u25cb Note"}
Now = Callable[[], datetime]


def system_now() -> datetime:
    """The time on the computer's clock."""
    return datetime.now(UTC)


class TripsCard(Card):
    """Live with the case; `answer` is what was told last. `plan_asked` names a trip."""

    plan_asked = Signal(str)

    def __init__(
        self, bench: Bench, attempt: Attempt, now: Now, parent: QWidget | None = None
    ) -> None:
        super().__init__(TITLE, parent)
        self._document, self._attempt, self._now = bench.document, attempt, now
        self._zone_typed = ""
        self._chosen = ""
        self.answer: TripsAnswer | None = None
        self.headline = QLabel()
        self.headline.setWordWrap(True)
        self.body.addWidget(self.headline)
        self.line = TripLine(lambda at: told_in(at, self.zone))
        self.line.picked.connect(self.choose)
        self.line.moved.connect(self._move)
        self.body.addWidget(self.line)
        self.clocks = QLabel()
        self.clocks.setWordWrap(True)
        self.clocks.setAccessibleName("What is due by when")
        self.body.addWidget(self.clocks)
        self.form = TripForm(self._change, self._this_moment)
        self.form.chosen.connect(self.choose)
        self.form.plan_asked.connect(self.plan_asked)
        self.body.addWidget(self.form)
        self.body.addLayout(self._buttons())
        self._add_fold()
        self._later = next_turn(self, self.refresh)
        bench.document.case_changed.connect(self._later.start)

    @property
    def zone(self) -> str:
        """The time zone that times are typed and told in."""
        otherwise = self._zone_typed or _system_zone()
        return zone_of_case(self._document.case, otherwise)

    def choose(self, trip: str) -> None:
        """Choose a trip."""
        self._chosen = trip
        self.refresh()

    def refresh(self) -> None:
        """Show the case as it is now."""
        if not self._document.is_open:
            return
        case, now = self._document.case, self._now()
        self.answer = answer = trips_for(case, now, self._document.findings)
        trips = [trip.id for trip in answer.trips]
        if self._chosen not in trips:
            waiting = answer.next_trip
            self._chosen = waiting.id if waiting else (trips[0] if trips else "")
        self.entitle(TITLE, answer.guideline)
        self.headline.setText("\n".join(_headlines(answer)))
        self.line.show_line(time_line(answer, now), self._chosen)
        self.clocks.setText("\n".join(_clock_lines(answer, now)))
        self.clocks.setVisible(bool(self.clocks.text()))
        self.form.show_trip(answer, self._chosen, self.zone)
        self._usual.setEnabled(not trips)
        self._remove.setEnabled(bool(trips))
        self.course.show_case(case, self.zone)

    def unfold(self) -> None:
        """Show what the clocks count from."""
        if self.course.isHidden():
            self._turn_fold()

    def add_trip(self) -> None:
        """Add a trip without a time, and choose it. Raises EditError."""
        case = add_trip(self._document.case, Trip(id="trip-1"))
        known = {trip.id for trip in self._document.case.trips}
        self._chosen = next(trip.id for trip in case.trips if trip.id not in known)
        self._document.commit("Add a trip", case)

    def _buttons(self) -> QHBoxLayout:
        self._add = QPushButton("Add a trip")
        self._add.clicked.connect(lambda: self._attempt(self.add_trip))
        self._usual = QPushButton("Usual trips")
        self._usual.setToolTip("Debridement and frame, then fixation and cover in one trip")
        self._usual.clicked.connect(lambda: self._change("Plan the usual trips", with_usual_trips))
        self._remove = QPushButton("Take out")
        self._remove.setToolTip("Take the chosen trip out, with the plan it keeps")
        self._remove.clicked.connect(self._take_out)
        row = QHBoxLayout()
        for button in (self._add, self._usual, self._remove):
            row.addWidget(button)
        return row

    def _add_fold(self) -> None:
        self._fold = QToolButton()
        self._fold.setAutoRaise(True)
        self._fold.clicked.connect(self._turn_fold)
        self.body.addWidget(self._fold)
        self.course = CourseForm(self._change)
        self.course.zone_typed.connect(self._keep_zone)
        self.course.hide()
        self.body.addWidget(self.course)
        self._name_fold()

    def _turn_fold(self) -> None:
        self.course.setVisible(self.course.isHidden())
        self._name_fold()

    def _name_fold(self) -> None:
        sign = "\u25b8" if self.course.isHidden() else "\u25be"
        self._fold.setText(f"{sign} Injury, guideline, grade")
        self._fold.setAccessibleName("Fold or unfold injury, guideline and grade")

    def _keep_zone(self, zone: str) -> None:
        try:
            zone_named(zone)
        except TripsError:
            return
        self._zone_typed = zone

    def _this_moment(self) -> Moment:
        return moment_of(self._now(), self.zone)

    def _move(self, trip: str, to: datetime) -> None:
        zone = self.zone
        self._change(
            "Move a trip",
            lambda case: change_trip(case, trip, planned=moment_of(to, zone)),
            merge_key=f"trip.{trip}",
        )

    def _take_out(self) -> None:
        self._change("Take a trip out", lambda case: remove_trip(case, self._chosen))

    def _change(self, text: str, work: Callable[[Case], Case], merge_key: str = "") -> None:
        """One edit of the case; what cannot be done is told, and the fields show the case again."""
        document = self._document

        def attempted() -> None:
            document.commit(text, work(document.case), merge_key)

        if not self._attempt(attempted):
            self.refresh()


def _system_zone() -> str:
    """The computer's own time zone, where its name is one of the zone data; else UTC."""
    name = bytes(QTimeZone.systemTimeZoneId().data()).decode()
    try:
        zone_named(name)
    except FixplanError:
        return "UTC"
    return name


def _headlines(answer: TripsAnswer) -> Iterator[str]:
    yield from (f"\u25a0 {line}" for line in answer.urgent)
    yield from (f"\u25a0 {problem}" for problem in answer.problems)
    if answer.grade:
        yield answer.grade.split(":")[0].removesuffix(".") + "."
    if answer.hidden:
        yield answer.hidden
    yield from (f"{SIGNS.get(one.severity, '')}: {one.message}" for one in answer.remarks)
    yield from (f"? {question}" for question in answer.questions)


def _clock_lines(answer: TripsAnswer, now: datetime) -> Iterator[str]:
    """Troubles first, then what runs, then what is done, by their limits."""
    ranked = sorted(answer.clocks, key=lambda one: (not one.is_trouble, one.done_at is not None))
    yield from (_clock_words(clock, now) for clock in ranked)


def _clock_words(clock: ClockAnswer, now: datetime) -> str:
    sign = "\u25a0 " if clock.is_trouble else ("\u2013 " if clock.done_at else "\u25cb ")
    parts = [state_words(clock)]
    if clock.done_at is None and clock.due is not None:
        at_once = clock.clock.due_h == 0
        parts += ["at once" if at_once else f"due {short_in(clock.due, clock.zone, now)}"]
        parts += [_plan_words(clock)]
    return f"{sign}{clock.clock.name}: {'; '.join(part for part in parts if part)}"


def _plan_words(clock: ClockAnswer) -> str:
    """What is wrong with what is planned for it; nothing where a trip comes in time."""
    words = planned_words(clock)
    return words if "after" in words else unplanned_words(clock)
