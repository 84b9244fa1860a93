"""The menus whose entries are listed when they open: last cases, starting frames, papers."""

from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QWidget

from fixplan.case.scalars import LimbKind
from fixplan.desk.theme import ColourChoice
from fixplan.sheet.paper import Paper

COLOURS: dict[ColourChoice, str] = {"system": "As the system", "light": "Light", "dark": "Dark"}
PAPERS: dict[Paper, str] = {"A3": "A3 lying", "A4": "A4 standing"}


class ListedMenu(QMenu):
    """A menu that lists its entries anew each time it opens."""

    def __init__(self, words: str, entries: Callable[["ListedMenu"], None]) -> None:
        super().__init__(words)
        self.aboutToShow.connect(lambda: self.list_anew(entries))

    def list_anew(self, entries: Callable[["ListedMenu"], None]) -> None:
        """Clear and list."""
        self.clear()
        entries(self)

    def add(self, words: str, work: Callable[[], object], *, is_on: bool | None = None) -> QAction:
        """One entry; `is_on` not None: with a tick or without."""
        action = self.addAction(words)
        action.triggered.connect(lambda _=False: work())
        if is_on is not None:
            action.setCheckable(True)
            action.setChecked(is_on)
        return action


def list_recent(
    menu: ListedMenu, paths: Callable[[], list[Path]], work: Callable[[Path], object]
) -> None:
    """The last cases."""
    for path in paths():
        menu.add(str(path), partial(work, path))


def list_frames(
    menu: ListedMenu, limb: Callable[[], LimbKind], work: Callable[[str], object]
) -> None:
    """The trade's own patterns of frame for the limb of the case. Raises LibraryError."""
    from fixplan.frame.patterns import patterns

    for pattern_id, pattern in patterns(limb()).items():
        menu.add(pattern.name, partial(work, pattern_id)).setToolTip(pattern.when)


def list_colours(
    menu: ListedMenu, shown: Callable[[], ColourChoice], work: Callable[[ColourChoice], object]
) -> None:
    """How the desk may look, the chosen way ticked."""
    for choice, words in COLOURS.items():
        menu.add(words, partial(work, choice), is_on=choice == shown())


def list_papers(
    menu: ListedMenu, shown: Callable[[], Paper], work: Callable[[Paper], object]
) -> None:
    """The papers, the shown one ticked."""
    for paper, words in PAPERS.items():
        menu.add(words, partial(work, paper), is_on=paper == shown())


def thing_menu(actions: Mapping[str, QAction], subject: str, parent: QWidget) -> QMenu:
    """What can be done with the thing under the mouse."""
    menu = QMenu(parent)
    if subject.startswith("pin-"):
        for name in ("line_up", "turn_back", "turn_on"):
            menu.addAction(actions[name])
        menu.addSeparator()
    for name in ("copy", "duplicate", "delete"):
        menu.addAction(actions[name])
    return menu
