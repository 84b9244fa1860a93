"""The bar along the top: tools in the order of thought, then check list and sheet, then undo."""

from collections.abc import Callable, Mapping

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMenu, QSizePolicy, QToolBar, QToolButton, QWidget

from fixplan.desk.actions import TOOLS


class ToolStrip(QToolBar):
    """Tools as buttons that stay down; the rest as plain buttons."""

    def __init__(self, pick: Callable[[str], None], parent: QWidget | None = None) -> None:
        super().__init__("Tools", parent)
        self.setMovable(False)
        self.setAccessibleName("Tools")
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.PreventContextMenu)
        self.tools: dict[str, QAction] = {}
        group = QActionGroup(self)
        for tool in TOOLS:
            action = QAction(tool.words, self)
            action.setCheckable(True)
            action.setShortcuts([QKeySequence(keys) for keys in tool.keys])
            action.setToolTip(f"{tool.words} ({', '.join(tool.keys)})")
            action.triggered.connect(lambda _=False, name=tool.name: pick(name))
            group.addAction(action)
            self.addAction(action)
            self.tools[tool.name] = action
        self.tools["select"].setChecked(True)

    def finish(self, commands: Mapping[str, QAction], frames: QMenu, sheet: QMenu) -> None:
        """Add what follows the tools."""
        self.addWidget(_menu_button("Starting frame", "Lay one of the usual frames", frames))
        self.addSeparator()
        self.addAction(commands["check_list"])
        self.addWidget(_menu_button("Sheet", "Paper, export, print", sheet))
        spring = QWidget()
        spring.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.addWidget(spring)
        self.addAction(commands["undo"])
        self.addAction(commands["redo"])
        commands["check_list"].setIconText("Check list")
        commands["undo"].setIconText("Undo")
        commands["redo"].setIconText("Redo")

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


def _menu_button(words: str, tip: str, menu: QMenu) -> QToolButton:
    button = QToolButton()
    button.setText(f"{words} ▾")
    button.setToolTip(tip)
    button.setAccessibleName(words)
    button.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
    button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    button.setMenu(menu)
    return button
