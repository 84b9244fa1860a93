"""A sitting of an exercise: what has been handed in so far, and what is shown meanwhile."""

from datetime import datetime
from typing import NamedTuple

from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.checks.hidden import HIDDEN
from fixplan.errors import ExerciseError
from fixplan.teach.files import Lesson, print_of
from fixplan.teach.records import Answer, Exercise, Reply, Try

MOST_TRIES = 20


class Sitting(NamedTuple):
    """One trainee at one exercise; `hints` counts the hints that were asked for."""

    lesson: Lesson
    label: str
    tries: tuple[Try, ...] = ()
    hints: int = 0

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
        """One more try beside those before. Raises ExerciseError after the last one."""
        if len(self.tries) >= MOST_TRIES:
            raise ExerciseError(
                f"{self.exercise.title}: {MOST_TRIES} tries are kept; leave the exercise and "
                "begin it anew"
            )
        one = Try(case=case, replies=replies, minutes=minutes, handed_in=f"{at:%Y-%m-%d %H:%M}")
        return self._replace(tries=(*self.tries, one))

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


def time_words(exercise: Exercise, minutes: float) -> str:
    """The time that is left, or that it is over; empty without a limit."""
    if exercise.time_limit_min is None:
        return ""
    left_s = round(60 * (exercise.time_limit_min - minutes))
    if left_s <= 0:
        return "Time is over: hand in. The mark will say that it was late."
    return f"{left_s // 60}:{left_s % 60:02d} left of {exercise.time_limit_min:g} minutes"
