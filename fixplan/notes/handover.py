"""What another unit needs to know, on a page or a telephone: changes first, then the plan."""

from collections.abc import Iterator, Sequence

import msgspec

from fixplan.case.file import snapshot_id
from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.notes.difference import differences, finding_changes
from fixplan.notes.one_page import A4, PHONE, Size, Wanted, pages_of
from fixplan.notes.section import Column, Section, Told
from fixplan.notes.sections import sections_of
from fixplan.sheet.paper import Page

HEADING = "Temporary external frame: handover"
UNIT = (
    "Diagnosis",
    "Procedure planned",
    "As built",
    "Pins",
    "Checks",
    "Accepted, with reasons",
    "Afterwards",
    "Trips and what is due",
    "Discussed",
    "Notes",
)
PHONE_ORDER = ("As built", "Pins", "Checks", "Afterwards", "Trips and what is due", "Discussed")
SHORT = (0, 1, 4)
"""Columns of the pin table that the page keeps: number, bone and level, thickness."""
BLANKS = (
    "Handed over by: ______________________  at: ______________",
    "Taken over by: _______________________  signature: ________________",
    "Contact of the planning unit: _________________________________",
)
PHONE_PAGES = 1


class Earlier(msgspec.Struct, frozen=True, kw_only=True, eq=False):
    """The version that the plan is compared with, and what the checks find in it."""

    case: Case
    findings: tuple[Finding, ...]


def change_lines(told: Told, earlier: Earlier) -> tuple[str, ...]:
    """What is otherwise than in the earlier version, drawing first, then checks."""
    moved = [one.words for one in differences(earlier.case, told.case)]
    found = finding_changes(earlier.findings, told.findings)
    return (*moved, *found) or ("Nothing was changed.",)


def unit_pages(told: Told, earlier: Earlier | None) -> tuple[Page, ...]:
    """The page for the receiving unit."""
    blanks = Section(heading="Handover", lines=BLANKS)
    sections = (*_changed(told, earlier), *_chosen(told, UNIT), blanks)
    return _pages(told, sections, A4, earlier)


def phone_pages(told: Told, earlier: Earlier | None) -> tuple[Page, ...]:
    """One tall picture; what has no room there is said to be in the case notes."""
    sections = (*_changed(told, earlier), *_chosen(told, PHONE_ORDER))
    return _pages(told, sections, PHONE, earlier)[:PHONE_PAGES]


def _pages(
    told: Told, sections: Sequence[Section], size: Size, earlier: Earlier | None
) -> tuple[Page, ...]:
    before = None if earlier is None else earlier.case
    wanted = Wanted(heading=HEADING, told=told, sections=tuple(sections), before=before)
    return pages_of(wanted, size, most=PHONE_PAGES if size is PHONE else 9)


def _changed(told: Told, earlier: Earlier | None) -> Iterator[Section]:
    if earlier is not None:
        heading = f"Changed since version {snapshot_id(earlier.case)}"
        yield Section(heading=heading, lines=change_lines(told, earlier))


def _chosen(told: Told, headings: Sequence[str]) -> Iterator[Section]:
    made = {section.heading: section for section in sections_of(told)}
    for heading in headings:
        if heading in made:
            yield _short(made[heading])


def _short(section: Section) -> Section:
    if section.heading != "Pins":
        return section
    columns: tuple[Column, ...] = tuple(section.columns[n] for n in SHORT)
    rows = tuple(tuple(row[n] for n in SHORT) for row in section.rows)
    return Section(heading=section.heading, columns=columns, rows=rows)
