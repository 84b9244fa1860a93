"""`fixplan sheet CASE -o OUT`: writes the sheet. Qt is imported here, drawing off screen."""

import os
from pathlib import Path
from typing import TYPE_CHECKING

from fixplan.cli.check import answered
from fixplan.cli.terminal import CLEAN, parser_for
from fixplan.errors import FixplanError

if TYPE_CHECKING:
    from fixplan.checks.run import Opened
    from fixplan.sheet.blocks import SheetBlocks
    from fixplan.sheet.paper import Paper


DRAWN, WORDS = (".pdf", ".svg", ".png"), {".txt": "text", ".md": "markdown"}


def sheet(typed: list[str]) -> int:
    """Write the sheet of one case; prints the names of the files."""
    parser = parser_for("fixplan sheet", description="Write the sheet.")
    parser.add_argument("case", metavar="CASE", help="a case file")
    parser.add_argument(
        "-o", "--out", required=True, metavar="OUT", help=".pdf, .svg, .png; .txt or .md: in words"
    )
    parser.add_argument("--paper", choices=("A4", "A3"), default="A4", help="A4 unless given")
    parser.add_argument("--dpi", type=_dots, default=200, help="of a PNG; 200 unless given")
    parser.add_argument(
        "--blocks", metavar="NAMES", help="blocks to show, with commas between; all unless given"
    )
    options = parser.parse_args(typed)
    out = Path(options.out)
    if out.suffix.lower() not in (*DRAWN, *WORDS):
        raise FixplanError(
            f"{out}: a sheet ends in .pdf, .svg or .png, in words .txt or .md; choose one of these"
        )
    from fixplan.sheet.blocks import ALL, blocks_named

    blocks = ALL if options.blocks is None else blocks_named(options.blocks.split(","))
    answer = answered(options.case)
    if answer.opened is None or answer.error:
        raise FixplanError(answer.error)
    if out.suffix.lower() in WORDS:
        print(written_words(answer.opened, out))
        return CLEAN
    for path in written_sheet(answer.opened, out, options.paper, options.dpi, blocks):
        print(path)
    return CLEAN


def written_sheet(
    opened: "Opened", out: Path, paper: "Paper", dpi: int, blocks: "SheetBlocks | None" = None
) -> tuple[Path, ...]:
    """Compose and write the sheet, with all blocks unless some are given; returns the files.

    Qt is imported here, drawing off screen.
    """
    from fixplan.desk.display import drawing_problem

    problem = drawing_problem()
    if problem is not None:
        raise FixplanError(problem)
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    from datetime import datetime

    from fixplan.desk.film.printed import with_pictures
    from fixplan.sheet.blocks import ALL
    from fixplan.sheet.pages import compose
    from fixplan.sheet.paint import application_without_window
    from fixplan.sheet.writing import write_sheet

    application = application_without_window()
    now = datetime.now().astimezone()
    case, findings = opened.case, opened.findings
    dated = now.strftime("%Y-%m-%d %H:%M %Z")
    pages = compose(case, findings, paper, printed_at=dated, blocks=blocks or ALL, now=now)
    pages = with_pictures(pages, case, opened.path)
    written = write_sheet(pages, out, title=opened.path.stem, dpi=dpi)
    del application
    return written


def written_words(opened: "Opened", out: Path) -> Path:
    """Write the plan in words for the case notes. Imports no Qt."""
    from datetime import datetime

    from fixplan.notes.export import Order, export

    now = datetime.now().astimezone()
    order = Order(case=opened.case, findings=opened.findings, at=now)
    return export(order, WORDS[out.suffix.lower()], out)[0]


def _dots(text: str) -> int:
    try:
        dots = int(text)
    except ValueError:
        dots = 0
    if not 20 <= dots <= 1200:
        from argparse import ArgumentTypeError

        raise ArgumentTypeError("give a whole number from 20 to 1200")
    return dots
