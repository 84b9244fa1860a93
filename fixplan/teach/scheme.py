"""How credit is given: the figures of resources/marking.toml, and the credit of one finding.

Marks are worked out from these alone, so the same answer always has the same mark.
"""

from functools import lru_cache

import msgspec

from fixplan.case.scalars import Severity
from fixplan.checks.finding import Finding
from fixplan.checks.rules import rule_by_id
from fixplan.limb.library import load_toml

FULL, NONE = 1.0, 0.0


class CreditScheme(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What a finding leaves of a credit; see the file."""

    whole_miss: float
    nearest: dict[Severity, float]
    unmeasured: dict[Severity, float]
    from_zero: dict[str, float]
    worst_share: float


class OverlapScheme(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Intersection over union with full credit, and with none."""

    full: float
    none: float


class ReportScheme(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """With fewer answers than `few` a class report gives no agreement and no correlation."""

    few: int


class MarkingScheme(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What resources/marking.toml holds."""

    schema: int
    source: str
    credit: CreditScheme
    overlap: OverlapScheme
    report: ReportScheme
    usual: dict[str, float]


def scheme() -> MarkingScheme:
    """How credit is given, house values included. Raises LibraryError."""
    return load_toml("marking.toml", MarkingScheme)


def credit_of(finding: Finding, given: CreditScheme) -> float:
    """What a finding leaves of its subject's credit, 0 to 1: the less, the further past the limit.

    `given.nearest` of its severity at the limit, evenly down to 0 where the value lies `whole_miss`
    of the limit beyond it. A note without a value costs nothing if the rule can also say worse.
    """
    if finding.measured is None or finding.limit is None:
        is_hint = finding.severity == "note" and says_worse_than_note(finding.rule)
        return FULL if is_hint else given.unmeasured[finding.severity]
    scale = given.whole_miss * abs(finding.limit)
    if not scale:
        scale = given.from_zero.get(finding.unit, given.from_zero[""])
    missed = abs(finding.measured - finding.limit) / scale
    return given.nearest[finding.severity] * max(FULL - missed, NONE)


@lru_cache(maxsize=512)
def says_worse_than_note(rule_id: str) -> bool:
    """Whether a rule can find a stop or a caution."""
    rule = rule_by_id(rule_id)
    if rule is None:
        return False
    said = {rule.severity, *rule.severities.values(), *rule.below, *rule.above}
    bounded = any(one.stop is not None or one.caution is not None for one in rule.sectors)
    return bounded or bool(said & {"stop", "caution"})


def together(shares: list[float], given: CreditScheme) -> float:
    """One credit of several subjects: partly that of the worst, partly their mean."""
    mean = sum(shares) / len(shares)
    return given.worst_share * min(shares) + (FULL - given.worst_share) * mean


def share_between(value: float, none: float, full: float) -> float:
    """0 at `none` or beyond, 1 at `full` or beyond, evenly between."""
    if full == none:
        return FULL if value == full else NONE
    return min(max((value - none) / (full - none), NONE), FULL)
