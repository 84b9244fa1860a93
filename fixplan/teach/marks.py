"""A mark and its parts, as records."""

from typing import Literal

import msgspec

from fixplan.case.scalars import Severity

PartKind = Literal["rule", "need", "region", "question"]
KEPT = 0.995
"""A part with this credit or more counts as kept."""


class Part(msgspec.Struct, frozen=True, kw_only=True):
    """One part of a mark: a rule, something needed, an asked region or a question.

    `credit` 0 to 1; `reason` says in words why; `measured` and `limit` are in `unit`, those of the
    worst finding. `sources` are ids of evidence, then of publications. `subjects` are ids in the
    case that it is about. `severity` is that of the worst finding of a rule.
    """

    id: str
    kind: PartKind
    words: str
    weight: float
    credit: float
    reason: str
    measured: float | None = None
    limit: float | None = None
    unit: str = ""
    sources: tuple[str, ...] = ()
    subjects: tuple[str, ...] = ()
    severity: Severity | None = None

    @property
    def points(self) -> float:
        """Credit times weight."""
        return self.credit * self.weight

    @property
    def is_kept(self) -> bool:
        """Whether it has full credit."""
        return self.credit >= KEPT

    def as_json(self) -> dict[str, object]:
        """The part as plain values."""
        told: dict[str, object] = msgspec.to_builtins(self)
        return {**told, "credit": round(self.credit, 4), "points": round(self.points, 4)}


class Mark(msgspec.Struct, frozen=True, kw_only=True):
    """The mark of one try, in percent of all points; `passes` against the exercise's own limit.

    `complete`: share of the needed pins that are there; rules about pins count no more than that.
    `remarks`: what else is to be told, such as that the time was passed.
    """

    percent: float
    passes: bool
    parts: tuple[Part, ...]
    complete: float
    minutes: float | None = None
    remarks: tuple[str, ...] = ()

    def as_json(self) -> dict[str, object]:
        """The mark as plain values."""
        return {
            "percent": self.percent,
            "passes": self.passes,
            "complete": round(self.complete, 4),
            "minutes": self.minutes,
            "remarks": list(self.remarks),
            "parts": [part.as_json() for part in self.parts],
        }


def percent_of(parts: tuple[Part, ...]) -> float:
    """Points over weights in percent, to a tenth. The weights must not all be 0."""
    weights = sum(part.weight for part in parts)
    return round(100 * sum(part.points for part in parts) / weights, 1)
