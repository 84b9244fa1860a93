"""Cases of one patient: the card that lists them, and what links and opens them."""

from collections.abc import Sequence
from functools import partial
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from fixplan.case.linking import link, linked_paths, read_linked, size_differences, unlink
from fixplan.case.records import Case, LimbSize
from fixplan.desk import dialogs
from fixplan.desk.feature import Feature, Room
from fixplan.desk.panels.card import Card, soft_label
from fixplan.errors import EditError, FixplanError

TITLE = "Other cases of this patient"
NONE_YET = "None is linked. Linked cases are counted together for the kit to open."


class LinkedCard(Card):
    """The linked cases, each with its side and limb; or why it cannot be read.

    Signals: `link_asked`; `open_asked` and `unlink_asked` with a file's name as the case has it.
    """

    link_asked = Signal()
    open_asked = Signal(str)
    unlink_asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(TITLE, parent)
        self._none = soft_label(NONE_YET)
        self.body.addWidget(self._none)
        self._rows = QVBoxLayout()
        self._rows.setSpacing(5)
        self.body.addLayout(self._rows)
        self.link_button = QPushButton("Link a case…")
        self.link_button.clicked.connect(self.link_asked)
        row = QHBoxLayout()
        row.addWidget(self.link_button)
        row.addStretch(1)
        self.body.addLayout(row)

    def show_cases(self, told: Sequence[tuple[str, str]]) -> None:
        """List file names, each with what is said of it."""
        while (item := self._rows.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.setParent(None)
                widget.deleteLater()
        for name, words in told:
            self._rows.addWidget(self._row(name, words))
        self._none.setVisible(not told)
        self.entitle(TITLE, str(len(told)) if told else "")

    def _row(self, name: str, words: str) -> QWidget:
        said = QLabel(words)
        said.setWordWrap(True)
        said.setToolTip(name)
        holder = QWidget()
        row = QHBoxLayout(holder)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(said, 1)
        for label, signal, tip in (
            ("Open", self.open_asked, f"Open {name} in a window of its own"),
            ("Unlink", self.unlink_asked, f"Forget {name}; the file stays as it is"),
        ):
            button = QPushButton(label)
            button.setToolTip(tip)
            button.setAccessibleName(f"{label} {name}")
            button.clicked.connect(partial(_emit, signal, name))
            row.addWidget(button)
        return holder


class DeskFeature(Feature):
    """Links by one edit each; the other case's file is never changed."""

    def __init__(self, room: Room) -> None:
        super().__init__(room)
        self._document = room.bench.document
        self._shown: tuple[Path | None, tuple[str, ...], LimbSize] | None = None
        self.card = LinkedCard()
        self.card.link_asked.connect(partial(room.attempt, self.link_case))
        self.card.open_asked.connect(lambda name: room.attempt(partial(self._open, name)))
        self.card.unlink_asked.connect(lambda name: room.attempt(partial(self._unlink, name)))
        self._document.case_changed.connect(self._refresh)
        self._document.state_changed.connect(self._refresh)

    def cards(self) -> Sequence[QWidget]:
        """The list of linked cases."""
        return (self.card,)

    def begin(self) -> None:
        """Another case: read what it is linked with."""
        self._shown = None
        self._refresh()

    def link_case(self) -> None:
        """Ask for another case of this patient and name it here.

        Raises:
            EditError: this case is in no file yet, or cannot be linked with the other.
            CaseFileError: the other file holds no case.
        """
        own = self._own_path()
        other = dialogs.ask_open_path(self.room.window, own.parent)
        if other is None:
            return
        linked = link(self._document.case, own, other)
        differs = size_differences(linked, read_linked(own, linked.linked[-1]))
        self._document.commit("Link a case", linked)
        if differs:
            self.room.say(
                f"{other.name} is linked, but the sizes differ: {differs}. A patient has one size; "
                "set it right in the case that has it wrong."
            )

    def _own_path(self) -> Path:
        if self._document.path is None:
            raise EditError("This case is in no file yet; save it, then link the others.")
        return self._document.path

    def _open(self, name: str) -> None:
        paths = dict(
            zip(
                self._document.case.linked,
                linked_paths(self._document.case, self._own_path()),
                strict=True,
            )
        )
        self.room.open_elsewhere(paths[name])

    def _unlink(self, name: str) -> None:
        self._document.commit("Unlink a case", unlink(self._document.case, name))

    def _refresh(self) -> None:
        """Read the linked files anew when other ones are named, or the case lies elsewhere."""
        case, path = self._document.case, self._document.path
        key = (path, case.linked, case.size)
        if key != self._shown:
            self._shown = key
            self.card.show_cases([(name, _said(case, path, name)) for name in case.linked])


def _said(case: Case, own_path: Path | None, name: str) -> str:
    """What is known of a linked case; where it cannot be read, why."""
    if own_path is None:
        return f"{name}: told from this case's file, which is not saved yet."
    try:
        other = read_linked(own_path, name)
    except FixplanError as problem:
        return str(problem)
    differs = size_differences(case, other)
    return f"{case_words(other)} ({name})" + (f". The sizes differ: {differs}" if differs else "")


def case_words(case: Case) -> str:
    """Side, limb and label: "left leg, open femoral shaft"."""
    side = "both sides" if case.side == "both" else case.side
    return f"{side} {case.limb}, {case.label}" if case.label else f"{side} {case.limb}"


def _emit(signal: object, name: str) -> None:
    signal.emit(name)  # type: ignore[attr-defined]  # bound by Qt
