"""The menus and their actions, built from the commands as data."""

from collections.abc import Callable, Mapping, Sequence

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMainWindow, QMenu

from fixplan.desk.actions import MENUS, Command
from fixplan.desk.menus import ListedMenu

Listing = Callable[[ListedMenu], None]
EXPORTS = ("export_pdf", "export_svg", "export_png", "print_sheet")


class MenuTree:
    """Every action and listed menu of one window, by the name of its command.

    `listings` lists the entries of the commands that are a menu of their own; `run` runs a command
    by its name; `switched_on` names the switches that are on at the start.
    """

    def __init__(
        self,
        window: QMainWindow,
        commands: Sequence[Command],
        listings: Mapping[str, Listing],
        run: Callable[[str], None],
        switched_on: Sequence[str],
    ) -> None:
        self._window = window
        self._commands = tuple(commands)
        self._listings = listings
        self._run = run
        self._switched_on = switched_on
        self.actions: dict[str, QAction] = {}
        self.listed: dict[str, ListedMenu] = {}
        self._fill()

    def sheet_menu(self) -> QMenu:
        """Paper, export and print, for the bar of tools."""
        menu = QMenu(self._window)
        self.listed["sheet paper"] = ListedMenu("&Paper", self._listings["paper"])
        menu.addMenu(self.listed["sheet paper"])
        menu.addSeparator()
        for name in EXPORTS:
            menu.addAction(self.actions[name])
        return menu

    def show_state(self, *, is_open: bool, undo_text: str, redo_text: str) -> None:
        """Which commands can be used."""
        for command in self._commands:
            if command.needs_case and command.name in self.actions:
                self.actions[command.name].setEnabled(is_open)
        self.listed["starting_frame"].setEnabled(is_open)
        self._show_undo("undo", "Undo", undo_text)
        self._show_undo("redo", "Redo", redo_text)

    def _fill(self) -> None:
        bar = self._window.menuBar()
        used = {command.menu for command in self._commands}
        menus = {words: bar.addMenu(words) for words in MENUS if words in used}
        for command in self._commands:
            menu = menus[command.menu]
            if command.name in self._listings:
                made = ListedMenu(command.words, self._listings[command.name])
                self.listed[command.name] = made
                menu.addMenu(made)
            elif command.name:
                menu.addAction(self._action(command))
            else:
                menu.addSeparator()

    def _action(self, command: Command) -> QAction:
        action = QAction(command.words, self._window)
        action.setObjectName(command.name)
        action.setShortcuts([QKeySequence(keys) for keys in command.keys])
        action.setCheckable(command.is_switch)
        if command.tip:
            action.setToolTip(command.tip)
            action.setStatusTip(command.tip)
        action.setChecked(command.starts_on or command.name in self._switched_on)
        action.triggered.connect(lambda _=False: self._run(command.name))
        self.actions[command.name] = action
        return action

    def _show_undo(self, name: str, words: str, text: str) -> None:
        action = self.actions[name]
        action.setEnabled(bool(text))
        action.setText(f"&{words} {text[:1].lower()}{text[1:]}" if text else f"&{words}")
        action.setToolTip(f"{words} {text[:1].lower()}{text[1:]}" if text else words)
