"""`fixplan kit CASE... [--trays FILE] [--json]`: which trays to open. Imports no Qt."""

import json
from pathlib import Path

from fixplan.cli.terminal import CLEAN, complain, parser_for


def kit(typed: list[str]) -> int:
    """Print what to open for the cases of one night."""
    parser = parser_for("fixplan kit", description="Print which trays to open.")
    parser.add_argument("cases", nargs="*", metavar="CASE", help="the case files of one night")
    parser.add_argument("--trays", metavar="FILE", help="trays as .toml or .csv")
    parser.add_argument("--json", action="store_true", help="print JSON")
    parser.add_argument("--template", metavar="OUT", help="write trays to fill in, and end")
    options = parser.parse_args(typed)
    if options.template:
        return _template(Path(options.template))
    if not options.cases:
        parser.error("give at least one case")
    from fixplan.kit.night import night_of

    told = night_of(options.cases, Path(options.trays) if options.trays else None)
    if options.json:
        print(json.dumps(told.as_json(), indent=2, ensure_ascii=False))
    else:
        for line in told.lines():
            print(line)
    for error in told.errors:
        complain(error)
    return told.code


def _template(out: Path) -> int:
    """Write the invented trays as a pattern; a file that is there already is kept."""
    from fixplan.errors import TraysError
    from fixplan.kit.tray_files import write_template

    if out.exists():
        raise TraysError(f"{out}: is there already; give the template another name")
    write_template(out)
    print(out)
    return CLEAN
