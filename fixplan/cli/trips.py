"""`fixplan trips CASE [--json]`: trips, clocks and what is asked. Imports no Qt."""

import json
import os
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from fixplan.cli.terminal import CLEAN, UNREADABLE, complain, parser_for

if TYPE_CHECKING:
    from fixplan.case.records import Case

TROUBLE = 1


def trips(typed: list[str]) -> int:
    """Print what is due by when; 1: late or planned too late, 2: something cannot be right."""
    parser = parser_for("fixplan trips", description="Print the trips and what is due by when.")
    parser.add_argument("case", metavar="CASE", help="a case file")
    parser.add_argument("--json", action="store_true", help="print JSON")
    parser.add_argument(
        "--now",
        metavar="TIME",
        help="the time to judge at, such as '2026-03-29 14:30' in the case's zone; else now",
    )
    parser.add_argument("--ward", metavar="OUT", help="write the ward page, OUT ends in .pdf")
    options = parser.parse_args(typed)

    from fixplan.case.file import read_case
    from fixplan.checks.run import check
    from fixplan.trips.answer import trips_for

    case = read_case(Path(options.case))
    now = _time_of(options.now, case) if options.now else datetime.now(UTC)
    if options.ward:
        return _ward(case, now, Path(options.ward))
    answer = trips_for(case, now, check(case))
    if options.json:
        told: dict[str, object] = {"case": options.case, "now": f"{now:%Y-%m-%dT%H:%MZ}"}
        print(json.dumps({**told, **answer.as_json()}, indent=2, ensure_ascii=False))
    else:
        print(options.case)
        for line in answer.lines():
            print(f"  {line}")
    for problem in answer.problems:
        complain(problem)
    if answer.problems:
        return UNREADABLE
    return TROUBLE if answer.is_troubled else CLEAN


def _ward(case: "Case", now: datetime, out: Path) -> int:
    """Write the ward page; prints the file's name. Qt is imported here, drawing off screen."""
    from fixplan.desk.display import drawing_problem
    from fixplan.errors import FixplanError

    if out.suffix.lower() != ".pdf":
        raise FixplanError(f"{out}: the ward page ends in .pdf; choose that ending")
    problem = drawing_problem()
    if problem is not None:
        raise FixplanError(problem)
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    from fixplan.sheet.paint import application_without_window
    from fixplan.sheet.ward_page import ward_pages
    from fixplan.sheet.writing import write_sheet
    from fixplan.trips.zones import printed_in

    application = application_without_window()
    pages = ward_pages(case, now, printed_in(case, now))
    for path in write_sheet(pages, out, title=f"{out.stem}"):
        print(path)
    del application
    return CLEAN


def _time_of(text: str, case: "Case") -> datetime:
    """A typed time, on the clocks of the case. Raises TripsError."""
    from fixplan.trips.moments import moment_typed, utc_of
    from fixplan.trips.zones import zone_of_case

    return utc_of(moment_typed(text, zone_of_case(case)))
