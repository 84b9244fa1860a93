"""Pins against candidates for later fixation, while several stand side by side (D8)."""

from collections.abc import Iterator, Sequence

from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.checks.rules import by_id, rules
from fixplan.checks.run import check_only
from fixplan.checks.texts import listed

NOTHING = "nothing found"
CELL = "cell"
"""The wording of a rule for a cell of the table; rules without one are not about candidates."""


def candidate_rows(case: Case, findings: Sequence[Finding]) -> tuple[tuple[str, ...], ...]:
    """A row for each pin: its number, then what was found against each candidate.

    Empty with fewer than two candidates: the findings alone then say it.
    """
    if len(case.candidates) < 2:
        return ()
    return tuple(
        (str(pin.number), *(cell_words(findings, pin.id, one.id) for one in case.candidates))
        for pin in case.pins
    )


def candidate_findings(case: Case) -> tuple[Finding, ...]:
    """What the rules about candidates alone find; quick."""
    asked = frozenset(rule.id for rule in rules() if CELL in rule.texts)
    return check_only(case, asked)


def cell_words(findings: Sequence[Finding], pin_id: str, candidate_id: str) -> str:
    """What one pin is in the way of, in words."""
    found = dict.fromkeys(_told(findings, pin_id, candidate_id))
    return listed(list(found)) or NOTHING


def _told(findings: Sequence[Finding], pin_id: str, candidate_id: str) -> Iterator[str]:
    known = by_id(rules())
    for finding in findings:
        rule = known.get(finding.rule)
        if rule and CELL in rule.texts and {pin_id, candidate_id} <= set(finding.subjects):
            yield rule.texts[CELL]
