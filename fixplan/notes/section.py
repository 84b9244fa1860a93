"""What a section of the plan in words is, and what the sections are made from."""

from datetime import datetime
from typing import NamedTuple

import msgspec

from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.notes.identity import NOBODY, Identity


class Column(NamedTuple):
    """A column of a table: its head, and how a cell of it is told in a sentence."""

    head: str
    told: str = "{}"


class Section(msgspec.Struct, frozen=True, kw_only=True):
    """A heading with lines, or with a table of these columns. `is_counted`: steps."""

    heading: str
    lines: tuple[str, ...] = ()
    columns: tuple[Column, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    is_counted: bool = False


class Told(msgspec.Struct, frozen=True, kw_only=True, eq=False):
    """What the sections are made from; `dated`: the date as it is to be written, `at` the time."""

    case: Case
    findings: tuple[Finding, ...]
    identity: Identity = NOBODY
    dated: str = ""
    at: datetime | None = None
