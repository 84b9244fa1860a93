"""A foldable card whose changes are edits of the case, each refused change told in words."""

from collections.abc import Callable, Iterable, Mapping

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from fixplan.case.records import Case
from fixplan.case.scalars import Severity
from fixplan.desk.bench import Bench
from fixplan.desk.panels.card import Card, soft_label
from fixplan.desk.panels.thing import next_turn
from fixplan.desk.sheet_hold import Attempt
from fixplan.trips.prompts import Prompt

SIGNS: Mapping[Severity, str] = {
    "stop": "\u25a0",
    "caution": "\u25b2",
    "not assessed": "?",
    "note": "\u25cb",
}


class EditingCard(Card):
    """`rows` is what folds away; `refresh` shows the case once it has changed."""

    def __init__(
        self, title: str, bench: Bench, attempt: Attempt, parent: QWidget | None = None
    ) -> None:
        super().__init__(title, parent)
        self._document, self._attempt = bench.document, attempt
        inner = QWidget()
        self.rows = QVBoxLayout(inner)
        self.rows.setContentsMargins(0, 0, 0, 0)
        self.body.addWidget(inner)
        self.fold = self.add_fold(inner)
        self._later = next_turn(self, self.refresh)
        bench.document.case_changed.connect(self._later.start)

    @property
    def case(self) -> Case:
        """The case as it is committed."""
        return self._document.case

    def unfold(self) -> None:
        """Show the inside of the card."""
        self.fold.setChecked(True)

    def refresh(self) -> None:
        """Show the case as it is now."""
        raise NotImplementedError

    def edit(self, text: str, change: Callable[[], Case], merge_key: str = "") -> bool:
        """Commit what a change gives; after a refusal the inputs show the case again."""
        went = self._attempt(lambda: self._document.commit(text, change(), merge_key=merge_key))
        if not went:
            self.refresh()
        return went


def told(name: str, *, is_soft: bool = True) -> QLabel:
    """Lines of text that can be selected, named for a screen reader."""
    label = soft_label("") if is_soft else QLabel()
    label.setWordWrap(True)
    label.setAccessibleName(name)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return label


def signed(prompts: Iterable[Prompt]) -> str:
    """Prompts as lines, each with the sign of its severity."""
    return "\n".join(f"{SIGNS[one.severity]} {one.words}" for one in prompts)


def clear(rows: QVBoxLayout) -> None:
    """Take every widget out of a column of rows."""
    while (item := rows.takeAt(0)) is not None:
        widget = item.widget()
        if widget is not None:
            widget.hide()
            widget.deleteLater()
