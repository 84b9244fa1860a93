"""The commands by their first word; the module of each is imported when it runs."""

from collections.abc import Callable
from importlib import import_module
from typing import NamedTuple


class Command(NamedTuple):
    """One command: the function of its own name in `fixplan/cli/<name>.py` runs it.

    `usage` as typed; `words` for the help text, its lines already cut.
    """

    name: str
    usage: str
    words: tuple[str, ...]


COMMANDS = {
    command.name: command
    for command in (
        Command(
            "check",
            "fixplan check CASE... [--json]",
            (
                "findings; ends with 0: no open stop, 1: an open stop,",
                "2: a case that cannot be read",
            ),
        ),
        Command(
            "sheet",
            "fixplan sheet CASE -o OUT",
            (
                "write the sheet; OUT ends in .pdf, .svg or .png,",
                "in words for the case notes: .txt or .md;",
                "--paper A4 or A3, --dpi NUMBER of a PNG,",
                "--blocks NAMES: only these, with commas between",
            ),
        ),
        Command(
            "kit",
            "fixplan kit CASE...",
            (
                "trays to open for one night; --trays FILE, --json;",
                "ends with 1 when a part is missing or does not fit;",
                "--template OUT writes trays to fill in, and ends",
            ),
        ),
        Command(
            "hold",
            "fixplan hold CASE [--json]",
            (
                "how firmly the frame holds; ends with 1 when it is loose;",
                "--braced: with the ligaments of unbroken spanned joints",
            ),
        ),
        Command(
            "trips",
            "fixplan trips CASE [--json]",
            (
                "trips to theatre and what is due by when; --now TIME;",
                "ends with 1 when late or planned too late, 2 when times",
                "cannot be right; --ward OUT.pdf writes the ward page",
            ),
        ),
        Command(
            "mark",
            "fixplan mark EXERCISE ANSWER...",
            (
                "the marks of a class; --csv OUT, --report OUT.pdf, --json;",
                "ends with 2 when an answer cannot be marked",
            ),
        ),
        Command(
            "schema",
            "fixplan schema [KIND]",
            ("JSON Schema of the case; KIND: exercise, answer, sitting",),
        ),
    )
}
OPENING = Command(
    "", "fixplan [CASE]", ("open the desk; no display: print findings, write the sheet",)
)
COLUMN = 32


def work_of(name: str) -> Callable[[list[str]], int]:
    """The function that runs a command on the words typed after it."""
    work: Callable[[list[str]], int] = getattr(import_module(f"fixplan.cli.{name}"), name)
    return work


def description() -> str:
    """What `fixplan --help` says."""
    lines = [line for command in (OPENING, *COMMANDS.values()) for line in _lines_of(command)]
    return "\n".join(
        (
            "Plan a temporary external frame for a badly broken, open limb: draw, check, print one"
            " sheet.",
            "",
            *lines,
            "",
            "A planning and teaching aid on a schematic limb, not a medical device.",
        )
    )


def _lines_of(command: Command) -> list[str]:
    starts = [command.usage, *("" for _ in command.words[1:])]
    return [
        f"  {start:<{COLUMN - 1}} {words}"
        for start, words in zip(starts, command.words, strict=True)
    ]
