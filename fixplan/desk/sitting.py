"""Sitting an exercise at the desk: its panel at the left, handing in, the mark, the answer."""

from datetime import datetime
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDockWidget, QMainWindow

from fixplan.case.file import parsed
from fixplan.case.layout import laid_out
from fixplan.case.records import Case
from fixplan.case.recovery import RecoveryCopy
from fixplan.desk import dialogs
from fixplan.desk.exercise_dialog import ExerciseDialog
from fixplan.desk.feature import Feature, Room
from fixplan.desk.mark_dialog import MarkDialog
from fixplan.desk.panels.exercise_panel import ExercisePanel
from fixplan.desk.recovery import SittingCopy
from fixplan.desk.sitting_clock import SittingClock
from fixplan.errors import ExerciseError
from fixplan.teach.feedback import feedback
from fixplan.teach.files import (
    Lesson,
    decode_sitting,
    encode_sitting,
    read_sitting,
    write_answer,
    write_sitting,
)
from fixplan.teach.records import Reply, SavedSitting
from fixplan.teach.shelf import find_lesson
from fixplan.teach.sitting import Sitting, file_stem, resumed

ANSWER_FILTER = "Answer (*.json)"
SITTING_FILTER = "Sitting (*.json)"
COPY_EVERY_MIN = 1 / 3
"""How often the time used goes into the recovery copy while there is something unsaved."""
PREVIEW = "preview"
NO_KEY = (
    "The teacher's file of this exercise is not beside the sitting, or it was changed since: go on "
    "planning, and give the saved answer to the teacher for its mark."
)


class DeskFeature(Feature):
    """One sitting at a time; another case ends it."""

    def __init__(self, room: Room) -> None:
        super().__init__(room)
        self.sitting: Sitting | None = None
        self.panel: ExercisePanel | None = None
        self._dock: QDockWidget | None = None
        self._saved_at: Path | None = None
        self._paused_at: Path | None = None
        self._is_beginning = False
        self._clock = SittingClock(self)
        self._clock.ticked.connect(self._tick)
        self._copied_min = 0.0

    # Commands

    def sit_exercise(self) -> None:
        """Choose an exercise and a label, and begin. Raises ExerciseError."""
        chosen = ExerciseDialog.ask(self.room.settings.folder, self.room.window)
        if chosen is not None:
            self.begin_exercise(*chosen)

    def begin_exercise(self, name: str, label: str) -> None:
        """Begin a shipped exercise or one from a file. Raises ExerciseError."""
        lesson = find_lesson(name)
        if self.room.files.may_leave():
            self._end()
            self._open(Sitting(lesson, label, origin=name), lesson.exercise.given, ())

    def preview(self, lesson: Lesson) -> None:
        """Show an exercise as a trainee gets it; nothing is kept unless the answer is saved."""
        self._end()
        self.room.bench.document.is_preview = True
        self._open(Sitting(lesson, PREVIEW), lesson.exercise.given, ())
        self.room.say(
            "This is what a trainee gets. Nothing here is kept; close the window at will."
        )

    def resume_sitting(self) -> None:
        """Choose a saved sitting and go on with it. Raises ExerciseError."""
        path = dialogs.ask_file(
            self.room.window, "Go on with a sitting", self.room.settings.folder, SITTING_FILTER
        )
        if path is not None:
            self.resume(path)

    def resume(self, path: Path) -> None:
        """Go on with a saved sitting. Raises ExerciseError."""
        saved = read_sitting(path)
        if self.room.files.may_leave():
            self._end()
            self._go_on_with(saved, path.parent)
            self._paused_at = path

    def recover(self, kept: RecoveryCopy) -> None:
        """Go on with the sitting of a lost window, whose case is open again already.

        Raises ExerciseError.
        """
        if kept.sitting is None:
            return
        saved = decode_sitting(laid_out(kept.sitting).encode(), "the recovery copy")
        self._go_on_with(saved, Path(kept.sitting_folder), is_open=True)
        self.room.bench.document.note_beside()

    def pause_sitting(self) -> None:
        """Save the sitting with the plan, the replies, the tries and the time used."""
        self._begun()
        self._pause()

    def hand_in(self) -> None:
        """Keep what is planned as a try, save the answer, show the mark. Raises ExerciseError."""
        sitting, panel = self._begun()
        left = len(panel.fields) - len(panel.replies())
        if left and not dialogs.ask_sure(
            self.room.window, "Hand in", unanswered_words(left), "Hand in"
        ):
            return
        minutes = self._clock.minutes
        case = self.room.bench.document.case
        self.sitting = sitting.handed_in(
            case, panel.replies(), minutes, datetime.now().astimezone()
        )
        self._clock.stop()
        self.room.bench.document.note_beside()
        self._show_state()
        if not self.room.bench.document.is_preview:
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
            suggested = self.room.settings.folder / f"{file_stem(sitting)}.json"
            self._saved_at = dialogs.ask_save_path(
                self.room.window, "Save the answer", suggested, ".json", ANSWER_FILTER
            )
        if self._saved_at is not None:
            write_answer(self._saved_at, answer)
            self.room.bench.document.note_saved()
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

    def _go_on_with(self, saved: SavedSitting, folder: Path, *, is_open: bool = False) -> None:
        sitting = resumed(saved, folder, datetime.now().astimezone())
        self._open(sitting, saved.case, saved.replies, is_open=is_open)
        if not sitting.can_be_marked:
            self.room.say(NO_KEY)

    def _open(
        self, sitting: Sitting, case: Case, replies: tuple[Reply, ...], *, is_open: bool = False
    ) -> None:
        """Bring the desk up for a sitting; `is_open`: its case has been recovered already."""
        self.sitting = sitting
        document = self.room.bench.document
        document.hidden_findings = sitting.hidden_findings
        self._is_beginning = True
        try:
            if not is_open:
                self.room.files.start(case)
            self.room.show_opened()
        finally:
            self._is_beginning = False
        document.sitting_copy = self._copy
        if not document.is_preview:
            self.room.files.saver = self._pause
        self._show_panel(replies)
        self._go_on()

    def _saved(self) -> SavedSitting:
        """The sitting as it stands, for a file."""
        sitting, panel = self._begun()
        case, now = self.room.bench.document.case, datetime.now().astimezone()
        return sitting.saved(case, panel.replies(), self._clock.minutes, now)

    def _copy(self) -> SittingCopy | None:
        if self.sitting is None or self.panel is None:
            return None
        folder = Path(self.sitting.origin).resolve().parent
        content = parsed(encode_sitting(self._saved()), "the sitting")
        return SittingCopy(content, str(folder)) if isinstance(content, dict) else None

    def _pause(self) -> bool:
        """Write the sitting's file, asking for one the first time; False: none was chosen."""
        sitting, _ = self._begun()
        if self._paused_at is None:
            stem = file_stem(sitting)
            suggested = self.room.settings.folder / f"{stem}-sitting.json"
            self._paused_at = dialogs.ask_save_path(
                self.room.window, "Save the sitting", suggested, ".json", SITTING_FILTER
            )
        if self._paused_at is None:
            return False
        write_sitting(self._paused_at, self._saved())
        self.room.bench.document.note_saved()
        self.room.say(f"Sitting saved: {self._paused_at}. Go on with Teach, Go on with a sitting.")
        return True

    def _begun(self) -> tuple[Sitting, ExercisePanel]:
        if self.sitting is None or self.panel is None:
            raise ExerciseError("No exercise is being sat; begin one with Teach, Sit an exercise.")
        return self.sitting, self.panel

    def _show_panel(self, replies: tuple[Reply, ...]) -> None:
        window = self.room.window
        if self.sitting is None or not isinstance(window, QMainWindow):
            return
        self.panel = panel = ExercisePanel(self.sitting.exercise)
        panel.show_replies(replies)
        panel.replied.connect(self.room.bench.document.note_beside)
        for signal, work in (
            (panel.hint_asked, self._give_hint),
            (panel.hand_in_asked, self.hand_in),
            (panel.mark_asked, self.see_mark),
            (panel.save_asked, self.save_answer),
            (panel.pause_asked, self.pause_sitting),
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
        self.room.bench.document.note_beside()
        self._show_state()

    def _tick(self) -> None:
        if self.panel is None or self.sitting is None:
            return
        minutes = self._clock.minutes
        self.panel.show_time(self.sitting.minutes(minutes))
        document = self.room.bench.document
        if document.is_changed and minutes - self._copied_min > COPY_EVERY_MIN:
            self._copied_min = minutes
            document.note_beside()

    def _go_on(self) -> None:
        """The clock of a try runs from its begin, or once the mark of the last has been read."""
        self._copied_min = 0.0
        self._clock.begin()

    def _end(self) -> None:
        self._clock.stop()
        document = self.room.bench.document
        if self.sitting is not None and document.hidden_findings:
            document.hidden_findings = ()
            document.shown_changed.emit()
        if self.sitting is not None:
            document.sitting_copy, document.is_preview = _no_copy, False
            self.room.files.saver = None
        self.sitting = self.panel = self._saved_at = self._paused_at = None
        if self._dock is not None:
            self._dock.hide()
            self._dock.deleteLater()
            self._dock = None


def unanswered_words(count: int) -> str:
    """Told before an answer with open questions is handed in."""
    one = count == 1
    return f"{count} question{'' if one else 's'} {'is' if one else 'are'} not answered."


def _no_copy() -> None:
    """No sitting adds to the recovery copy."""
