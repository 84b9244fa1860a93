"""What `fixplan --help` says of each command, beside the command's own parser."""

import re

import pytest

from fixplan.cli.commands import COMMANDS, description, work_of

OPTION = re.compile(r"--[a-z]+")


def options_of(name: str, capsys: pytest.CaptureFixture[str]) -> set[str]:
    """The options that a command's own help lists."""
    with pytest.raises(SystemExit):
        work_of(name)(["--help"])
    return set(OPTION.findall(capsys.readouterr().out)) - {"--help"}


@pytest.mark.parametrize("name", sorted(COMMANDS))
def test_the_help_tells_every_option_of_a_command_and_no_other(name, capsys):
    command = COMMANDS[name]
    told = set(OPTION.findall(" ".join((command.usage, *command.words))))
    asked = options_of(name, capsys)
    if "-o OUT" in command.usage:
        told.add("--out")
    assert told == asked


def test_the_help_is_no_wider_than_a_terminal_and_names_every_command():
    told = description()
    assert max(map(len, told.splitlines())) <= 100
    assert all(f"fixplan {name}" in told for name in COMMANDS)
