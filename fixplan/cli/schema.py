"""`fixplan schema`: the JSON Schema of the case file. Imports no Qt."""

import json

from fixplan.cli.terminal import CLEAN, parser_for


def schema(typed: list[str]) -> int:
    """Print the schema."""
    parser = parser_for("fixplan schema", description="JSON Schema of the case file.")
    parser.parse_args(typed)
    from fixplan.case.file import schema as schema_of_case

    print(json.dumps(schema_of_case(), indent=2))
    return CLEAN
