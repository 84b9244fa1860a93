"""What stands in place of the findings while an exercise keeps them back."""

from collections.abc import Sequence

from fixplan.checks.finding import Finding

HIDDEN = Finding(
    rule="rule.findings-hidden",
    severity="not assessed",
    subjects=(),
    subject="Exercise",
    message="The exercise shows no findings before it is handed in",
)


def are_hidden(findings: Sequence[Finding]) -> bool:
    """Whether an exercise keeps the findings back."""
    return any(one.rule == HIDDEN.rule for one in findings)
