"""`fixplan [CASE]`: the desk; with no display findings on the terminal and the sheet in a file."""

from pathlib import Path

from fixplan import __version__
from fixplan.cli.check import answered, print_findings
from fixplan.cli.commands import description
from fixplan.cli.terminal import UNREADABLE, complain, parser_for
from fixplan.errors import FixplanError


def open_case(typed: list[str]) -> int:
    """Open the desk, with a case when one is typed."""
    from argparse import RawDescriptionHelpFormatter

    parser = parser_for(
        "fixplan",
        usage="fixplan [CASE] | fixplan COMMAND ...",
        description=description(),
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
    complain(problem)
    answer = answered(case)
    print_findings(answer)
    if answer.opened is None or answer.error:
        complain(answer.error)
        return UNREADABLE
    from fixplan.cli.sheet import written_sheet

    out = _free_name(Path(f"{Path(case).stem}-sheet.pdf"))
    for path in written_sheet(answer.opened, out, "A4", 200):
        print(f"The sheet was written to {path}.")
    return answer.code


def _free_name(path: Path) -> Path:
    """The path itself, or with -2, -3 ... when such a file is there already."""
    number, free = 2, path
    while free.exists() or free.is_symlink():
        free = path.with_stem(f"{path.stem}-{number}")
        number += 1
    return free
