"""Where along a bone pins can stand: slid in steps, then turned, until what is judged is clear.

What is clear is not decided here: see `frame/verdicts.py`.
"""

from collections.abc import Iterable, Sequence
from functools import cached_property
from typing import NamedTuple

from msgspec.structs import replace

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Pin
from fixplan.frame.defaults import Kind, diameters_of
from fixplan.frame.new_pins import pin_from
from fixplan.frame.patterns import Layout, Sides, layout
from fixplan.frame.verdicts import (
    Badness,
    Judge,
    Judged,
    Verdict,
    counted,
    is_thick,
    stops_otherwise,
    verdict_of,
)


class Place(NamedTuple):
    """A place for a pin: level (mm), side of entry (deg), and what was found there.

    `is_open`: judged, and to be put, with an open approach. `diameter_mm`: where it is not the
    bone's own choice there, because a thinner listed pin is free of a caution.
    """

    level_mm: float
    bearing_deg: float
    verdict: Verdict
    is_open: bool = False
    diameter_mm: float = 0.0


class Stretch:
    """A stretch of one bone with its judged places remembered.

    A place is judged with an open approach only where the bone's pins may be placed so and it is
    not clear without one; from a share of 0 on every pin is open by custom.
    """

    def __init__(
        self,
        case: Case,
        bone: str,
        kind: Kind,
        judge: Judge,
        laid: Layout | None = None,
        open_from_share: float | None = None,
    ) -> None:
        self.case, self.bone, self.kind, self.judge = case, bone, kind, judge
        self.laid = laid or layout()
        self._open_from_share = open_from_share
        self._known: dict[tuple[float, float], Place] = {}

    @cached_property
    def closed(self) -> "Stretch":
        """The same stretch without any open approach; itself where none or every pin is open."""
        if not self._open_from_share:
            return self
        return Stretch(self.case, self.bone, self.kind, self.judge, self.laid)

    def pin(self, level_mm: float, bearing_deg: float, *, is_open: bool = False) -> Pin:
        """The pin that would stand there, of the diameter that the bone takes (D16)."""
        made = pin_from(self.case, self.bone, level_mm, bearing_deg, self.kind)
        return replace(made, open_approach=True) if is_open else made

    def pin_at(self, place: Place) -> Pin:
        """The pin that was judged at a place."""
        made = self.pin(place.level_mm, place.bearing_deg, is_open=place.is_open)
        return replace(made, diameter_mm=place.diameter_mm) if place.diameter_mm else made

    def _may_be_open(self, level_mm: float) -> bool:
        if self._open_from_share is None:
            return False
        bone = limb_of_case(self.case).bones[self.bone]
        share = (level_mm - bone.from_mm) / (bone.to_mm - bone.from_mm)
        return share >= self._open_from_share

    def place(self, level_mm: float, bearing_deg: float) -> Place:
        """The place with its verdict."""
        key = (level_mm, bearing_deg)
        if key not in self._known:
            self._known[key] = self._judged(level_mm, bearing_deg)
        return self._known[key]

    def _judged(self, level_mm: float, bearing_deg: float) -> Place:
        is_open = self._may_be_open(level_mm)
        if is_open and self.closed is not self:
            closed = self.closed.place(level_mm, bearing_deg)
            if closed.verdict.is_clear:
                return closed
        made = self.pin(level_mm, bearing_deg, is_open=is_open)
        found = self.judge(self.case, made)
        thin = self._thinner(made, found)
        if thin is None:
            return Place(level_mm, bearing_deg, verdict_of(found, is_open=is_open), is_open)
        pin, found = thin
        return Place(
            level_mm, bearing_deg, verdict_of(found, is_open=is_open), is_open, pin.diameter_mm
        )

    def _thinner(self, pin: Pin, found: Sequence[Judged]) -> tuple[Pin, Sequence[Judged]] | None:
        """The thickest listed pin that is free of a caution about the pin's own thickness.

        None where there is no such caution, or none thinner is listed that mends it and brings no
        other caution.
        """
        if not is_thick(found) or stops_otherwise(found):
            return None
        known = diameters_of(self.bone)
        listed = () if known is None else known.listed_mm(self.kind)
        for diameter_mm in sorted(listed, reverse=True):
            if diameter_mm < pin.diameter_mm:
                thin = replace(pin, diameter_mm=diameter_mm)
                now = self.judge(self.case, thin)
                if not is_thick(now) and counted(now) < counted(found):
                    return thin, now
        return None

    def first_clear(self, levels_mm: Iterable[float], bearing_deg: float) -> Place | None:
        """The first clear place among levels, None when there is none."""
        places = (self.place(level, bearing_deg) for level in levels_mm)
        return next((place for place in places if place.verdict.is_clear), None)

    def best(self, levels_mm: Iterable[float], bearing_deg: float) -> Place:
        """The first clear place among levels, else the least bad one."""
        levels = tuple(levels_mm)
        clear = self.first_clear(levels, bearing_deg)
        places = (self.place(level, bearing_deg) for level in levels)
        return clear or min(places, key=lambda place: place.verdict[:3])


class Pair(NamedTuple):
    """Places of the near and far pin of a fragment; far None where there is room for one alone."""

    near: Place
    far: Place | None

    @property
    def usable(self) -> tuple[Place, ...]:
        """Its places without a stop, from proximal."""
        return tuple(sorted(p for p in self if p is not None and not p.verdict.is_barred))

    @property
    def badness(self) -> Badness:
        """Stops, cautions and excess of both places together; 0, 0, 0 when both are clear."""
        verdicts = [place.verdict for place in self if place is not None]
        return (
            sum(v.stops for v in verdicts),
            sum(v.cautions for v in verdicts),
            sum(v.excess for v in verdicts),
        )

    @property
    def is_clear(self) -> bool:
        """Whether both places are clear."""
        return all(place.verdict.is_clear for place in self if place is not None)


class Run(NamedTuple):
    """A stretch of bone for a pair of pins: from the level of the near pin to the far end (mm).

    `spread_mm` is the wished distance of the two pins, `apart_mm` the least (0: the layout's).
    `closer`: the same stretch with the least distances, where the usual ones may leave no room.
    `why_short`: the sentence that tells why it holds one pin alone.
    """

    bone: str
    where: str
    near_mm: float
    far_mm: float
    spread_mm: float
    apart_mm: float = 0.0
    closer: "Run | None" = None
    why_short: str = ""

    @property
    def room_mm(self) -> float:
        """How long it is."""
        return abs(self.far_mm - self.near_mm)

    @property
    def runs_distally(self) -> bool:
        """Whether the near pin is the proximal one."""
        return self.far_mm >= self.near_mm


def find_pair(stretch: Stretch, run: Run, sides_deg: Iterable[Sides], *, stride: int = 1) -> Pair:
    """Two places in a run, the near one as near as can be.

    Tries each pair of sides over all levels, or every so many (`stride`); only when none gives two
    clear places, the least bad.
    """
    levels = steps(run.near_mm, run.far_mm, stride * stretch.laid.step_mm)
    apart_mm = run.apart_mm or stretch.laid.apart_mm
    if len(levels) > 1 and run.room_mm < 2 * apart_mm and levels[-1] != run.far_mm:
        levels = (*levels, run.far_mm)
    pairs: list[Pair] = []
    for sides in sides_deg:
        near_side, far_side = sides if run.runs_distally else sides[::-1]
        pair = _pair_from(stretch, levels, (run.spread_mm, apart_mm), (near_side, far_side))
        if pair.is_clear and pair.far is not None:
            return pair
        pairs.append(pair)
    return least_bad(pairs)


def least_bad(pairs: Iterable[Pair]) -> Pair:
    """The first of the pairs with most usable places and least found against them."""
    return min(pairs, key=lambda pair: (-len(pair.usable), pair.far is None, pair.badness))


def _pair_from(
    stretch: Stretch, levels: tuple[float, ...], gaps_mm: tuple[float, float], sides_deg: Sides
) -> Pair:
    (spread_mm, apart), (near_deg, far_deg) = gaps_mm, sides_deg
    roomy = tuple(x for x in levels if far_levels(levels, x, spread_mm, apart)) or levels
    near = stretch.best(roomy, near_deg)
    if near.verdict.is_barred:
        alone = stretch.best(levels, near_deg)
        near = near if alone.verdict.is_barred else alone
    beyond = far_levels(levels, near.level_mm, spread_mm, apart)
    return Pair(near, stretch.best(beyond, far_deg) if beyond else None)


def steps(from_mm: float, to_mm: float, step_mm: float) -> tuple[float, ...]:
    """Levels from one to the other in such steps, either way, the first included."""
    count = int(abs(to_mm - from_mm) / step_mm + 1e-9)
    sign = 1.0 if to_mm >= from_mm else -1.0
    return tuple(from_mm + sign * step_mm * i for i in range(count + 1))


def far_levels(
    levels: tuple[float, ...], near_mm: float, spread_mm: float, apart_mm: float
) -> tuple[float, ...]:
    """Levels beyond the near one by at least the room for two clamps, the wished spread first."""
    after = levels[levels.index(near_mm) :]
    roomy = [x for x in after if abs(x - near_mm) >= apart_mm]
    return tuple(sorted(roomy, key=lambda x: abs(abs(x - near_mm) - spread_mm)))


def wished_spread_mm(usable_mm: float, laid: Layout, most_mm: float = 1000.0) -> float:
    """Wished distance of two pins in a fragment of that usable length, mm."""
    return max(laid.apart_mm, min(usable_mm * laid.spread_share, laid.spread_most_mm, most_mm))
