"""Prompts: what a plan for the days after should make somebody ask, with its evidence.

Prompts are no findings: they concern no pin, and nothing is accepted or marked by them.
"""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from fixplan.case.scalars import Severity
from fixplan.checks.rules import cited

WORDS: Mapping[Severity, str] = {
    "stop": "Stop",
    "caution": "Caution",
    "note": "Note",
    "not assessed": "Not assessed",
}
_ORDER: tuple[Severity, ...] = ("stop", "caution", "not assessed", "note")


class Prompt(NamedTuple):
    """One prompt; `about` is the id of the record that it concerns."""

    id: str
    severity: Severity
    about: str
    text: str
    evidence: tuple[str, ...]

    @property
    def words(self) -> str:
        """The prompt in one line, with its severity in words and its evidence."""
        return f"{WORDS[self.severity]}: {self.text} ({cited(self.evidence)})"


def by_weight(prompts: Iterable[Prompt]) -> tuple[Prompt, ...]:
    """Stops first, then cautions, what is not assessed, notes; within each as they came."""
    return tuple(sorted(prompts, key=lambda one: _ORDER.index(one.severity)))
