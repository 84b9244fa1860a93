"""Build order of the frame as drawn: pins, bars, and what to look at; texts in frames.toml."""

from collections.abc import Iterable, Sequence

import msgspec

from fixplan.case.limbs import knee_flexion_deg, spans_knee
from fixplan.case.records import Bar, Case, Pin
from fixplan.frame.groups import pin_groups
from fixplan.frame.joining import bar_paths, held_by_bars, pins_named
from fixplan.frame.patterns import frames

SUPPORT_LINES = {"splint": "foot", "foot bar": "foot", "heel stand": "heel"}


class BuildStep(msgspec.Struct, frozen=True):
    """One line of the build order, with the ids of its evidence."""

    text: str
    evidence: tuple[str, ...]


def order_lines(case: Case) -> tuple[str, ...]:
    """The build order as plain lines, unnumbered; empty for a case without pins."""
    return tuple(step.text for step in build_order(case))


def build_order(case: Case) -> tuple[BuildStep, ...]:
    """The steps in order: reduce, pins, bars, links, tighten, check; empty without pins."""
    if not case.pins:
        return ()
    marked = bool(case.wounds or case.injuries)
    return (
        _step("reduce"),
        *([_step("vessel")] if marked else []),
        *_pins_and_bars(case),
        _step("skin"),
        _step("tighten"),
        *_supports(case),
        _step("recheck"),
    )


def _pins_and_bars(case: Case) -> list[BuildStep]:
    main = [bar for bar in case.bars if len(pins_named(bar)) > 2]
    first = _main_bar_first(case, main) if main else _pins_first(case)
    return first + _side_bars(case) + _across_knee(case) + _links(case)


def _main_bar_first(case: Case, main: Sequence[Bar]) -> list[BuildStep]:
    """Far pins, the bar on them with all its clamps, then the near pins through the clamps."""
    carried = {pin for bar in main for pin in pins_named(bar)}
    anchors = {a.pin for bar in main for a in bar.anchors if hasattr(a, "pin")}
    far = [p for p in case.pins if p.id in anchors]
    near = [p for p in case.pins if p.id in carried - anchors]
    others = [p for p in case.pins if p.id not in carried]
    clamps = sum(len(pins_named(bar)) for bar in main)
    return [
        _step("far_pins", pins=pins_in_words(far)),
        _step("main_bar", bars=_bars_in_words(main).capitalize(), clamps=_count(clamps, "clamp")),
        *_near(near, "through the clamps of the bar"),
        *_pin_steps(others),
    ]


def _pins_first(case: Case) -> list[BuildStep]:
    """Pins group by group from proximal, then the short bars on them."""
    short = [b for b in case.bars if not held_by_bars(b) and not _at_heel(case, b)]
    listed = _pin_steps(_grouped(case))
    for bar in short:
        named = pins_named(bar)
        names = pins_in_words([p for p in case.pins if p.id in named])
        listed.append(_step("short_bars", bars=f"Bar {bar.number}", pins=names))
    return listed


def _grouped(case: Case) -> list[Pin]:
    """Pins in the order of their groups; those that no bar holds last."""
    order = [pin_id for group in pin_groups(case) for pin_id in group.pins]
    rank = {pin_id: place for place, pin_id in enumerate(order)}
    return sorted(case.pins, key=lambda pin: rank.get(pin.id, len(rank)))


def _pin_steps(pins: Iterable[Pin]) -> list[BuildStep]:
    pins = list(pins)
    heel = [p for p in pins if p.kind == "through"]
    opened = [p for p in pins if p.open_approach and p not in heel]
    plain = [p for p in pins if p not in heel and p not in opened]
    lines = (("pins", plain), ("open_pins", opened), ("heel_pin", heel))
    return [
        _step(key, pins=words if key == "heel_pin" else words.capitalize())
        for key, some in lines
        if (words := pins_in_words(some))
    ]


def _near(pins: list[Pin], where: str) -> list[BuildStep]:
    return [_step("near_pins", pins=pins_in_words(pins), where=where)] if pins else []


def _side_bars(case: Case) -> list[BuildStep]:
    bars = [bar for bar in case.bars if _at_heel(case, bar)]
    return [_step("side_bars", bars=_bars_in_words(bars).capitalize())] if bars else []


def _at_heel(case: Case, bar: Bar) -> bool:
    heel = {pin.id for pin in case.pins if pin.kind == "through"}
    return bool(heel.intersection(pins_named(bar)))


def _across_knee(case: Case) -> list[BuildStep]:
    if not spans_knee(case):
        return []
    return [_step("knee", flexion=f"{knee_flexion_deg(case):.0f}°")]


def _links(case: Case) -> list[BuildStep]:
    links = [b for b in case.bars if held_by_bars(b) and not _at_heel(case, b)]
    laid = bar_paths(case)
    known = [b for b in links if b.id in laid]
    return [_step("link_bars", bars=_bars_in_words(known).capitalize())] if known else []


def _supports(case: Case) -> list[BuildStep]:
    return [
        _step(SUPPORT_LINES[support.kind], support=support.kind.capitalize())
        for support in case.supports
    ]


def _step(key: str, **words: str) -> BuildStep:
    line = frames().order[key]
    return BuildStep(line.text.format(**words), line.evidence)


def pins_in_words(pins: Sequence[Pin]) -> str:
    """The pins by number: `pin 3`, `pins 1 and 2`, `pins 1, 2 and 5`; empty without pins."""
    return _listed("pin", [pin.number for pin in pins])


def _bars_in_words(bars: Sequence[Bar]) -> str:
    return _listed("bar", [bar.number for bar in bars])


def _listed(word: str, numbers: Sequence[int]) -> str:
    names = [str(number) for number in sorted(numbers)]
    if len(names) < 2:
        return f"{word} {names[0]}" if names else ""
    return f"{word}s {', '.join(names[:-1])} and {names[-1]}"


def _count(number: int, word: str) -> str:
    return f"{number} {word}" + ("s" if number != 1 else "")
