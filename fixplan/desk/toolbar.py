"""The bar along the top: tools in the order of thought, then check list and sheet, then undo.

Where the window is narrow its words grow closer and shorter, so that no button is ever hidden.
"""

from collections.abc import Callable, Mapping
from typing import NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QActionGroup, QFont, QFontMetrics, QKeySequence, QResizeEvent
from PySide6.QtWidgets import QMenu, QSizePolicy, QToolBar, QToolButton, QWidget

from fixplan.desk.actions import TOOLS
from fixplan.desk.guard import guarded

PADDINGS_PX = (9, 5, 0)
"""At each level of tightness the room on each side of a button's words."""
FRAME_PX = 16
"""What the style itself puts round a button's words, the gap to the next one counted."""
SPARE_PX = 40
"""Separator, spring, margins and the edge of the bar."""


class Words(NamedTuple):
    """A button's words at each level of tightness."""

    button: QToolButton
    action: QAction | None
    levels: tuple[str, str, str]


class ToolStrip(QToolBar):
    """Tools as buttons that stay down; the rest as plain buttons."""

    def __init__(self, pick: Callable[[str], None], parent: QWidget | None = None) -> None:
        super().__init__("Tools", parent)
        self.setMovable(False)
        self.setAccessibleName("Tools")
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.PreventContextMenu)
        self.tools: dict[str, QAction] = {}
        self._words: list[Words] = []
        self._level = 0
        group = QActionGroup(self)
        for tool in TOOLS:
            action = QAction(tool.words, self)
            action.setCheckable(True)
            action.setShortcuts([QKeySequence(keys) for keys in tool.keys])
            action.setToolTip(f"{tool.words} ({', '.join(tool.keys)})")
            action.triggered.connect(lambda _=False, name=tool.name: pick(name))
            group.addAction(action)
            self._add(action, (tool.words, tool.words, tool.short or tool.words))
            self.tools[tool.name] = action
        self.tools["select"].setChecked(True)

    def finish(self, commands: Mapping[str, QAction], frames: QMenu, sheet: QMenu) -> None:
        """Add what follows the tools."""
        frame = _menu_button("Starting frame", "Lay one of the usual frames", frames)
        self.addWidget(frame)
        self._words.append(Words(frame, None, ("Starting frame ▾", "Starting frame ▾", "Frame ▾")))
        self.addSeparator()
        self._add(commands["check_list"], ("Check list", "Check list", "Check"))
        pages = _menu_button("Sheet", "Paper, export, print", sheet)
        self.addWidget(pages)
        self._words.append(Words(pages, None, ("Sheet ▾", "Sheet ▾", "Sheet ▾")))
        spring = QWidget()
        spring.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.addWidget(spring)
        self._add(commands["undo"], ("Undo", "↶", "↶"))
        self._add(commands["redo"], ("Redo", "↷", "↷"))

    def show_tool(self, name: str) -> None:
        """Show which tool is in hand."""
        self.tools[name].setChecked(True)

    def enable_tools(self, is_on: bool) -> None:
        """Grey the tools while no case is open."""
        for action in self.tools.values():
            action.setEnabled(is_on)
        for button in self.findChildren(QToolButton):
            if button.menu() is not None:
                button.setEnabled(is_on)

    def needed_px(self, level: int) -> int:
        """How wide the bar is at a level of tightness, the chosen tool's bold word counted."""
        bold = QFont(self.font())
        bold.setBold(True)
        plain, heavy = self.fontMetrics(), QFontMetrics(bold)
        widths = [plain.horizontalAdvance(one.levels[level]) for one in self._words]
        growth = max(
            heavy.horizontalAdvance(one.levels[level]) - width
            for one, width in zip(self._words, widths, strict=True)
        )
        beside = 2 * PADDINGS_PX[level] + FRAME_PX
        return sum(widths) + growth + beside * len(widths) + SPARE_PX

    @guarded
    def resizeEvent(self, event: QResizeEvent) -> None:
        """Words as long as the bar has room for."""
        super().resizeEvent(event)
        last = len(PADDINGS_PX) - 1
        wide = event.size().width()
        level = next((n for n in range(last) if self.needed_px(n) <= wide), last)
        if level != self._level:
            self._level = level
            self._tighten()

    def _add(self, action: QAction, levels: tuple[str, str, str]) -> None:
        self.addAction(action)
        action.setIconText(levels[0])
        button = self.widgetForAction(action)
        if isinstance(button, QToolButton):
            button.setAccessibleName(levels[0])
            self._words.append(Words(button, action, levels))

    def _tighten(self) -> None:
        padding = PADDINGS_PX[self._level]
        closer = f"QToolBar {{ spacing: 0; }} QToolButton {{ padding: 5px {padding}px; }}"
        self.setStyleSheet(closer if self._level else "")
        for button, action, levels in self._words:
            if action is None:
                button.setText(levels[self._level])
            else:
                action.setIconText(levels[self._level])


def _menu_button(words: str, tip: str, menu: QMenu) -> QToolButton:
    button = QToolButton()
    button.setText(f"{words} ▾")
    button.setToolTip(tip)
    button.setAccessibleName(words)
    button.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
    button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    button.setMenu(menu)
    return button
