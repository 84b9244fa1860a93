"""A feature brings commands and cards without a change to window or column."""

from collections.abc import Sequence

import pytest
from PySide6.QtWidgets import QWidget

from fixplan.desk import features
from fixplan.desk.actions import COMMANDS, MENUS, Command
from fixplan.desk.feature import Feature
from fixplan.desk.panels.card import Card
from fixplan.desk.settings import Settings
from fixplan.desk.window import DeskWindow


class DeskFeature(Feature):
    """A feature of the test's own: counts how often its command ran."""

    runs = 0

    def cards(self) -> Sequence[QWidget]:
        self.card = Card("Weather")
        return (self.card,)

    def look_out(self) -> None:
        self.runs += 1


ENTRY = features.FeatureEntry(__name__, (Command("look_out", "&Look out", "&Kit"),))


@pytest.fixture
def window(qtbot, monkeypatch) -> DeskWindow:
    monkeypatch.setattr(features, "ENTRIES", (*features.ENTRIES, ENTRY))

    def another() -> DeskWindow:
        raise AssertionError("no further window is wanted here")

    made = DeskWindow(Settings(), another)
    qtbot.addWidget(made)
    return made


def test_a_command_runs_the_method_of_its_name(window: DeskWindow) -> None:
    action = window.actions_by_name["look_out"]
    action.setEnabled(True)
    action.trigger()
    made = window.features.of(__name__)
    assert isinstance(made, DeskFeature)
    assert made.runs == 1


def test_its_card_stands_above_the_limbs(window: DeskWindow) -> None:
    window.features.load()
    made = window.features.of(__name__)
    assert isinstance(made, DeskFeature)
    assert window.column.isAncestorOf(made.card)


def test_loading_twice_makes_it_once(window: DeskWindow) -> None:
    window.features.load()
    made = window.features.of(__name__)
    window.features.load()
    assert window.features.of(__name__) is made


def test_every_command_has_a_menu_and_a_name_of_its_own() -> None:
    commands = [command for command in (*COMMANDS, *features.feature_commands()) if command.name]
    assert {command.menu for command in commands} <= set(MENUS)
    names = [command.name for command in commands]
    assert len(names) == len(set(names))
    keys = [key for command in commands for key in command.keys]
    assert len(keys) == len(set(keys))


def test_every_command_of_a_feature_has_its_method() -> None:
    from importlib import import_module

    for entry in features.ENTRIES:
        made = import_module(entry.module).DeskFeature
        missing = [own.name for own in entry.commands if own.name and not hasattr(made, own.name)]
        assert missing == []
