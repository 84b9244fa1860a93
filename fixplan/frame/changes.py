"""Changes to a frame that a surgeon might make, each as a whole case.

Only what the parts list, the bone and the skin allow is offered. Steps: resources/trying.toml.
"""

from collections.abc import Iterator
from typing import Literal, NamedTuple

import msgspec
from msgspec.structs import replace

from fixplan.case.fragments import fragment_of
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Anchor, Bar, BarAnchor, Case, Pin, PinAnchor
from fixplan.frame.bodies import Body, bodies, reached_bars, runs_past_gap
from fixplan.frame.defaults import diameter_list, pinned_levels
from fixplan.frame.faults import bar_faults_mm
from fixplan.frame.joining import laid_bars
from fixplan.frame.patterns import layout
from fixplan.frame.skin_gap import bar_gap
from fixplan.frame.stock import parts
from fixplan.geometry.measures import hole_ratio
from fixplan.limb.library import load_toml

Anchors = tuple[Anchor, Anchor]
LAY: dict[int, Literal[1, -1]] = {1: 1, -1: -1}
ALIKE_MM = 0.5


class Steps(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """resources/trying.toml: by how much each thing is changed, mm."""

    schema: int
    source: str
    closer_mm: float
    least_closer_mm: float
    pin_mm: float
    second_bar_mm: tuple[float, ...]
    fault_mm: float
    telling_percent: float
    shown: int


class Change(NamedTuple):
    """A change in words ("pin 2: 6 mm instead of 5"), what it concerns, and the changed case."""

    words: str
    parts: tuple[str, ...]
    case: Case


def steps() -> Steps:
    """By how much things are changed. Raises LibraryError for a file that does not hold it."""
    return load_toml("trying.toml", Steps)


def changes(case: Case) -> tuple[Change, ...]:
    """Every single change that parts, bone and skin allow."""
    held = bodies(case)
    return (
        *_thicker(case, held),
        *_closer(case),
        *_moved(case, held),
        *one_more_bar(case, held),
    )


def _with_pins(case: Case, changed: dict[str, Pin]) -> Case:
    return replace(case, pins=tuple(changed.get(pin.id, pin) for pin in case.pins))


def _thicker(case: Case, held: tuple[Body, ...]) -> Iterator[Change]:
    """Each pin of the next diameter, and all that may be together."""
    pins = [pin for body in held for pin in body.pins]
    thick = {pin.id: new for pin in pins if (new := _next_pin(case, pin)) is not None}
    for pin in pins:
        if pin.id in thick:
            words = (
                f"pin {pin.number}: {thick[pin.id].diameter_mm:g} mm instead of {pin.diameter_mm:g}"
            )
            yield Change(words, (pin.id,), _with_pins(case, {pin.id: thick[pin.id]}))
    sizes = {pin.diameter_mm for pin in pins if pin.id in thick}
    if len(thick) > 1 and len(sizes) == 1:
        first = next(pin for pin in pins if pin.id in thick)
        who = "all pins" if len(thick) == len(pins) else f"{len(thick)} pins"
        words = f"{who}: {thick[first.id].diameter_mm:g} mm instead of {first.diameter_mm:g}"
        yield Change(words, tuple(thick), _with_pins(case, thick))


def _next_pin(case: Case, pin: Pin) -> Pin | None:
    """The pin at the next listed diameter, if its hole stays within what the bone allows."""
    stock = parts().half_pins if pin.kind == "half" else parts().through_pins
    more = sorted(one.diameter_mm for one in stock.values() if one.diameter_mm > pin.diameter_mm)
    if not more:
        return None
    thick = replace(pin, diameter_mm=more[0])
    ratio = hole_ratio(limb_of_case(case), thick)
    return thick if ratio is not None and 100 * ratio <= diameter_list().ratio_percent else None


def _closer(case: Case) -> Iterator[Change]:
    """Each bar held by pins alone, nearer to the skin as far as its gap allows."""
    for bar in case.bars:
        gap = bar_gap(case, bar.id) if bar.id in reached_bars(case) else None
        if gap is None or any(isinstance(anchor, BarAnchor) for anchor in bar.anchors):
            continue
        room_mm = min(steps().closer_mm, gap.least_mm - layout().skin_least_mm)
        if room_mm < steps().least_closer_mm:
            continue
        moved = _with_bar(case, replace(bar, anchors=_shifted(bar, -float(round(room_mm)))))
        if _faults_mm(moved) <= _faults_mm(case) + ALIKE_MM:
            yield Change(f"bar {bar.number}: {room_mm:.0f} mm closer", (bar.id,), moved)


def _faults_mm(case: Case) -> float:
    return bar_faults_mm(case, tuple(bar.id for bar in case.bars))


def _with_bar(case: Case, bar: Bar) -> Case:
    return replace(case, bars=tuple(bar if one.id == bar.id else one for one in case.bars))


def _shifted(bar: Bar, out_mm: float) -> Anchors:
    first, second = (
        replace(anchor, out_mm=anchor.out_mm + out_mm) if isinstance(anchor, PinAnchor) else anchor
        for anchor in bar.anchors
    )
    return first, second


def _moved(case: Case, held: tuple[Body, ...]) -> Iterator[Change]:
    """The pins next to a gap nearer to it, those furthest off further away."""
    for number, body in enumerate(held):
        if len(body.pins) < 2:
            continue
        gap_below = number + 1 < len(held)
        near, far = (body.pins[-1], body.pins[0]) if gap_below else (body.pins[0], body.pins[-1])
        way = 1.0 if gap_below else -1.0
        for pin, shift_mm, words in (
            (near, way * steps().pin_mm, "nearer to the gap"),
            (far, -way * steps().pin_mm, "further from the gap"),
        ):
            new = replace(pin, level_mm=pin.level_mm + shift_mm)
            if _may_stand(case, pin, new):
                text = f"pin {pin.number}: {abs(shift_mm):.0f} mm {words}"
                yield Change(text, (pin.id,), _with_pins(case, {pin.id: new}))


def _may_stand(case: Case, pin: Pin, new: Pin) -> bool:
    """Whether a slid pin keeps to its fragment, off the fracture, and within the usual levels."""
    piece = fragment_of(case, pin)
    if piece is None or fragment_of(case, new) != piece:
        return False
    low, high = pinned_levels(limb_of_case(case), pin.bone)
    broken = [one for one in case.fractures if one.bone == pin.bone]
    off = [max(one.from_mm - new.level_mm, new.level_mm - one.to_mm) for one in broken]
    return low <= new.level_mm <= high and min(off, default=1e3) >= layout().fracture_mm


def one_more_bar(case: Case, held: tuple[Body, ...]) -> Iterator[Change]:
    """A second bar beside each one that runs past a gap."""
    for bar in case.bars:
        if bar.id in reached_bars(case) and runs_past_gap(bar, held):
            found = next((x for new in _beside(bar) if (x := _fitting(case, new))), None)
            if found is not None:
                yield Change(f"a second bar beside bar {bar.number}", (bar.id,), found)


def _fitting(case: Case, new: Bar) -> Case | None:
    """The case with one more bar, if it can be laid there."""
    changed = replace(case, bars=(*case.bars, new))
    path = laid_bars(changed).paths.get(new.id)
    if path is None or not all(joint.reaches for joint in path.joints):
        return None
    most = steps().fault_mm
    return changed if bar_faults_mm(changed, (new.id,), most) < most else None


def _beside(bar: Bar) -> Iterator[Bar]:
    """A second bar: further out on pins, further along or on the other side on bars."""
    on_bars = [isinstance(anchor, BarAnchor) for anchor in bar.anchors]
    signs = ((1, 1), (-1, -1), (1, -1), (-1, 1)) if any(on_bars) else ((1, 1),)
    for step in steps().second_bar_mm:
        for lay in (bar.lay, LAY[-bar.lay]):
            for sign in dict.fromkeys(signs):
                yield replace(
                    bar,
                    id="bar-9999",
                    number=9999,
                    anchors=_further(bar, step, sign),
                    lay=lay,
                    length_mm=None,
                )


def _further(bar: Bar, step_mm: float, signs: tuple[int, int]) -> Anchors:
    first, second = (
        replace(anchor, at_mm=anchor.at_mm + sign * step_mm)
        if isinstance(anchor, BarAnchor)
        else replace(anchor, out_mm=anchor.out_mm + step_mm)
        for anchor, sign in zip(bar.anchors, signs, strict=True)
    )
    return first, second
