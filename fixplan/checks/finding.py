"""One rule's answer about one subject, and the register of rule kinds."""

import msgspec

from fixplan.case.scalars import Severity

SEVERITIES: tuple[Severity, ...] = ("stop", "caution", "note", "not assessed")


class Finding(msgspec.Struct, frozen=True, kw_only=True):
    """What a rule found.

    `subjects` are ids in the case (the first is the one to select), `subject` says them in words.
    `measured` and `limit` are in `unit`; `evidence` and `sources` are ids in resources/.
    `accepted` is the surgeon's reason, `reopened` says why an earlier acceptance no longer holds.
    """

    rule: str
    severity: Severity
    subjects: tuple[str, ...]
    subject: str
    message: str
    measured: float | None = None
    limit: float | None = None
    unit: str = ""
    evidence: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    advice: str = ""
    accepted: str | None = None
    reopened: str | None = None

    @property
    def is_open(self) -> bool:
        """A stop or caution that nobody has accepted."""
        return self.severity in ("stop", "caution") and self.accepted is None
