"""What a feature of the desk is given, and what it brings: cards, and methods for commands."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from fixplan.desk.bench import Bench
from fixplan.desk.canvas import SheetView
from fixplan.desk.case_files import CaseFiles
from fixplan.desk.settings import Settings


@dataclass(frozen=True)
class Room:
    """The window's parts that a feature works with.

    `attempt` runs work and tells an error of the domain in its own sentence; `say` shows a
    sentence above the sheet; `show_opened` brings the desk up after another case was opened;
    `open_elsewhere` opens a file in a further window; `elsewhere` gives a feature of a further
    window, by its module.
    """

    window: QWidget
    bench: Bench
    view: SheetView
    files: CaseFiles
    settings: Settings
    attempt: Callable[[Callable[[], object]], bool]
    say: Callable[[str], None]
    pick_tool: Callable[[str], None]
    show_opened: Callable[[], None]
    open_elsewhere: Callable[[Path], None]
    elsewhere: Callable[[str], "Feature"]


class Feature(QObject):
    """A part of the desk beside the drawing; a command runs the method of its own name."""

    def __init__(self, room: Room) -> None:
        super().__init__(room.window)
        self.room = room

    def cards(self) -> Sequence[QWidget]:
        """Cards for the right column, above the limb's."""
        return ()

    def begin(self) -> None:
        """Another case has been opened."""
