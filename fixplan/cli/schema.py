"""`fixplan schema [KIND]`: JSON Schema of case, exercise, answer or sitting. Imports no Qt."""

import json

from fixplan.cli.terminal import CLEAN, parser_for

KINDS = ("case", "exercise", "answer", "sitting")


def schema(typed: list[str]) -> int:
    """Print the schema of the kind of file that is asked for; without one, of the case."""
    parser = parser_for("fixplan schema", description="JSON Schema of a kind of file.")
    parser.add_argument("kind", nargs="?", choices=KINDS, default=KINDS[0], help="which file")
    kind = parser.parse_args(typed).kind
    if kind == KINDS[0]:
        from fixplan.case.file import schema as schema_of_case

        told: object = schema_of_case()
    else:
        from fixplan.teach.files import schemas

        told = schemas()[f"fixplan {kind}"]
    print(json.dumps(told, indent=2))
    return CLEAN
