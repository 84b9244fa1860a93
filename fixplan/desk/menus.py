"""The menus whose entries are listed when they open: last cases, starting frames, papers."""

from collections.abc import Callable
from functools import partial
from pathlib import Path

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu

from fixplan.case.scalars import LimbKind
from fixplan.sheet.paper import Paper

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


def list_papers(
    menu: ListedMenu, shown: Callable[[], Paper], work: Callable[[Paper], object]
) -> None:
    """The papers, the shown one ticked."""
    for paper, words in PAPERS.items():
        menu.add(words, partial(work, paper), is_on=paper == shown())
