"""Steps from each version of the case file to the next, on plain dicts."""

from collections.abc import Callable, Mapping

Document = dict[str, object]
Step = Callable[[Document], Document]

FORMAT_NAME = "fixplan case"
FORMAT_VERSION = 1

STEPS: Mapping[int, Step] = {}
"""From version n to n + 1, by n. A step gets the whole document and returns a new one."""


def migrated(
    document: Document, *, steps: Mapping[int, Step] = STEPS, newest: int = FORMAT_VERSION
) -> Document:
    """The document at the newest version, one step at a time; it must state its version."""
    version = document["version"]
    while isinstance(version, int) and version < newest:
        document = {**steps[version](document), "version": version + 1}
        version += 1
    return document
