"""Ways to lay a bar that a starting frame can choose from, the one most wished for first."""

from collections.abc import Iterable
from typing import Literal

from msgspec.structs import replace

from fixplan.case.records import Bar, BarAnchor, Case, Pin, PinAnchor
from fixplan.frame.patterns import Layout
from fixplan.frame.pin_lines import pin_line

Group = tuple[str, ...]


def link_choices(
    case: Case, link: str, bars: Group, places: list[tuple[float, ...]], laid: Layout
) -> Iterable[Case]:
    """A link at places on what holds it, nearer the skin first.

    The bars that hold it (`bars`) run first along the bone, then along the skin, and at last the
    lower one on the other side of its pins.
    """
    for start in (case, *(across_pins(case, bar) for bar in bars[1:])):
        for out in laid.outs_mm:
            held = moved_out(start, (*bars, link), out)
            for ready in (levelled(held, bars), held):
                for at in alike(places[0], places[1]):
                    yield from turned(ready, link, at)


def across_choices(
    case: Case, link: str, bars: Group, places: tuple[float, ...], laid: Layout
) -> Iterable[Case]:
    """A link at the same place on both bars that hold it, nearer the skin first."""
    for out in laid.outs_mm:
        held = moved_out(case, (*bars, link), out)
        for ready in (levelled(held, bars), held):
            for at in places:
                yield from turned(ready, link, (at, at))


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


def at_outs(case: Case, bar_id: str, first_mm: float, second_mm: float) -> Case:
    """The case with a bar that far off the skin at its first and second pin."""
    bar = next(one for one in case.bars if one.id == bar_id)
    first, second = (
        replace(anchor, out_mm=out) if isinstance(anchor, PinAnchor) else anchor
        for anchor, out in zip(bar.anchors, (first_mm, second_mm), strict=True)
    )
    return with_bar(case, replace(bar, anchors=(first, second)))


def levelled(case: Case, bars: Group) -> Case:
    """The case with these bars as far from the bone at one of their pins as at the other."""
    moved = (
        _with_outs(bar, dict(_level(case, bar))) if bar.id in bars else bar for bar in case.bars
    )
    return replace(case, bars=tuple(moved))


def _level(case: Case, bar: Bar) -> Iterable[tuple[str, float]]:
    """For each pin that anchors a bar, how far off the skin it has to hold it."""
    pins = {pin.id: pin for pin in case.pins}
    skins = {
        anchor.pin: (pin_line(case, pins[anchor.pin]).skin_mm, anchor.out_mm)
        for anchor in bar.anchors
        if isinstance(anchor, PinAnchor) and anchor.end == "outer"
    }
    furthest = max((skin + out for skin, out in skins.values()), default=0.0)
    return ((pin, furthest - skin) for pin, (skin, _) in skins.items())


def _with_outs(bar: Bar, outs_mm: dict[str, float]) -> Bar:
    first, second = (
        replace(a, out_mm=outs_mm.get(a.pin, a.out_mm)) if isinstance(a, PinAnchor) else a
        for a in bar.anchors
    )
    return replace(bar, anchors=(first, second))


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


def turned(case: Case, link_id: str, at_mm: tuple[float, ...]) -> Iterable[Case]:
    """A link with its clamps at two places, on the one side of what holds it, then on the other."""
    link = next(bar for bar in case.bars if bar.id == link_id)
    first, second = (
        replace(a, at_mm=at) if isinstance(a, BarAnchor) else a
        for a, at in zip(link.anchors, at_mm, strict=True)
    )
    lays: tuple[Literal[1], Literal[-1]] = (1, -1)
    return (with_bar(case, replace(link, anchors=(first, second), lay=lay)) for lay in lays)


def link_places_inside(anchored_mm: float, inner_end: int, laid: Layout) -> tuple[float, ...]:
    """Places for a link clamp between a bar's two pins: beside the inner one, in the middle."""
    clear = laid.link_clear_mm
    if anchored_mm < 2 * clear:
        return ()
    beside = anchored_mm - clear if inner_end else clear
    return beside, anchored_mm / 2


def link_places(anchored_mm: float, inner_end: int, laid: Layout) -> tuple[float, ...]:
    """Places for a link clamp on a bar: between its pins, then past the inner one (end 0 or 1)."""
    inner, outward = (anchored_mm, 1.0) if inner_end else (0.0, -1.0)
    past = tuple(inner + outward * by for by in laid.link_past_mm)
    return (*link_places_inside(anchored_mm, inner_end, laid), *past)


def alike(first: tuple[float, ...], second: tuple[float, ...]) -> list[tuple[float, float]]:
    """Places on two bars that are the same kind of place, or the next kind, on both."""
    return [
        (a, b)
        for m, a in enumerate(first)
        for n, b in enumerate(second)
        if abs(m - n) <= 1 or len(first) == 1 or len(second) == 1
    ]
