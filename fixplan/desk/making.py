"""Making an exercise from the open case: a window of pages beside the desk, and its two files."""

from collections.abc import Callable
from pathlib import Path

from msgspec.structs import replace
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QTabWidget,
    QVBoxLayout,
)

from fixplan.case.records import Case
from fixplan.checks.rules import rule_set_version
from fixplan.desk import dialogs
from fixplan.desk.exercise_dialog import ExerciseDialog
from fixplan.desk.feature import Feature, Room
from fixplan.desk.panels.making_answers import AnswersPage
from fixplan.desk.panels.making_questions import QuestionsPage
from fixplan.desk.panels.making_rules import RulesPage
from fixplan.desk.panels.making_task import ShownPage, TaskPage
from fixplan.errors import FixplanError
from fixplan.teach.draft import Draft
from fixplan.teach.editing import draft_of
from fixplan.teach.files import Lesson, write_lesson
from fixplan.teach.making import answer_drawn, lesson_of
from fixplan.teach.records import ModelAnswer
from fixplan.teach.shelf import find_lesson

EXERCISE_FILTER = "Exercise (*.json)"
INTRO = (
    "The open case is your own answer: its frame is taken off what the trainee is given. Label, "
    "notes and films of the case are left out."
)


class DeskFeature(Feature):
    """One window for the open case; another case closes it."""

    _dialog: "MakingDialog | None" = None

    def make_exercise(self) -> None:
        """Show the window."""
        if self._dialog is None:
            self._dialog = MakingDialog(self.room)
        self._dialog.show_case()
        self._dialog.show()
        self._dialog.activateWindow()

    def edit_exercise(self) -> None:
        """Choose a saved exercise and open it for changes. Raises ExerciseError."""
        name = ExerciseDialog.ask_exercise(
            self.room.settings.folder, self.room.window, "Which exercise is to be changed?"
        )
        if name is not None:
            self.edit(name)

    def edit(self, name: str) -> None:
        """Open a shipped exercise or one from a file, with its teacher's part, for changes.

        Raises ExerciseError for a trainee's copy.
        """
        draft = draft_of(find_lesson(name))
        if not self.room.files.may_leave():
            return
        self.room.files.start(replace(draft.case, label=draft.title[:200]))
        self.room.show_opened()
        self.make_exercise()
        if self._dialog is not None:
            path = Path(name)
            self._dialog.show_draft(draft, path if path.is_file() else None)

    def begin(self) -> None:
        """Another case has been opened: what was typed belonged to the last one."""
        if self._dialog is not None:
            self._dialog.close()
            self._dialog.deleteLater()
            self._dialog = None


class MakingDialog(QDialog):
    """Task, what is shown, what counts, questions, answers."""

    def __init__(self, room: Room) -> None:
        super().__init__(room.window)
        self.setWindowTitle("Make an exercise")
        self._room = room
        self._edited: Lesson | None = None
        self._path: Path | None = None
        self.said = QLabel("")
        self.said.setWordWrap(True)
        self.said.setAccessibleName("Message")
        self.task, self.shown, self.rules = TaskPage(), ShownPage(), RulesPage()
        self.questions = QuestionsPage(self._attempt)
        self.answers = AnswersPage(self.lesson, self._drawing, self._drawn, self._attempt)
        self.pages = QTabWidget()
        for page, words in (
            (self.task, "&Task"),
            (self.shown, "&Shown and hidden"),
            (self.rules, "What &counts"),
            (self.questions, "&Questions"),
            (self.answers, "&Answers"),
        ):
            self.pages.addTab(page, words)
        self.save = QPushButton("Save the exercise…")
        self.copy = QPushButton("Save the trainee's copy…")
        self.preview = QPushButton("Preview as a trainee")
        self.preview.setToolTip("In a further window, as a trainee gets it; nothing there is kept")
        self.preview.clicked.connect(lambda: self._attempt(self._preview))
        self.save.clicked.connect(lambda: self._attempt(self._save))
        self.copy.clicked.connect(lambda: self._attempt(self._save_copy))
        self._lay()
        room.bench.document.case_changed.connect(self.show_case)

    def show_case(self) -> None:
        """Follow the open case, until the teacher's own answer is kept apart from it."""
        if self.answers.kept is None:
            case = self._drawing()
            self.shown.show_case(case)
            self.rules.show_case(case)

    def show_draft(self, draft: Draft, path: Path | None) -> None:
        """An exercise that is changed; `path` is its file, if it has one."""
        self.setWindowTitle(f"Change an exercise: {draft.title}")
        self._edited, self._path = draft.edited, path
        self.task.show_draft(draft)
        self.shown.show_draft(draft)
        self.rules.show_draft(draft)
        self.questions.show_posed(draft.posed)
        self.answers.show_models(draft.also_good, draft.wrong)

    def lesson(self) -> Lesson:
        """The exercise as it stands. Raises ExerciseError while something is missing."""
        return lesson_of(self._draft())

    def _draft(self) -> Draft:
        kept = self.answers.kept
        return Draft(
            case=self._drawing() if kept is None else kept,
            placing=self.shown.placing(),
            weights=self.rules.weights(),
            needs=self.rules.needed(),
            asked_weight=self.shown.weight.value(),
            posed=tuple(self.questions.posed),
            also_good=self.answers.of_kind("good"),
            wrong=self.answers.of_kind("wrong"),
            edited=self._edited,
            **self.task.words()._asdict(),
        )

    def _drawing(self) -> Case:
        return self._room.bench.document.case

    def _drawn(self, text: str) -> ModelAnswer:
        return answer_drawn(self._draft(), self._drawing(), text)

    def _preview(self) -> None:
        """The exercise as a trainee gets it, in a window of its own. Raises ExerciseError."""
        from fixplan.desk import sitting

        lesson = self.lesson()
        feature = self._room.elsewhere("fixplan.desk.sitting")
        if isinstance(feature, sitting.DeskFeature):
            feature.preview(lesson)

    def _lay(self) -> None:
        column = QVBoxLayout(self)
        intro = QLabel(INTRO)
        intro.setWordWrap(True)
        column.addWidget(intro)
        column.addWidget(self.pages, 1)
        column.addWidget(self.said)
        row = QHBoxLayout()
        for button in (self.preview, self.save, self.copy):
            row.addWidget(button)
        row.addStretch(1)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        row.addWidget(buttons)
        column.addLayout(row)
        for button in self.findChildren(QPushButton):
            button.setAutoDefault(False)
        letter = self.fontMetrics().averageCharWidth()
        self.resize(104 * letter, 44 * self.fontMetrics().height())

    def _attempt(self, work: Callable[[], object]) -> bool:
        """Run work; an error of the domain is told in this window."""
        try:
            work()
        except FixplanError as problem:
            self.said.setText(str(problem))
            return False
        return True

    def _save(self) -> None:
        self._write(self.lesson(), "Save the exercise", "")

    def _save_copy(self) -> None:
        lesson = self.lesson()
        self._write(Lesson(exercise=lesson.exercise), "Save the trainee's copy", "-trainee")

    def _write(self, lesson: Lesson, title: str, ending: str) -> None:
        suggested = self._room.settings.folder / f"{lesson.exercise.id}{ending}.json"
        if self._path is not None:
            suggested = self._path.with_stem(f"{self._path.stem}{ending}")
        path = dialogs.ask_save_path(self, title, suggested, ".json", EXERCISE_FILTER)
        if path is not None:
            write_lesson(path, lesson.exercise, lesson.teacher, rules=rule_set_version())
            self.said.setText(f"Written: {path}")
