"""The question about each recovery copy that a lost window has left."""

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from fixplan.case.recovery import RecoveryCopy, read_copy, recovery_folder
from fixplan.desk import dialogs
from fixplan.desk.recovery import Abandoned, abandoned_copies
from fixplan.desk.settings import Settings

if TYPE_CHECKING:
    from fixplan.desk.window import DeskWindow


def ask_about_copies(
    window: "DeskWindow",
    settings: Settings,
    new_window: Callable[[], "DeskWindow"],
    *,
    with_left: bool,
) -> bool:
    """Ask about each copy; the first case goes into this window if it is empty.

    Whether there was any. Raises CaseFileError when a copy cannot be read or a file not opened.
    """
    found = [
        copy
        for copy in abandoned_copies(recovery_folder())
        if with_left or not settings.has_left(copy.path)
    ]
    for copy in found:
        window.attempt(partial(_ask, copy, window, settings, new_window))
    return bool(found)


def _ask(
    copy: Abandoned,
    window: "DeskWindow",
    settings: Settings,
    new_window: Callable[[], "DeskWindow"],
) -> None:
    kept = _read(copy, settings)
    path = Path(kept.origin) if kept.origin else None
    name = kept.case.label or (path.stem if path is not None else "a case never saved")
    name = name if kept.sitting is None else f"the exercise {name}"
    has_file = path is not None and path.is_file()
    answer = dialogs.ask_recovery(window, name, kept.written_at, has_file)
    if answer == "discard":
        copy.discard()
        return
    if answer == "recover":
        target = _empty_window(window, new_window)
        target.files.recover(copy)
        target.show_recovered()
        if kept.sitting is not None:
            _sit_on(target, kept)
        return
    settings.keep_left(copy.path)
    copy.leave()
    if answer == "saved" and path is not None:
        _empty_window(window, new_window).open_path(path)


def _sit_on(target: "DeskWindow", kept: RecoveryCopy) -> None:
    """Go on with the sitting that the copy holds too. Raises ExerciseError."""
    from fixplan.desk.sitting import DeskFeature

    feature = target.features.of("fixplan.desk.sitting")
    if isinstance(feature, DeskFeature):
        feature.recover(kept)


def _read(copy: Abandoned, settings: Settings) -> RecoveryCopy:
    """The copy; one that cannot be read is told once and left where it is."""
    is_read = False
    try:
        kept = read_copy(copy.path)
        is_read = True
    finally:
        if not is_read:
            settings.keep_left(copy.path)
            copy.leave()
    return kept


def _empty_window(window: "DeskWindow", new_window: Callable[[], "DeskWindow"]) -> "DeskWindow":
    if not window.document.is_open:
        return window
    further = new_window()
    further.show()
    return further
