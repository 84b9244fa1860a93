"""One thing of the frame varied by itself: stiffness of each variant beside the present frame.

Steps: resources/varying.toml. All variants of a frame are reduced at once (`fixplan.frame.trying`).
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from statistics import fmean
from typing import Literal, NamedTuple

import msgspec
from msgspec.structs import replace

from fixplan.case.fragments import fragment_of
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Bar, Case, Pin, PinAnchor
from fixplan.frame.bodies import Body, bodies, reached_bars
from fixplan.frame.changes import one_more_bar
from fixplan.frame.defaults import diameter_list
from fixplan.frame.hold import Firmness, quick_hold
from fixplan.frame.patterns import layout
from fixplan.frame.skin_gap import bar_gap
from fixplan.frame.stock import parts
from fixplan.frame.trying import firmness_of_all
from fixplan.geometry.measures import hole_ratio
from fixplan.limb.library import load_toml

Thing = Literal["pin diameter", "spread", "pin number", "bar distance", "second bar"]
AXES: dict[Thing, str] = {
    "pin diameter": "diameter of all half-pins, mm",
    "spread": "first to last pin of a fragment, mean, mm",
    "pin number": "pins in each fragment",
    "bar distance": "least gap from bar to skin, mm",
    "second bar": "",
}
FIRST_EXTRA = 9000


class Varying(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """resources/varying.toml."""

    schema: int
    source: str
    spread_factors: tuple[float, ...]
    pins_per_piece: tuple[int, ...]
    bar_shifts_mm: tuple[float, ...]


class Variant(NamedTuple):
    """The frame with one thing otherwise. `x` on the axis, `words` beside it.

    `against` says why it would not be done so; empty where nothing speaks against it.
    """

    x: float
    words: str
    case: Case
    is_present: bool = False
    against: str = ""


class Point(NamedTuple):
    """A variant with the stiffness of every gap; nothing where it is free to move."""

    variant: Variant
    firmness: tuple[Firmness, ...]


class Varied(NamedTuple):
    """All variants of one thing, in the order of the axis; the present frame's own stiffness."""

    thing: Thing
    points: tuple[Point, ...]
    present: tuple[Firmness, ...]

    def share(self, point: Point, gap: int, mode: int) -> float | None:
        """Stiffness of a variant against the present frame's, 1: alike."""
        if not point.firmness:
            return None
        return point.firmness[gap][mode] / self.present[gap][mode]


@lru_cache(maxsize=32)
def varied(case: Case, thing: Thing) -> Varied:
    """The frame with one thing varied. Raises UnstableFrame for a frame that cannot be solved."""
    present = tuple(one.firmness for one in quick_hold(case).gaps)
    variants = sorted(_MAKERS[thing](case, bodies(case)), key=lambda one: one.x)
    found = firmness_of_all([one.case for one in variants])
    points = tuple(
        Point(one, firm if len(firm) == len(present) else ())
        for one, firm in zip(variants, found, strict=True)
    )
    return Varied(thing, points, present)


def steps() -> Varying:
    """What is tried. Raises LibraryError."""
    return load_toml("varying.toml", Varying)


def _diameters(case: Case, held: Sequence[Body]) -> Iterator[Variant]:
    """All half-pins of the frame at each listed diameter."""
    own = [pin for body in held for pin in body.pins if pin.kind == "half"]
    present = {pin.diameter_mm for pin in own}
    for size_mm in sorted({one.diameter_mm for one in parts().half_pins.values()}):
        pins = [replace(pin, diameter_mm=size_mm) for pin in own]
        yield Variant(
            size_mm,
            f"{size_mm:g}",
            _with(case, pins),
            is_present=present == {size_mm},
            against=_too_thick(case, pins),
        )


def _too_thick(case: Case, pins: Sequence[Pin]) -> str:
    most = diameter_list().ratio_percent
    limb = limb_of_case(case)
    over = [
        pin.number
        for pin in pins
        if (ratio := hole_ratio(limb, pin)) is not None and 100 * ratio > most
    ]
    return f"hole over {most:g} % of the bone at pin {over[0]}" if over else ""


def _spreads(case: Case, held: Sequence[Body]) -> Iterator[Variant]:
    """Each fragment's pins stretched about their middle; lone pins stay."""
    several = [body for body in held if len(body.pins) > 1]
    if not several:
        return
    now = fmean(_span(body.pins) for body in several)
    yield Variant(now, f"{now:.0f}", case, is_present=True)
    for factor in steps().spread_factors:
        pins = [pin for body in several for pin in _stretched(body.pins, factor)]
        x = now * factor
        yield Variant(x, f"{x:.0f}", _with(case, pins), against=_beyond_fragment(case, pins))


def _span(pins: Sequence[Pin]) -> float:
    return pins[-1].level_mm - pins[0].level_mm


def _stretched(pins: Sequence[Pin], factor: float) -> list[Pin]:
    middle = (pins[0].level_mm + pins[-1].level_mm) / 2
    return [replace(pin, level_mm=middle + factor * (pin.level_mm - middle)) for pin in pins]


def _beyond_fragment(case: Case, pins: Sequence[Pin]) -> str:
    """The first pin that is no longer in its fragment, or too near to the break."""
    before = {pin.id: fragment_of(case, pin) for pin in case.pins}
    for pin in pins:
        piece = fragment_of(case, pin)
        if piece is None or piece != before[pin.id]:
            return f"pin {pin.number} leaves its fragment"
        broken = [one for one in case.fractures if one.bone == pin.bone]
        off = [max(one.from_mm - pin.level_mm, pin.level_mm - one.to_mm) for one in broken]
        if min(off, default=1e3) < layout().fracture_mm:
            return f"pin {pin.number} within {layout().fracture_mm:g} mm of the fracture"
    return ""


def _numbers(case: Case, held: Sequence[Body]) -> Iterator[Variant]:
    """Two pins or more in each fragment, spaced evenly between its first and last."""
    several = [body for body in held if len(body.pins) > 1]
    counts = {len(body.pins) for body in several}
    if not several:
        return
    if len(counts) == 1:
        (now,) = counts
        yield Variant(now, f"{now}", case, is_present=True)
    for count in steps().pins_per_piece:
        if {count} != counts:
            yield Variant(count, f"{count}", _counted(case, several, count))


def _counted(case: Case, held: Sequence[Body], count: int) -> Case:
    number = FIRST_EXTRA
    for body in held:
        first, last = body.pins[0], body.pins[-1]
        inner = {pin.id for pin in body.pins[1:-1]}
        added: list[Pin] = []
        for step in range(1, count - 1):
            number += 1
            added.append(_between(first, last, step / (count - 1), number))
        case = _swapped(case, first.id, inner, added)
    return case


def _between(first: Pin, last: Pin, share: float, number: int) -> Pin:
    """A pin between two others, like the first in all else."""
    turn = (last.bearing_deg - first.bearing_deg + 180) % 360 - 180

    def mixed(a: float, b: float) -> float:
        return a + share * (b - a)

    return replace(
        first,
        id=f"pin-{number}",
        number=number,
        level_mm=mixed(first.level_mm, last.level_mm),
        bearing_deg=(first.bearing_deg + share * turn) % 360,
        tilt_deg=mixed(first.tilt_deg, last.tilt_deg),
        offset_mm=mixed(first.offset_mm, last.offset_mm),
    )


def _swapped(case: Case, beside: str, out: set[str], added: Sequence[Pin]) -> Case:
    """Some pins out, others in; every bar that holds the pin beside them takes them too.

    A pin that anchors a bar stays, whatever was asked.
    """
    anchors = {a.pin for bar in case.bars for a in bar.anchors if isinstance(a, PinAnchor)}
    gone = out - anchors
    bars = tuple(_taking(bar, beside, gone, added) for bar in case.bars)
    pins = (*(pin for pin in case.pins if pin.id not in gone), *added)
    return replace(case, pins=pins, bars=bars)


def _taking(bar: Bar, beside: str, gone: set[str], added: Sequence[Pin]) -> Bar:
    held = {a.pin for a in bar.anchors if isinstance(a, PinAnchor)} | set(bar.also)
    also = tuple(name for name in bar.also if name not in gone)
    if beside in held:
        also = (*also, *(pin.id for pin in added))
    return replace(bar, also=also)


def _distances(case: Case, held: Sequence[Body]) -> Iterator[Variant]:
    """Every bar on pins nearer to the skin or further off, all by the same."""
    del held
    least = _least_gap(case)
    if least is None:
        return
    yield Variant(least, f"{least:.0f}", case, is_present=True)
    for shift in steps().bar_shifts_mm:
        x = least + shift
        near = f"under {layout().skin_least_mm:g} mm from the skin"
        yield Variant(
            x,
            f"{x:.0f}",
            _shifted(case, shift),
            against=near if x < layout().skin_least_mm else "",
        )


def _least_gap(case: Case) -> float | None:
    gaps = [bar_gap(case, bar.id) for bar in case.bars if bar.id in reached_bars(case)]
    return min((one.least_mm for one in gaps if one is not None), default=None)


def _shifted(case: Case, out_mm: float) -> Case:
    bars = tuple(
        replace(
            bar,
            anchors=tuple(
                replace(a, out_mm=a.out_mm + out_mm) if isinstance(a, PinAnchor) else a
                for a in bar.anchors
            ),
        )
        for bar in case.bars
    )
    return replace(case, bars=bars)


def _second_bars(case: Case, held: Sequence[Body]) -> Iterator[Variant]:
    """The frame as drawn, and with a second bar beside each one that runs past a gap."""
    yield Variant(0, "as drawn", case, is_present=True)
    for number, change in enumerate(one_more_bar(case, tuple(held)), 1):
        words = change.words.removeprefix("a second bar ")
        yield Variant(number, words, change.case)


def _with(case: Case, pins: Sequence[Pin]) -> Case:
    changed = {pin.id: pin for pin in pins}
    return replace(case, pins=tuple(changed.get(pin.id, pin) for pin in case.pins))


_MAKERS = {
    "pin diameter": _diameters,
    "spread": _spreads,
    "pin number": _numbers,
    "bar distance": _distances,
    "second bar": _second_bars,
}
