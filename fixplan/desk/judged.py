"""What the checks find in the case that is shown, remembered for as long as it is."""

from functools import cache, lru_cache

from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.checks.register import waits_for_rest
from fixplan.checks.rules import rules
from fixplan.checks.run import check


@cache
def resting_rules() -> frozenset[str]:
    """Ids of the rules that may wait until nothing moves. Raises LibraryError."""
    return frozenset(rule.id for rule in rules() if waits_for_rest(rule.kind))


@lru_cache(maxsize=4)
def findings_in(case: Case) -> tuple[Finding, ...]:
    """All that is found in a case."""
    return check(case)


@lru_cache(maxsize=1)
def findings_in_motion(shown: Case, at_rest: Case) -> tuple[Finding, ...]:
    """All that is found while a gesture runs; what waits for rest as in the case before it."""
    return check(shown, at_rest)
