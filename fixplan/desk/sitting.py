"""Sitting an exercise at the desk: its panel at the left, handing in, the mark, the answer."""

from datetime import datetime
from pathlib import Path
from time import monotonic

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QDockWidget, QMainWindow

from fixplan.desk import dialogs
from fixplan.desk.exercise_dialog import ExerciseDialog
from fixplan.desk.feature import Feature, Room
from fixplan.desk.mark_dialog import MarkDialog
from fixplan.desk.panels.exercise_panel import ExercisePanel
from fixplan.errors import ExerciseError
from fixplan.teach.feedback import feedback
from fixplan.teach.files import write_answer
from fixplan.teach.shelf import find_lesson
from fixplan.teach.sitting import Sitting

ANSWER_FILTER = "Answer (*.json)"
TICK_MS = 500


class DeskFeature(Feature):
    """One sitting at a time; another case ends it."""

    def __init__(self, room: Room) -> None:
        super().__init__(room)
        self.sitting: Sitting | None = None
        self.panel: ExercisePanel | None = None
        self._dock: QDockWidget | None = None
        self._saved_at: Path | None = None
        self._since = self._tried = 0.0
        self._is_beginning = False
        self._clock = QTimer(self)
        self._clock.setInterval(TICK_MS)
        self._clock.timeout.connect(self._tick)

    # Commands

    def sit_exercise(self) -> None:
        """Choose an exercise and a label, and begin. Raises ExerciseError."""
        chosen = ExerciseDialog.ask(self.room.settings.folder, self.room.window)
        if chosen is not None:
            self.begin_exercise(*chosen)

    def begin_exercise(self, name: str, label: str) -> None:
        """Begin a shipped exercise or one from a file. Raises ExerciseError."""
        lesson = find_lesson(name)
        if not self.room.files.may_leave():
            return
        self._end()
        self.sitting = Sitting(lesson, label)
        self.room.bench.document.hidden_findings = self.sitting.hidden_findings
        self._is_beginning = True
        try:
            self.room.files.start(lesson.exercise.given)
            self.room.show_opened()
        finally:
            self._is_beginning = False
        self._show_panel()
        self._since = self._tried = monotonic()
        self._clock.start()
        self._tick()

    def hand_in(self) -> None:
        """Keep what is planned as a try, save the answer, show the mark. Raises ExerciseError."""
        sitting, panel = self._begun()
        now = monotonic()
        minutes = (now - self._tried) / 60
        case = self.room.bench.document.case
        self.sitting = sitting.handed_in(
            case, panel.replies(), minutes, datetime.now().astimezone()
        )
        self._tried = now
        self._clock.stop()
        self._show_state()
        self.save_answer()
        if self.sitting.can_be_marked:
            self.see_mark()

    def see_mark(self) -> None:
        """The mark of all tries. Raises ExerciseError before the first."""
        sitting, _ = self._begun()
        found = feedback(sitting.lesson, sitting.tries)
        MarkDialog(sitting.exercise, found, self.room.window).exec()
        self._go_on()

    def save_answer(self) -> None:
        """Write all tries to the answer's file, asking for one the first time."""
        sitting, _ = self._begun()
        answer = sitting.answer()
        if self._saved_at is None:
            stem = "".join(c if c.isalnum() else "-" for c in sitting.label)
            suggested = self.room.settings.folder / f"{sitting.exercise.id}-{stem}.json"
            self._saved_at = dialogs.ask_save_path(
                self.room.window, "Save the answer", suggested, ".json", ANSWER_FILTER
            )
        if self._saved_at is not None:
            write_answer(self._saved_at, answer)
            self.room.say(f"Answer written: {self._saved_at}")

    def leave_exercise(self) -> None:
        """End the sitting; the plan stays open as a case of its own. Raises ExerciseError."""
        self._begun()
        self._end()

    # Wiring

    def begin(self) -> None:
        """Another case has been opened: the sitting is over."""
        if not self._is_beginning:
            self._end()

    def _begun(self) -> tuple[Sitting, ExercisePanel]:
        if self.sitting is None or self.panel is None:
            raise ExerciseError("No exercise is being sat; begin one with Teach, Sit an exercise.")
        return self.sitting, self.panel

    def _show_panel(self) -> None:
        window = self.room.window
        if self.sitting is None or not isinstance(window, QMainWindow):
            return
        self.panel = panel = ExercisePanel(self.sitting.exercise)
        for signal, work in (
            (panel.hint_asked, self._give_hint),
            (panel.hand_in_asked, self.hand_in),
            (panel.mark_asked, self.see_mark),
            (panel.save_asked, self.save_answer),
            (panel.leave_asked, self.leave_exercise),
        ):
            signal.connect(lambda work=work: self.room.attempt(work))
        self._dock = dock = QDockWidget("Exercise", window)
        dock.setObjectName("exercise")
        dock.setFeatures(QDockWidget.DockWidgetFeature.DockWidgetMovable)
        dock.setWidget(panel)
        window.addDockWidget(Qt.DockWidgetArea.LeftDockWidgetArea, dock)
        self._show_state()

    def _show_state(self) -> None:
        if self.sitting is None or self.panel is None:
            return
        percents: tuple[float, ...] = ()
        if self.sitting.can_be_marked and self.sitting.tries:
            found = feedback(self.sitting.lesson, self.sitting.tries)
            percents = tuple(mark.percent for mark in found.marks)
        self.panel.show_sitting(self.sitting, percents)

    def _give_hint(self) -> None:
        sitting, _ = self._begun()
        self.sitting = sitting.with_hint()
        self._show_state()

    def _tick(self) -> None:
        if self.panel is not None:
            self.panel.show_time((monotonic() - self._tried) / 60)

    def _go_on(self) -> None:
        """The clock of the next try runs once the mark has been read."""
        self._tried = monotonic()
        self._clock.start()
        self._tick()

    def _end(self) -> None:
        self._clock.stop()
        document = self.room.bench.document
        if self.sitting is not None and document.hidden_findings:
            document.hidden_findings = ()
            document.shown_changed.emit()
        self.sitting = self.panel = self._saved_at = None
        if self._dock is not None:
            self._dock.hide()
            self._dock.deleteLater()
            self._dock = None
