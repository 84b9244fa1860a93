"""`fixplan check CASE... [--json]`: findings, and the number they end with. Imports no Qt."""

import json
from typing import TYPE_CHECKING

from fixplan.cli.terminal import complain, parser_for

if TYPE_CHECKING:
    from fixplan.checks.answer import Answer


def _asked(typed: list[str]) -> tuple[list[str], bool]:
    """The cases to check, and whether as JSON. Plain names go without the parser: 15 ms less."""
    options = [word for word in typed if word.startswith("-")]
    if len(options) < len(typed) and set(options) <= {"--json"}:
        return [word for word in typed if word not in options], bool(options)
    parser = parser_for("fixplan check", description="Print the findings.")
    parser.add_argument("cases", nargs="+", metavar="CASE", help="a case file")
    parser.add_argument("--json", action="store_true", help="print JSON")
    parsed = parser.parse_args(typed)
    return parsed.cases, parsed.json


def check(typed: list[str]) -> int:
    """Print the findings of each case; the highest of their numbers."""
    cases, is_json = _asked(typed)
    answers = [answered(path) for path in cases]
    if is_json:
        told = [answer.as_json() for answer in answers]
        print(json.dumps(told if len(told) > 1 else told[0], indent=2, ensure_ascii=False))
    else:
        for answer in answers:
            print_findings(answer)
    for answer in answers:
        if answer.error:
            complain(answer.error)
    return max(answer.code for answer in answers)


def answered(case: str) -> "Answer":
    """The answer for one case file; a file that cannot be read gives its sentence."""
    from fixplan.checks.answer import answer_for

    return answer_for(case)


def print_findings(answer: "Answer") -> None:
    """The lines of an answer on standard output."""
    for line in answer.lines():
        print(line)
    for line in trip_lines_of(answer):
        print(f"  of the trips: {line}")


def trip_lines_of(answer: "Answer") -> tuple[str, ...]:
    """Stops and cautions of the trips of a case; read only where the case has any record of them.

    Raises LibraryError.
    """
    if answer.opened is None:
        return ()
    from fixplan.case.trip_records import Course

    case = answer.opened.case
    records = (case.trips, case.dead_spaces, case.debridements, case.cover)
    if not any(records) and case.course == Course():
        return ()
    from fixplan.trips.open_prompts import trip_cautions

    return trip_cautions(case, answer.opened.findings)
