"""`fixplan hold CASE [--json]`: how firmly the frame holds."""

import json

from fixplan.cli.terminal import complain, parser_for


def hold(typed: list[str]) -> int:
    """Print the firmness of one case's frame."""
    parser = parser_for("fixplan hold", description="Print how firmly the frame holds.")
    parser.add_argument("case", metavar="CASE", help="a case file")
    parser.add_argument("--json", action="store_true", help="print JSON, in N, mm, N*m per degree")
    parser.add_argument(
        "--braced",
        action="store_true",
        help="count the ligaments of unbroken spanned joints, whatever the case says",
    )
    options = parser.parse_args(typed)
    from fixplan.checks.firmness import firmness_for

    told = firmness_for(options.case, "braced" if options.braced else None)
    if options.json:
        print(json.dumps(told.as_json(), indent=2, ensure_ascii=False))
    else:
        for line in told.lines():
            print(line)
    if told.error:
        complain(told.error)
    return told.code
