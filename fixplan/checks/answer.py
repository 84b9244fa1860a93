"""What the command line says about one case: its findings, or why it could not be read."""

from collections.abc import Iterator
from pathlib import Path

import msgspec

from fixplan.case.limbs import limb_of_case
from fixplan.case.unknown import unknown_ids
from fixplan.checks.finding import SEVERITIES, Finding
from fixplan.checks.grouping import grouped
from fixplan.checks.run import Opened, open_case
from fixplan.errors import FixplanError

CLEAN, OPEN_STOP, UNREADABLE = 0, 1, 2


class Answer(msgspec.Struct, frozen=True, kw_only=True):
    """One case's answer; `error` is one sentence, empty when the case could be judged whole."""

    case: str
    opened: Opened | None = None
    error: str = ""

    @property
    def code(self) -> int:
        """What the program ends with: 2 beats 1 beats 0."""
        if self.error or self.opened is None:
            return UNREADABLE
        stops = any(one.severity == "stop" and one.is_open for one in self.opened.findings)
        return OPEN_STOP if stops else CLEAN

    def as_json(self) -> dict[str, object]:
        """The answer as plain values, as `check --json` prints it."""
        told: dict[str, object] = {"case": self.case}
        if self.error:
            told["error"] = self.error
        if self.opened is not None:
            told["findings"] = [_finding_json(one) for one in self.opened.findings]
        return told

    def lines(self) -> Iterator[str]:
        """The answer as lines to print; an unreadable case has none."""
        if self.opened is None:
            return
        yield f"{self.case}: {_counted(self.opened.findings)}"
        for one in grouped(self.opened.findings):
            yield f"  {_line(one)}"


def answer_for(case: str) -> Answer:
    """Read and check one case file; a file that cannot be read becomes the answer's error.

    A bone or segment that the limb does not have makes the answer an error too, told beside the
    findings for all the rest.
    """
    try:
        opened = open_case(Path(case))
        unknown = unknown_ids(opened.case, limb_of_case(opened.case))
    except FixplanError as problem:
        return Answer(case=case, error=str(problem))
    if unknown:
        words = f"{case}: {'; '.join(unknown)}; correct the name in the file"
        return Answer(case=case, opened=opened, error=words)
    return Answer(case=case, opened=opened)


def _finding_json(finding: Finding) -> dict[str, object]:
    return {
        "rule": finding.rule,
        "severity": finding.severity,
        "subject": finding.subject,
        "message": finding.message,
        "measured": finding.measured,
        "limit": finding.limit,
        "unit": finding.unit,
        "sources": [*finding.evidence, *finding.sources],
        "accepted": finding.accepted,
    }


def _counted(findings: tuple[Finding, ...]) -> str:
    """How many of each severity, the accepted ones apart."""
    parts = [
        f"{count} {severity}"
        for severity in SEVERITIES
        if (count := sum(one.severity == severity and one.accepted is None for one in findings))
    ]
    accepted = sum(one.accepted is not None for one in findings)
    if accepted:
        parts.append(f"{accepted} accepted")
    return ", ".join(parts) or "nothing found"


def _line(finding: Finding) -> str:
    accepted = f" (accepted: {finding.accepted})" if finding.accepted is not None else ""
    return f"{finding.severity}: {finding.message}{accepted} [{finding.rule}]"
