"""A starting frame while it is being laid: the case so far, and what has to be said about it."""

from collections.abc import Iterable
from math import inf
from typing import Literal

from msgspec.structs import replace

from fixplan.case import edits
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Anchor, Bar, BarAnchor, Case, Pin, PinAnchor
from fixplan.errors import EditError
from fixplan.frame.faults import bar_faults_mm
from fixplan.frame.joining import bar_paths
from fixplan.frame.patterns import layout
from fixplan.frame.sliding import Judge, Pair, Place, Stretch, verdict_of
from fixplan.limb.words import level_words

Group = tuple[str, ...]
Choice = tuple[Case, float]


class Sketch:
    """Adds pins and bars one after another; `statements` say where the bone did not allow it."""

    def __init__(self, case: Case, judge: Judge) -> None:
        self.case, self.judge = case, judge
        self.statements: list[str] = []

    def put_pair(self, stretch: Stretch, pair: Pair, where: str) -> Group:
        """Put one or two pins, numbered from proximal; says where a place is not clear."""
        places = sorted(p for p in pair if p is not None)
        return tuple(self.put_pin(stretch, place, where) for place in places)

    def put_pin(self, stretch: Stretch, place: Place, where: str) -> str:
        """Put one pin and return its id."""
        self.case = edits.add_pin(self.case, stretch.pin(place.level_mm, place.bearing_deg))
        pin = self.case.pins[-1]
        if not place.verdict.is_clear:
            self.statements.append(self._least_bad(pin, where))
        return pin.id

    def _least_bad(self, pin: Pin, where: str) -> str:
        limb = limb_of_case(self.case)
        level = level_words(limb, limb.bones[pin.bone].segment, pin.level_mm)
        worst = verdict_of(self.judge(self.case, pin)).worst
        return (
            f"No level in the {where} is clear; pin {pin.number} stands at the least bad level, "
            f"{level}: {worst}"
        )

    def put_bar(self, first: Anchor, second: Anchor, also: Group = ()) -> str:
        """Put a bar and return its id."""
        bar = Bar(
            id="bar-new",
            number=1,
            anchors=(first, second),
            also=also,
            diameter_mm=layout().bar_mm,
        )
        self.case = edits.add_bar(self.case, bar)
        return self.case.bars[-1].id

    def short_bar(self, group: Group) -> str:
        """A bar on the two pins of a group, on the side of them where it keeps off the skin."""
        out = layout().out_mm
        bar = self.put_bar(
            PinAnchor(pin=group[0], out_mm=out), PinAnchor(pin=group[-1], out_mm=out)
        )
        self.settle((bar,), self.lays(bar))
        return bar

    def holder(self, group: Group) -> str:
        """What other bars can hold on for this group: a short bar on two pins, or the lone pin."""
        return self.short_bar(group) if len(group) > 1 else group[0]

    def link(self, first: str, second: str, inner: tuple[int, int]) -> str:
        """A bar between two holders; `inner`: the end (0 or 1) of each that faces the other."""
        holders = (first, second)
        places = [self._places(h, end) for h, end in zip(holders, inner, strict=True)]
        link = self.put_bar(self.anchor(first, places[0][0]), self.anchor(second, places[1][0]))
        bars = tuple(h for h in holders if h in bar_paths(self.case))
        self.settle((link, *bars), self._link_choices(link, bars, places))
        return link

    def _link_choices(
        self, link: str, bars: Group, places: list[tuple[float, ...]]
    ) -> Iterable[Case]:
        start = self.case
        for case in (start, *(across_pins(start, bar) for bar in bars[1:])):
            for out in layout().outs_mm:
                held = moved_out(case, (*bars, link), out)
                for at in alike(places[0], places[1]):
                    yield from _turned(held, link, at)

    def _places(self, holder: str, inner_end: int) -> tuple[float, ...]:
        path = bar_paths(self.case).get(holder)
        if path is None:
            return (0.0,)
        return link_places(path.joints[1].along_mm - path.joints[0].along_mm, inner_end)

    def anchor(self, holder: str, at_mm: float) -> Anchor:
        """A hold on a bar (at a place along it) or on a pin (at the usual distance)."""
        if holder in bar_paths(self.case):
            return BarAnchor(bar=holder, at_mm=at_mm)
        return PinAnchor(pin=holder, out_mm=layout().out_mm)

    def settle(self, bars: tuple[str, ...], choices: Iterable[Case]) -> None:
        """Take the first choice without a fault in these bars, else the one with the least."""
        best: Choice | None = None
        for case in choices:
            fault = bar_faults_mm(case, bars, inf if best is None else best[1])
            if best is None or fault < best[1] - 1e-9:
                best = case, fault
            if fault <= 0:
                break
        if best is None:
            raise EditError("There was nothing to choose from for a bar; draw it by hand.")
        self.case = best[0]

    def lays(self, bar_id: str) -> Iterable[Case]:
        """The case with a bar further and further off the skin, on either side of its pins."""
        for out in layout().outs_mm:
            case = moved_out(self.case, (bar_id,), out)
            yield case
            yield across_pins(case, bar_id)

    def pin(self, pin_id: str) -> Pin:
        """The pin with this id."""
        return next(pin for pin in self.case.pins if pin.id == pin_id)


def with_bar(case: Case, bar: Bar) -> Case:
    """The case with a bar of the same id replaced, without further checks."""
    return replace(case, bars=tuple(bar if b.id == bar.id else b for b in case.bars))


def with_pin(case: Case, pin: Pin) -> Case:
    """The case with a pin of the same id replaced, without further checks."""
    return replace(case, pins=tuple(pin if p.id == pin.id else p for p in case.pins))


def moved_out(case: Case, bars: Group, out_mm: float) -> Case:
    """The case with these bars at least that far off the skin at each of their anchor pins."""
    moved = (_further(bar, out_mm) if bar.id in bars else bar for bar in case.bars)
    return replace(case, bars=tuple(moved))


def across_pins(case: Case, bar_id: str) -> Case:
    """The case with a bar on the other side of what holds it."""
    bar = next(one for one in case.bars if one.id == bar_id)
    return with_bar(case, replace(bar, lay=-bar.lay))


def _further(bar: Bar, out_mm: float) -> Bar:
    first, second = (
        replace(a, out_mm=max(out_mm, a.out_mm)) if isinstance(a, PinAnchor) else a
        for a in bar.anchors
    )
    return replace(bar, anchors=(first, second))


def _turned(case: Case, link_id: str, at_mm: tuple[float, ...]) -> Iterable[Case]:
    """A link with its clamps at two places, on the one side of what holds it, then on the other."""
    link = next(bar for bar in case.bars if bar.id == link_id)
    first, second = (
        replace(a, at_mm=at) if isinstance(a, BarAnchor) else a
        for a, at in zip(link.anchors, at_mm, strict=True)
    )
    lays: tuple[Literal[1], Literal[-1]] = (1, -1)
    return (with_bar(case, replace(link, anchors=(first, second), lay=lay)) for lay in lays)


def link_places(anchored_mm: float, inner_end: int) -> tuple[float, ...]:
    """Places for a link clamp on a bar: between its pins, in the middle, past the inner pin."""
    clear = layout().link_clear_mm
    inner = anchored_mm * inner_end
    inward = -1.0 if inner_end else 1.0
    between = (inner + inward * clear, anchored_mm / 2) if anchored_mm >= 2 * clear else ()
    return (*between, *(inner - inward * past for past in layout().link_past_mm))


def alike(first: tuple[float, ...], second: tuple[float, ...]) -> list[tuple[float, float]]:
    """Places on two bars that are the same kind of place, or the next kind, on both."""
    return [
        (a, b)
        for m, a in enumerate(first)
        for n, b in enumerate(second)
        if abs(m - n) <= 1 or len(first) == 1 or len(second) == 1
    ]
