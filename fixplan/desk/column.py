"""The right column: findings above; below, the tool in hand and the selected thing or the limb."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QSplitter, QVBoxLayout, QWidget

from fixplan.desk.bench import Bench
from fixplan.desk.guard import guarded
from fixplan.desk.hold_watch import HoldWatch
from fixplan.desk.panels.case_card import CaseCard
from fixplan.desk.panels.findings import FindingsPanel
from fixplan.desk.panels.firmness import FirmnessCard
from fixplan.desk.panels.length import LengthCard
from fixplan.desk.panels.thing import ThingCard
from fixplan.desk.panels.tool_card import ToolCard
from fixplan.desk.sheet_hold import Attempt
from fixplan.desk.subjects import thing_of
from fixplan.desk.tools.base import Tool

WIDTH_IN_LETTERS = 66
NARROW_IN_LETTERS = 58
IN_COLUMN = ("check_list", "edit_limb", "keep_variant", "accept_finding")
NARROW_WINDOW_PX = 1500


class Column(QWidget):
    """Cards in a column; the lower ones scroll. `sheet_asked`: Esc gives the keys back."""

    sheet_asked = Signal()

    def __init__(self, bench: Bench, attempt: Attempt, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("column")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._bench = bench
        self._shows_limb = False
        self._widest = 0
        self.findings = FindingsPanel(bench)
        self.tool = ToolCard(bench)
        self.thing = ThingCard(bench, attempt)
        self.limb = CaseCard(bench, attempt)
        self.watch = HoldWatch(bench, self)
        self.firmness = FirmnessCard(bench, self.watch, attempt)
        self.length = LengthCard(bench, attempt)
        self.tool.hide()
        split = QSplitter(Qt.Orientation.Vertical)
        split.setChildrenCollapsible(False)
        split.setHandleWidth(8)
        split.addWidget(self.findings)
        split.addWidget(self._scrolled())
        split.setSizes([550, 450])
        split.setStretchFactor(0, 11)
        split.setStretchFactor(1, 9)
        self._outer = QVBoxLayout(self)
        self._outer.setContentsMargins(4, 8, 8, 8)
        self._outer.addWidget(split)
        self._hold_width()
        bench.selection.changed.connect(self._show_cards)
        bench.document.case_changed.connect(self._show_cards)

    def add_card(self, card: QWidget) -> None:
        """A feature's card, above the limb's."""
        self._cards_layout.insertWidget(self._cards_layout.indexOf(self.limb), card)
        self._hold_width()

    def hold_width(self) -> None:
        """The window has another size."""
        self._hold_width()

    def bring_into_view(self, card: QWidget) -> None:
        """Scroll a card into sight."""
        self._area.ensureWidgetVisible(card)

    def show_tool(self, tool: Tool) -> None:
        """Show the options of a drawing tool."""
        self.tool.setVisible(tool.has_caret)
        if tool.has_caret:
            self.tool.show_tool(tool.name, tool.hint)
        self._shows_limb = False
        self._show_cards()

    def show_limb(self) -> None:
        """Show the limb's card and give it the keys."""
        self._shows_limb = True
        self._show_cards()
        self._area.ensureWidgetVisible(self.limb)
        self.limb.input_of("label").editor().setFocus()

    def show_firmness(self) -> None:
        """Bring the card about firmness into view."""
        self.firmness.unfold()
        self._area.ensureWidgetVisible(self.firmness)

    def take_focus(self) -> None:
        """Give the keys to the selected thing; without one to the tool in hand, or to the limb."""
        if not self.thing.isHidden():
            self.thing.take_focus()
        elif self.tool.isHidden() or not self.tool.take_focus():
            self.show_limb()

    def tab_groups(self) -> list[QWidget]:
        """The cards in the order in which Tab goes through them."""
        first: list[QWidget] = [self.tool, self.thing, self.findings]
        laid = (self._cards_layout.itemAt(n) for n in range(self._cards_layout.count()))
        cards = (item.widget() for item in laid if item is not None)
        return [*first, *(card for card in cards if card is not None and card not in first)]

    def _scrolled(self) -> QScrollArea:
        self._cards = QWidget()
        self._cards_layout = cards = QVBoxLayout(self._cards)
        cards.setContentsMargins(0, 0, 0, 0)
        cards.setSpacing(8)
        for card in (self.tool, self.thing, self.firmness, self.length, self.limb):
            cards.addWidget(card)
        cards.addStretch(1)
        self._area = QScrollArea()
        self._area.setWidgetResizable(True)
        self._area.setFrameShape(QFrame.Shape.NoFrame)
        self._area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._area.setWidget(self._cards)
        return self._area

    def _show_cards(self) -> None:
        """The selected thing's card; without one, and with no tool, the limb's."""
        thing = thing_of(self._bench.document.case, self._bench.selection.subject)
        self.thing.setVisible(thing is not None)
        draws = not self.tool.isHidden()
        self.limb.setVisible(self._shows_limb or (thing is None and not draws))
        if not self.limb.isHidden():
            self.limb.refresh()
        self._hold_width()

    def _hold_width(self) -> None:
        """As wide as the window allows, whatever is shown: another width would move the sheet.

        Only a card that is wider still beside the scroll bar widens it, so that none is cut; it
        then stays so.
        """
        margins = self._outer.contentsMargins()
        beside = (
            margins.left() + margins.right() + self._area.verticalScrollBar().sizeHint().width()
        )
        self._widest = max(self._widest, self._cards.minimumSizeHint().width() + beside)
        is_narrow = self.window().width() < NARROW_WINDOW_PX
        letters = NARROW_IN_LETTERS if is_narrow else WIDTH_IN_LETTERS
        self.setMinimumWidth(max(letters * self.fontMetrics().averageCharWidth(), self._widest))

    @guarded
    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc that no input had a use for goes back to the sheet."""
        if event.key() == Qt.Key.Key_Escape:
            self.sheet_asked.emit()
            return
        super().keyPressEvent(event)


def is_in_column(command: str) -> bool:
    """Whether what a command shows or gives the keys to stands in the column."""
    return command in IN_COLUMN or (command.startswith("go_to_") and command != "go_to_sheet")
