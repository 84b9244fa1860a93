"""What is found about a pin at a place, summed up: how bad it is, and whether thickness is why.

What is clear is not decided here: a judge, passed in, gives the findings of a pin.
"""

from collections.abc import Callable, Sequence
from typing import NamedTuple, Protocol

from fixplan.case.records import Case, Pin
from fixplan.frame.patterns import layout

Badness = tuple[int, int, float]


class Judged(Protocol):
    """What is used of a finding."""

    @property
    def severity(self) -> str:
        """One of stop, caution, note, not assessed."""
        ...

    @property
    def measured(self) -> float | None:
        """What was measured, in the rule's unit."""
        ...

    @property
    def limit(self) -> float | None:
        """What it was held against, in the same unit."""
        ...

    @property
    def message(self) -> str:
        """The finding in words."""
        ...

    @property
    def evidence(self) -> tuple[str, ...]:
        """Evidence ids behind it."""
        ...


Judge = Callable[[Case, Pin], Sequence[Judged]]


class Verdict(NamedTuple):
    """How bad a place is: stops, cautions, by how much limits are passed, the worst in words."""

    stops: int
    cautions: int
    excess: float
    worst: str

    @property
    def is_clear(self) -> bool:
        """Whether nothing was found that sliding or turning can mend."""
        return self.stops == 0 and self.cautions == 0

    @property
    def is_barred(self) -> bool:
        """Whether a stop was found, so that no starting frame lays a pin there."""
        return self.stops > 0


def verdict_of(findings: Sequence[Judged], *, is_open: bool = False) -> Verdict:
    """Counts the stops, and the cautions that sliding or turning can mend; the worst in words.

    Of some findings (`never_through` of the layout) a caution counts as a stop where the pin
    would run through what it should keep off: an open approach does not move it away. What the cut
    of an open approach (`is_open`) is made to show does not count.
    """
    fixed, never = set(layout().not_by_sliding), set(layout().never_through)
    shown = set(layout().opened_for) if is_open else set()
    stops = [x for x in findings if x.severity == "stop" or _runs_through(x, never)]
    cautions = [
        x
        for x in findings
        if x.severity == "caution"
        and x not in stops
        and not fixed.intersection(x.evidence)
        and not shown.intersection(x.evidence[:1])
    ]
    passed = [
        abs(x.measured - (x.limit or 0.0)) for x in stops + cautions if x.measured is not None
    ]
    worst = next((x.message for x in stops + cautions), "")
    return Verdict(len(stops), len(cautions), sum(passed), worst)


def is_thick(found: Sequence[Judged]) -> bool:
    """Whether a caution says that the pin is thick, which a thinner one may mend."""
    thick = set(layout().by_thinner)
    return any(x.severity in ("stop", "caution") and thick & set(x.evidence) for x in found)


def stops_otherwise(found: Sequence[Judged]) -> bool:
    """Whether there is a stop that does not speak of the pin's thickness."""
    thick = set(layout().by_thinner)
    return any(x.severity == "stop" and not thick & set(x.evidence) for x in found)


def counted(found: Sequence[Judged]) -> tuple[int, int]:
    """Stops and cautions."""
    said = [one.severity for one in found]
    return said.count("stop"), said.count("caution")


def _runs_through(found: Judged, never: set[str]) -> bool:
    """Whether a caution that cites one of these measured no gap at all."""
    hit = found.measured is not None and found.measured <= 0
    return found.severity == "caution" and hit and bool(never.intersection(found.evidence))
