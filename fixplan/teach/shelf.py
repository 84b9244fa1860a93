"""The exercises that come with the program: resources/exercises, one file each."""

from functools import cache
from pathlib import Path

from fixplan.errors import ExerciseError
from fixplan.limb.library import resources_dir
from fixplan.teach.files import Lesson, decode_lesson, read_lesson

FOLDER = "exercises"


@cache
def shelf() -> dict[str, Path]:
    """The files of the shipped exercises by their ids, in the order of their names."""
    paths = sorted((resources_dir() / FOLDER).glob("*.json"))
    return {path.stem: path for path in paths}


def shipped(exercise_id: str) -> Lesson:
    """A shipped exercise. Raises ExerciseError for one that is not there."""
    path = shelf().get(exercise_id)
    if path is None:
        raise ExerciseError(
            f"{exercise_id}: no exercise of that name comes with the program; "
            f"choose one of {', '.join(shelf())}"
        )
    return decode_lesson(path.read_bytes(), str(path))


def find_lesson(name: str) -> Lesson:
    """An exercise by its file, else by the id of a shipped one. Raises ExerciseError."""
    if name in shelf() and not Path(name).exists():
        return shipped(name)
    return read_lesson(Path(name))


@cache
def shelf_titles() -> tuple[tuple[str, str, str, int], ...]:
    """Id, title, limb and grade of every shipped exercise, the easiest first."""
    lessons = [shipped(name).exercise for name in shelf()]
    listed = [(one.id, one.title, one.given.limb, one.grade) for one in lessons]
    return tuple(sorted(listed, key=lambda one: (one[3], one[2], one[1])))
