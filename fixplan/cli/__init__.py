"""The command line: what is typed, what is printed, and with which number the program ends.

Nothing heavy is imported before a command needs it; `check` and `schema` never import Qt.
"""

import gc
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

from fixplan.cli.commands import COMMANDS, work_of
from fixplan.cli.terminal import UNREADABLE, complain
from fixplan.errors import FixplanError

INTERRUPTED, PIPE_CLOSED = 130, 141


def run() -> NoReturn:
    """Run the command line and end the process with its number.

    Without Qt nothing is left to tidy up once the output is flushed, so the interpreter does not
    take itself apart first.
    """
    code = main()
    if "PySide6.QtCore" not in sys.modules:
        for stream in (sys.stdout, sys.stderr):
            if stream is not None:
                stream.flush()
        os._exit(code)
    sys.exit(code)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line; returns the number to end with."""
    typed = list(sys.argv[1:] if arguments is None else arguments)
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # small systems: more threads only wait
    gc.set_threshold(100_000, 50, 50)  # start-up makes no rubbish worth looking for: 20 ms less
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    try:
        code = _run(typed)
        if sys.stdout is not None:
            sys.stdout.flush()
    except BrokenPipeError:
        _silence_output()
        return PIPE_CLOSED
    except KeyboardInterrupt:
        return INTERRUPTED
    except FixplanError as problem:
        complain(str(problem))
        return UNREADABLE
    except OSError as problem:
        _silence_output()
        complain(f"The answer cannot be written ({problem.strerror}); send it elsewhere")
        return UNREADABLE
    except Exception as fault:  # the last door: even our own mistakes are told in one line
        if os.environ.get("FIXPLAN_TRACEBACK"):
            raise
        complain(_fault(fault))
        return UNREADABLE
    return code


def _run(typed: list[str]) -> int:
    """A first word that is a command is a command; anything else is a case to open."""
    if typed and typed[0] in COMMANDS:
        return work_of(typed[0])(typed[1:])
    from fixplan.cli.opening import open_case

    return open_case(typed)


def _fault(fault: Exception) -> str:
    """A mistake in the program itself, with the place where it showed."""
    place = fault.__traceback__
    while place and place.tb_next:
        place = place.tb_next
    where = f"{Path(place.tb_frame.f_code.co_filename).name}:{place.tb_lineno}" if place else ""
    return (
        f"fixplan has a fault of its own ({type(fault).__name__}: {fault}; {where}); "
        "keep the file as it is and report this line"
    )


def _silence_output() -> None:
    """Nobody reads on: let Python's own flush at the end go nowhere, without a word."""
    if sys.stdout is not None:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
