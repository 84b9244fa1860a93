"""Findings kept on purpose, with a reason (D18).

An acceptance belongs to one rule and its subjects. It holds while the severity is no worse and the
measured value no worse by more than the rule's slack; else the finding is open again and says why.
An acceptance whose finding is gone sleeps in the case; it goes with its subject.
"""

from msgspec.structs import replace

from fixplan.case.records import Acceptance, Case
from fixplan.checks.finding import SEVERITIES, Finding
from fixplan.checks.rules import rule_by_id, rule_set_version
from fixplan.checks.texts import number_pair

Key = tuple[str, tuple[str, ...]]


def with_acceptances(findings: tuple[Finding, ...], case: Case) -> tuple[Finding, ...]:
    """The findings with the reasons of those accepted, and why others are open again."""
    if not case.acceptances:
        return findings
    kept = {(one.rule, one.subjects): one for one in case.acceptances}
    return tuple(_judged(finding, kept.get(_key(finding))) for finding in findings)


def acceptance_of(finding: Finding, reason: str) -> Acceptance:
    """The acceptance that keeps this finding for a reason."""
    return Acceptance(
        rule=finding.rule,
        subjects=finding.subjects,
        reason=reason,
        severity=finding.severity,
        measured=finding.measured,
        limit=finding.limit,
        rule_set=rule_set_version(),
    )


def _key(finding: Finding) -> Key:
    return finding.rule, finding.subjects


def _judged(finding: Finding, kept: Acceptance | None) -> Finding:
    if kept is None or finding.severity not in ("stop", "caution"):
        return finding
    worse = _worse(finding, kept)
    if worse:
        return replace(finding, reopened=worse)
    return replace(finding, accepted=kept.reason)


def _worse(finding: Finding, kept: Acceptance) -> str:
    """Why an acceptance no longer holds: "accepted at 12, now 8"; "" while it holds."""
    worse = SEVERITIES.index(finding.severity) - SEVERITIES.index(kept.severity)
    if worse < 0:
        return f"accepted as {kept.severity}, now {finding.severity}"
    if worse > 0 or finding.measured is None or kept.measured is None:
        return ""
    now_past, then_past = (_is_past(one.measured, one.limit) for one in (finding, kept))
    if now_past != then_past:
        return "accepted outside, now inside" if now_past else ""
    rule = rule_by_id(finding.rule)
    slack = rule.slack if rule else 0.0
    if _by_how_much(finding, kept.measured) <= slack:
        return ""
    now, then = number_pair(finding.measured, kept.measured)
    return f"accepted at {then}, now {now}{' ' + finding.unit if finding.unit else ''}"


def _is_past(measured: float | None, limit: float | None) -> bool:
    """Whether a value lies past an upper limit, as a length inside does; else short of a lower."""
    return limit is None or (measured or 0.0) >= limit


def _by_how_much(finding: Finding, then: float) -> float:
    """How much worse the measured value is than when accepted, in its unit; less than 0: better.

    A value beyond an upper limit gets worse as it grows, one short of a lower limit as it falls.
    """
    now = finding.measured if finding.measured is not None else then
    return now - then if _is_past(now, finding.limit) else then - now
