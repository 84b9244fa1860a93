"""The command line: what is typed, what is printed, and with which number the program ends.

Nothing heavy is imported before a command needs it; `check` and `schema` never import Qt.
"""

import gc
import json
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn, TypedDict, Unpack

from fixplan import __version__
from fixplan.errors import FixplanError

if TYPE_CHECKING:
    from argparse import ArgumentParser, HelpFormatter

    from fixplan.checks.answer import Answer
    from fixplan.checks.run import Opened
    from fixplan.sheet.paper import Paper

CLEAN, UNREADABLE = 0, 2
INTERRUPTED, PIPE_CLOSED = 130, 141

DESCRIPTION = """\
Plan a temporary external frame for a badly broken, open limb: draw, check, print one sheet.

  fixplan [CASE]                  open the desk; no display: print findings, write the sheet
  fixplan check CASE... [--json]  findings; ends with 0: no open stop, 1: an open stop,
                                  2: a case that cannot be read
  fixplan sheet CASE -o OUT       write the sheet; OUT ends in .pdf, .svg or .png
  fixplan hold CASE [--json]      how firmly the frame holds; ends with 1 when it is loose
  fixplan schema                  JSON Schema of the case file

A planning and teaching aid on a schematic limb, not a medical device."""


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
        _complain(str(problem))
        return UNREADABLE
    except OSError as problem:
        _silence_output()
        _complain(f"The answer cannot be written ({problem.strerror}); send it elsewhere")
        return UNREADABLE
    except Exception as fault:  # the last door: even our own mistakes are told in one line
        if os.environ.get("FIXPLAN_TRACEBACK"):
            raise
        _complain(_fault(fault))
        return UNREADABLE
    return code


def _run(typed: list[str]) -> int:
    """A first word that is a command is a command; anything else is a case to open."""
    command = COMMANDS.get(typed[0]) if typed else None
    return command(typed[1:]) if command else _open(typed)


class _Described(TypedDict, total=False):
    description: str
    usage: str
    formatter_class: "type[HelpFormatter]"


def _parser(prog: str, **described: Unpack[_Described]) -> "ArgumentParser":
    """A parser that tells a mistake in one line."""
    import argparse

    class Parser(argparse.ArgumentParser):
        def error(self, message: str) -> NoReturn:
            _complain(f"{self.prog}: {message}; see {self.prog} --help")
            raise SystemExit(UNREADABLE)

    return Parser(prog=prog, allow_abbrev=False, **described)


def _asked(typed: list[str]) -> tuple[list[str], bool]:
    """The cases to check, and whether as JSON. Plain names go without the parser: 15 ms less."""
    options = [word for word in typed if word.startswith("-")]
    if len(options) < len(typed) and set(options) <= {"--json"}:
        return [word for word in typed if word not in options], bool(options)
    parser = _parser("fixplan check", description="Print the findings.")
    parser.add_argument("cases", nargs="+", metavar="CASE", help="a case file")
    parser.add_argument("--json", action="store_true", help="print JSON")
    parsed = parser.parse_args(typed)
    return parsed.cases, parsed.json


def _check(typed: list[str]) -> int:
    cases, is_json = _asked(typed)
    answers = [_answer(path) for path in cases]
    if is_json:
        told = [answer.as_json() for answer in answers]
        print(json.dumps(told if len(told) > 1 else told[0], indent=2, ensure_ascii=False))
    else:
        for answer in answers:
            _print_findings(answer)
    for answer in answers:
        if answer.error:
            _complain(answer.error)
    return max(answer.code for answer in answers)


def _sheet(typed: list[str]) -> int:
    parser = _parser("fixplan sheet", description="Write the sheet.")
    parser.add_argument("case", metavar="CASE", help="a case file")
    parser.add_argument("-o", "--out", required=True, metavar="OUT", help=".pdf, .svg or .png")
    parser.add_argument("--paper", choices=("A4", "A3"), default="A4", help="A4 unless given")
    parser.add_argument("--dpi", type=_dots, default=200, help="of a PNG; 200 unless given")
    options = parser.parse_args(typed)
    out = Path(options.out)
    if out.suffix.lower() not in (".pdf", ".svg", ".png"):
        raise FixplanError(f"{out}: a sheet ends in .pdf, .svg or .png; choose one of these")
    answer = _answer(options.case)
    if answer.opened is None or answer.error:
        raise FixplanError(answer.error)
    for path in _written_sheet(answer.opened, out, options.paper, options.dpi):
        print(path)
    return CLEAN


def _hold(typed: list[str]) -> int:
    parser = _parser("fixplan hold", description="Print how firmly the frame holds.")
    parser.add_argument("case", metavar="CASE", help="a case file")
    parser.add_argument("--json", action="store_true", help="print JSON, in N, mm, N*m per degree")
    parser.add_argument(
        "--braced", action="store_true", help="count the ligaments of unbroken spanned joints"
    )
    options = parser.parse_args(typed)
    from fixplan.checks.firmness import firmness_for

    told = firmness_for(options.case, "braced" if options.braced else "free")
    if options.json:
        print(json.dumps(told.as_json(), indent=2, ensure_ascii=False))
    else:
        for line in told.lines():
            print(line)
    if told.error:
        _complain(told.error)
    return told.code


def _schema(typed: list[str]) -> int:
    parser = _parser("fixplan schema", description="JSON Schema of the case file.")
    parser.parse_args(typed)
    from fixplan.case.file import schema

    print(json.dumps(schema(), indent=2))
    return CLEAN


COMMANDS: dict[str, Callable[[list[str]], int]] = {
    "check": _check,
    "sheet": _sheet,
    "hold": _hold,
    "schema": _schema,
}


def _open(typed: list[str]) -> int:
    from argparse import RawDescriptionHelpFormatter

    parser = _parser(
        "fixplan",
        usage="fixplan [CASE] | fixplan COMMAND ...",
        description=DESCRIPTION,
        formatter_class=RawDescriptionHelpFormatter,
    )
    parser.add_argument("case", nargs="?", metavar="CASE", help="a case file to open")
    parser.add_argument("--version", action="version", version=f"fixplan {__version__}")
    options = parser.parse_args(typed)
    from fixplan.desk.display import display_problem

    problem = display_problem()
    if problem is None:
        from fixplan.desk.running import open_desk

        return open_desk(Path(options.case) if options.case else None)
    if options.case is None:
        raise FixplanError(problem)
    return _without_display(options.case, problem)


def _without_display(case: str, problem: str) -> int:
    """Where no window can open: findings on the terminal, the sheet in a file."""
    _complain(problem)
    answer = _answer(case)
    _print_findings(answer)
    if answer.opened is None or answer.error:
        _complain(answer.error)
        return UNREADABLE
    out = _free_name(Path(f"{Path(case).stem}-sheet.pdf"))
    for path in _written_sheet(answer.opened, out, "A4", 200):
        print(f"The sheet was written to {path}.")
    return answer.code


def _answer(case: str) -> "Answer":
    from fixplan.checks.answer import answer_for

    return answer_for(case)


def _print_findings(answer: "Answer") -> None:
    for line in answer.lines():
        print(line)


def _written_sheet(opened: "Opened", out: Path, paper: "Paper", dpi: int) -> tuple[Path, ...]:
    """Compose and write the sheet; returns the files. Qt is imported here, drawing off screen."""
    from fixplan.desk.display import drawing_problem

    problem = drawing_problem()
    if problem is not None:
        raise FixplanError(problem)
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    from datetime import datetime

    from fixplan.sheet import paint
    from fixplan.sheet.pages import compose

    application = paint.application_without_window()
    now = datetime.now().astimezone().strftime("%Y-%m-%d %H:%M")
    pages = compose(opened.case, opened.findings, paper, printed_at=now)
    written = paint.write_sheet(pages, out, title=opened.path.stem, dpi=dpi)
    del application
    return written


def _free_name(path: Path) -> Path:
    """The path itself, or with -2, -3 ... when such a file is there already."""
    number, free = 2, path
    while free.exists() or free.is_symlink():
        free = path.with_stem(f"{path.stem}-{number}")
        number += 1
    return free


def _dots(text: str) -> int:
    try:
        dots = int(text)
    except ValueError:
        dots = 0
    if not 20 <= dots <= 1200:
        from argparse import ArgumentTypeError

        raise ArgumentTypeError("give a whole number from 20 to 1200")
    return dots


def _complain(sentence: str) -> None:
    """One line on standard error."""
    if sys.stderr is not None:
        print(" ".join(sentence.split()), file=sys.stderr)


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
