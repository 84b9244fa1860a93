"""Where along a bone pins can stand: slid in steps, then turned, until what is judged is clear.

What is clear is not decided here: a judge, passed in, gives the findings of a pin.
"""

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple, Protocol

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Pin
from fixplan.frame.defaults import Kind, default_diameter
from fixplan.frame.patterns import layout


class Judged(Protocol):
    """What is used of a finding."""

    @property
    def severity(self) -> str:
        """One of stop, caution, note, not assessed."""
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
    """How bad a place is, and the worst that was said of it; (0, 0) is clear."""

    stops: int
    cautions: int
    worst: str

    @property
    def is_clear(self) -> bool:
        """Whether nothing was found that sliding or turning can mend."""
        return self.stops == 0 and self.cautions == 0


class Place(NamedTuple):
    """A place for a pin: level (mm), side of entry (deg), and what was found there."""

    level_mm: float
    bearing_deg: float
    verdict: Verdict


class Stretch:
    """A stretch of one bone with its judged places remembered."""

    def __init__(self, case: Case, bone: str, kind: Kind, judge: Judge) -> None:
        self.case, self.bone, self.kind, self.judge = case, bone, kind, judge
        self._known: dict[tuple[float, float], Place] = {}

    def pin(self, level_mm: float, bearing_deg: float) -> Pin:
        """The pin that would stand there."""
        limb = limb_of_case(self.case)
        return Pin(
            id="pin-new",
            number=self.case.last_number + 1,
            bone=self.bone,
            level_mm=level_mm,
            bearing_deg=bearing_deg,
            diameter_mm=default_diameter(limb, self.bone, level_mm, bearing_deg, self.kind),
            kind=self.kind,
        )

    def place(self, level_mm: float, bearing_deg: float) -> Place:
        """The place with its verdict."""
        key = (level_mm, bearing_deg)
        if key not in self._known:
            found = self.judge(self.case, self.pin(level_mm, bearing_deg))
            self._known[key] = Place(level_mm, bearing_deg, verdict_of(found))
        return self._known[key]

    def first_clear(self, levels_mm: Iterable[float], bearing_deg: float) -> Place | None:
        """The first clear place among levels, None when there is none."""
        places = (self.place(level, bearing_deg) for level in levels_mm)
        return next((place for place in places if place.verdict.is_clear), None)


class Pair(NamedTuple):
    """Places of the near and far pin of a fragment; far None where there is room for one alone."""

    near: Place
    far: Place | None

    @property
    def badness(self) -> tuple[int, int]:
        """Stops and cautions of both places together."""
        verdicts = [place.verdict for place in self if place is not None]
        return sum(v.stops for v in verdicts), sum(v.cautions for v in verdicts)


def find_pair(
    stretch: Stretch, near_mm: float, far_limit_mm: float, bearings_deg: tuple[float, ...]
) -> Pair:
    """Two places between a near level and the far end of a stretch (mm), the near one as near as can be.

    Tries each bearing over all levels; only when none gives two clear places, the least bad ones.
    """
    levels = steps(near_mm, far_limit_mm)
    spread = _spread_mm(abs(far_limit_mm - near_mm))
    for bearing in bearings_deg:
        near = stretch.first_clear(levels, bearing)
        far = near and stretch.first_clear(far_levels(levels, near.level_mm, spread), bearing)
        if near and far:
            return Pair(near, far)
    pairs = [_least_bad_pair(stretch, levels, spread, bearing) for bearing in bearings_deg]
    return min(pairs, key=lambda pair: pair.badness)


def _least_bad_pair(
    stretch: Stretch, levels: tuple[float, ...], spread_mm: float, bearing_deg: float
) -> Pair:
    roomy = tuple(x for x in levels if far_levels(levels, x, spread_mm)) or levels
    near = _best(stretch, roomy, bearing_deg)
    beyond = far_levels(levels, near.level_mm, spread_mm)
    return Pair(near, _best(stretch, beyond, bearing_deg) if beyond else None)


def _best(stretch: Stretch, levels: tuple[float, ...], bearing_deg: float) -> Place:
    clear = stretch.first_clear(levels, bearing_deg)
    return clear or min(
        (stretch.place(level, bearing_deg) for level in levels), key=lambda x: x.verdict[:2]
    )


def steps(from_mm: float, to_mm: float) -> tuple[float, ...]:
    """Levels from one to the other in the layout's steps, either way; empty when turned round."""
    step = layout().step_mm
    count = int(abs(to_mm - from_mm) / step + 1e-9)
    sign = 1.0 if to_mm >= from_mm else -1.0
    return tuple(from_mm + sign * step * i for i in range(count + 1))


def far_levels(levels: tuple[float, ...], near_mm: float, spread_mm: float) -> tuple[float, ...]:
    """Levels beyond the near one by at least the room for two clamps, the wished spread first."""
    after = levels[levels.index(near_mm) :]
    roomy = [x for x in after if abs(x - near_mm) >= layout().apart_mm]
    return tuple(sorted(roomy, key=lambda x: abs(abs(x - near_mm) - spread_mm)))


def _spread_mm(usable_mm: float) -> float:
    wished = usable_mm * layout().spread_share
    return min(max(wished, layout().apart_mm), layout().spread_most_mm)


def verdict_of(findings: Sequence[Judged]) -> Verdict:
    """Counts the stops and cautions that sliding or turning can mend, and keeps the worst one's words."""
    fixed = set(layout().not_by_sliding)
    counted = [x for x in findings if not fixed.intersection(x.evidence)]
    stops = [x.message for x in counted if x.severity == "stop"]
    cautions = [x.message for x in counted if x.severity == "caution"]
    return Verdict(len(stops), len(cautions), next(iter(stops + cautions), ""))
