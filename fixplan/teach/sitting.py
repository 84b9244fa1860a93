"""A sitting of an exercise: what has been handed in so far, and what is shown meanwhile."""

from datetime import UTC, datetime
from pathlib import Path
from typing import NamedTuple

from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.checks.hidden import HIDDEN
from fixplan.errors import ExerciseError
from fixplan.teach.files import Lesson, print_of
from fixplan.teach.records import Answer, Exercise, Reply, SavedSitting, Try
from fixplan.teach.shelf import find_lesson, shelf

MOST_TRIES = 20
MOST_MINUTES = 100_000.0


class Sitting(NamedTuple):
    """One trainee at one exercise; `hints` counts the hints that were asked for.

    `used_min` and `away_min` are of the try that is being planned: the time before the last
    interruption, and how long interruptions took. `origin` is the exercise's id or its file.
    """

    lesson: Lesson
    label: str
    tries: tuple[Try, ...] = ()
    hints: int = 0
    origin: str = ""
    used_min: float = 0.0
    away_min: float = 0.0

    @property
    def exercise(self) -> Exercise:
        """What the trainee was given."""
        return self.lesson.exercise

    @property
    def can_be_marked(self) -> bool:
        """Whether the key is there; a trainee's copy has none."""
        return self.lesson.teacher is not None

    @property
    def hidden_findings(self) -> tuple[Finding, ...]:
        """What is told in place of the findings; nothing where they may be seen."""
        return () if self.exercise.live_findings else (HIDDEN,)

    def with_hint(self) -> "Sitting":
        """One more hint is shown."""
        return self._replace(hints=min(self.hints + 1, len(self.exercise.hints)))

    def handed_in(
        self, case: Case, replies: tuple[Reply, ...], minutes: float, at: datetime
    ) -> "Sitting":
        """One more try beside those before; `minutes` since the try began or was gone on with.

        Raises ExerciseError after the last one.
        """
        if len(self.tries) >= MOST_TRIES:
            raise ExerciseError(
                f"{self.exercise.title}: {MOST_TRIES} tries are kept; leave the exercise and "
                "begin it anew"
            )
        one = Try(
            case=case,
            replies=replies,
            minutes=self.minutes(minutes),
            away_min=round(self.away_min, 1),
            hints=self.hints,
            handed_in=f"{at:%Y-%m-%d %H:%M}",
        )
        return self._replace(tries=(*self.tries, one), used_min=0.0, away_min=0.0)

    def minutes(self, since: float) -> float:
        """The time used for the present try, `since` minutes after it was begun or gone on with."""
        return min(self.used_min + since, MOST_MINUTES)

    def saved(
        self, case: Case, replies: tuple[Reply, ...], minutes: float, at: datetime
    ) -> SavedSitting:
        """All of it for a file, `minutes` as in `handed_in`."""
        return SavedSitting(
            exercise=self.exercise,
            origin=Path(self.origin).name[:200],
            label=self.label,
            tries=self.tries,
            hints=self.hints,
            case=case,
            replies=replies,
            minutes=self.minutes(minutes),
            away_min=self.away_min,
            saved_at=f"{at.astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}",
        )

    def answer(self) -> Answer:
        """All tries as an answer. Raises ExerciseError before the first."""
        if not self.tries:
            raise ExerciseError(f"{self.exercise.title}: nothing was handed in yet; hand in first")
        return Answer(
            exercise=self.exercise.id,
            print=print_of(self.exercise),
            label=self.label,
            tries=self.tries,
        )


def resumed(saved: SavedSitting, folder: Path, now: datetime) -> Sitting:
    """Go on with a sitting; the time used counts on, the time away is told beside it.

    The key is looked for among the shipped exercises, then beside the sitting's file in `folder`;
    one that is not found, or of an exercise changed since, leaves a trainee's copy.
    """
    away = (now - datetime.fromisoformat(saved.saved_at)).total_seconds() / 60
    lesson, origin = _lesson_behind(saved, folder)
    return Sitting(
        lesson=lesson,
        label=saved.label,
        tries=saved.tries,
        hints=saved.hints,
        origin=origin,
        used_min=saved.minutes,
        away_min=min(saved.away_min + max(away, 0.0), MOST_MINUTES),
    )


def _lesson_behind(saved: SavedSitting, folder: Path) -> tuple[Lesson, str]:
    copy = Lesson(exercise=saved.exercise)
    beside = folder / saved.origin
    name = saved.origin if saved.origin in shelf() else str(beside)
    if not saved.origin or (name == str(beside) and not beside.is_file()):
        return copy, saved.origin
    try:
        found = find_lesson(name)
    except ExerciseError:
        return copy, saved.origin
    same = print_of(found.exercise) == print_of(saved.exercise)
    return (found if same else copy), name


def file_stem(sitting: Sitting) -> str:
    """A name for a sitting's files: the exercise and the label."""
    label = "".join(c if c.isalnum() else "-" for c in sitting.label)
    return f"{sitting.exercise.id}-{label}"


def time_words(exercise: Exercise, minutes: float) -> str:
    """The time that is left, or that it is over; empty without a limit."""
    if exercise.time_limit_min is None:
        return ""
    left_s = round(60 * (exercise.time_limit_min - minutes))
    if left_s <= 0:
        return "Time is over: hand in. The mark will say that it was late."
    return f"{left_s // 60}:{left_s % 60:02d} left of {exercise.time_limit_min:g} minutes"
