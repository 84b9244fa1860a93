"""What every command shares: its parser, its one line of complaint, its numbers."""

import sys
from typing import TYPE_CHECKING, NoReturn, TypedDict, Unpack

if TYPE_CHECKING:
    from argparse import ArgumentParser, HelpFormatter

CLEAN, UNREADABLE = 0, 2


class Described(TypedDict, total=False):
    """What a parser may be told beside its name."""

    description: str
    usage: str
    formatter_class: "type[HelpFormatter]"


def parser_for(prog: str, **described: Unpack[Described]) -> "ArgumentParser":
    """A parser that tells a mistake in one line."""
    import argparse

    class Parser(argparse.ArgumentParser):
        def error(self, message: str) -> NoReturn:
            complain(f"{self.prog}: {message}; see {self.prog} --help")
            raise SystemExit(UNREADABLE)

    return Parser(prog=prog, allow_abbrev=False, **described)


def complain(sentence: str) -> None:
    """One line on standard error."""
    if sys.stderr is not None:
        print(" ".join(sentence.split()), file=sys.stderr)
