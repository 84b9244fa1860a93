"""Build order of the frame as drawn: pins, bars, and what to look at; texts in frames.toml."""

from collections.abc import Iterable, Sequence

import msgspec

from fixplan.case.limbs import bend_deg, limb_of_case, spans
from fixplan.case.records import Bar, Case, Pin
from fixplan.case.remembered import remembered
from fixplan.case.rings import backs_of
from fixplan.frame.defaults import step_of
from fixplan.frame.groups import pin_groups, pins_without_bar
from fixplan.frame.growing import asks_growth
from fixplan.frame.joining import bar_paths, held_by_bars, pins_named
from fixplan.frame.opened import met_words
from fixplan.frame.patterns import frames
from fixplan.limb.kinds import limb_kind


class BuildStep(msgspec.Struct, frozen=True):
    """One line of the build order, the ids of its evidence, and of the pins and bars it puts on."""

    text: str
    evidence: tuple[str, ...]
    subjects: tuple[str, ...] = ()


def order_lines(case: Case) -> tuple[str, ...]:
    """The build order as plain lines, unnumbered; empty for a case without pins."""
    return tuple(step.text for step in build_order(case))


@remembered
def build_order(case: Case) -> tuple[BuildStep, ...]:
    """The steps in order: what is asked, reduce, pins, bars, links, tighten, check.

    Empty without pins.
    """
    if not case.pins:
        return ()
    marked = bool(case.wounds or case.injuries)
    return (
        *([_step("growth_plates")] if asks_growth(case) else []),
        _step(_own_line(case, "reduce")),
        *([_step("vessel")] if marked else []),
        *_pins_and_bars(case),
        _step("skin"),
        _step("tighten"),
        *_supports(case),
        *([_step("back")] if _leaves_back(case) else []),
        _step("recheck"),
    )


def _leaves_back(case: Case) -> bool:
    """Whether a frame leaves the back of a ring that is not told as intact."""
    return case.limb == "pelvis" and set(backs_of(case.ring).values()) != {"intact"}


def _pins_and_bars(case: Case) -> list[BuildStep]:
    """Pins and bars of the frame; pins that no bar holds are told by themselves, at the end."""
    main = [bar for bar in case.bars if _is_main(case, bar)]
    carried = {pin for bar in main for pin in pins_named(bar)}
    loose = pins_without_bar(case) if case.bars else ()
    held = [pin for pin in case.pins if pin not in loose]
    first = _main_bar_first(case, main, [p for p in held if p.id in carried]) if main else []
    first += _pins_first(case, [p for p in held if p.id not in carried], main)
    return first + _side_bars(case) + _across_joints(case) + _links(case) + _loose(loose)


def _is_main(case: Case, bar: Bar) -> bool:
    """Whether a bar goes on its far pins with all its clamps, through which the near pins go."""
    several = len(pins_named(bar)) > 2 and case.limb != "pelvis"
    return several and not _is_link(case, bar) and not _at_heel(case, bar)


def _loose(pins: Sequence[Pin]) -> list[BuildStep]:
    if not pins:
        return []
    stands = f"{pins_in_words(pins).capitalize()} {'stands' if len(pins) == 1 else 'stand'}"
    return [_step("loose_pins", pins, pins=stands)]


def _main_bar_first(case: Case, main: Sequence[Bar], carried: Sequence[Pin]) -> list[BuildStep]:
    """Far pins, the bar on them with all its clamps, then the near pins through the clamps."""
    anchors = {a.pin for bar in main for a in bar.anchors if hasattr(a, "pin")}
    far = [p for p in carried if p.id in anchors]
    near = [p for p in carried if p.id not in anchors]
    clamps = sum(len(pins_named(bar)) for bar in main)
    return [
        *_far(case, far),
        _step(
            "main_bar", main, bars=bars_in_words(main).capitalize(), clamps=_count(clamps, "clamp")
        ),
        *_near(case, near, "through the clamps of the bar"),
    ]


def _pins_first(case: Case, held: Sequence[Pin], main: Sequence[Bar]) -> list[BuildStep]:
    """Pins group by group from proximal, then the short bars on them; `main` bars are on."""
    links = [b for b in case.bars if held_by_bars(b) or _is_link(case, b)]
    short = [b for b in case.bars if b not in (*main, *links) and not _at_heel(case, b)]
    listed = _pin_steps(case, _grouped(case, held))
    for bar in short:
        named = pins_named(bar)
        names = pins_in_words([p for p in case.pins if p.id in named])
        listed.append(_step("short_bars", [bar], bars=f"Bar {bar.number}", pins=names))
    return listed


def _grouped(case: Case, held: Sequence[Pin]) -> list[Pin]:
    """Pins in the order of their groups; all of them where there is no bar yet."""
    order = [pin_id for group in pin_groups(case) for pin_id in group.pins]
    rank = {pin_id: place for place, pin_id in enumerate(order)}
    return sorted(held, key=lambda pin: rank.get(pin.id, len(rank)))


def _pin_steps(case: Case, pins: Iterable[Pin]) -> list[BuildStep]:
    """Pins by how they go in: as the bone asks there, openly, through the heel, or as usual."""
    pins = list(pins)
    ways = _ways_in(case, pins)
    usual = [p for p in pins if p.id not in ways]
    heel = _told_of("heel_pin", usual)
    opened = [p for p in usual if p.open_approach and p not in heel]
    by_hand = [p for p in _told_of("hand_pins", usual) if p not in opened]
    plain = [p for p in usual if p not in (*heel, *opened, *by_hand)]
    own = [
        (way, [p for p in pins if ways.get(p.id) == way]) for way in dict.fromkeys(ways.values())
    ]
    lines = (
        *own,
        ("pins", plain),
        ("hand_pins", by_hand),
        ("open_pins", opened),
        ("heel_pin", heel),
    )
    listed = [
        _step(
            key,
            some,
            pins=words if key == "heel_pin" else words.capitalize(),
            met=met_words(case, some) if key == "open_pins" else "",
        )
        for key, some in lines
        if (words := pins_in_words(some))
    ]
    if _told_of("fingers", pins):
        listed.append(_step("fingers"))
    return listed


def _told_of(key: str, pins: Iterable[Pin]) -> list[Pin]:
    """The pins that a line of the order tells of."""
    line = frames().order[key]
    return [pin for pin in pins if line.tells_of(pin)]


def _ways_in(case: Case, pins: Iterable[Pin]) -> dict[str, str]:
    """The step of each pin whose bone is entered in a way of its own there."""
    limb = limb_of_case(case)
    known = [pin for pin in pins if pin.bone in limb.bones]
    ways = {pin.id: step_of(limb, pin.bone, pin.level_mm) for pin in known}
    return {pin: way for pin, way in ways.items() if way}


def _far(case: Case, pins: list[Pin]) -> list[BuildStep]:
    opened, plain = _by_approach(pins)
    steps = [_step("far_pins", plain, pins=pins_in_words(plain))] if plain else []
    return steps + _opened(case, opened, "Far")


def _near(case: Case, pins: list[Pin], where: str) -> list[BuildStep]:
    opened, plain = _by_approach(pins)
    words = pins_in_words(plain)
    steps = [_step("near_pins", plain, pins=words, where=where)] if plain else []
    return steps + _opened(case, opened, "Near")


def _by_approach(pins: list[Pin]) -> tuple[list[Pin], list[Pin]]:
    """Those that go in through an open approach, and the others."""
    return [p for p in pins if p.open_approach], [p for p in pins if not p.open_approach]


def _opened(case: Case, pins: list[Pin], place: str) -> list[BuildStep]:
    words = f"{place} {pins_in_words(pins)}"
    return [_step("open_pins", pins, pins=words, met=met_words(case, pins))] if pins else []


def _side_bars(case: Case) -> list[BuildStep]:
    """Bars from the heel pin: along the foot, to the leg."""
    bars = [bar for bar in case.bars if _at_heel(case, bar)]
    columns = [bar for bar in bars if _told_of("column_bars", _pins_of(case, bar))]
    sides = [bar for bar in bars if bar not in columns]
    told = (("column_bars", columns), ("side_bars", sides))
    return [_step(key, some, bars=bars_in_words(some).capitalize()) for key, some in told if some]


def _at_heel(case: Case, bar: Bar) -> bool:
    return bool(_told_of("heel_pin", _pins_of(case, bar)))


def _across_joints(case: Case) -> list[BuildStep]:
    return [
        _step(joint.id, (), bend=f"{bend_deg(case, joint.id):.0f}°")
        for joint in limb_kind(case.limb).bending
        if spans(case, joint.id)
    ]


def _links(case: Case) -> list[BuildStep]:
    laid = bar_paths(case)
    known = [b for b in case.bars if _is_link(case, b) and b.id in laid]
    if case.limb == "pelvis":
        return [_step("front_bars", known, bars=bars_in_words(known).capitalize())] if known else []
    to_pins = [bar for bar in known if pins_named(bar)]
    between = [bar for bar in known if bar not in to_pins]
    listed = [_step("link_bars", between, bars=bars_in_words(between).capitalize())]
    return (listed if between else []) + [_link_to_pins(case, bar) for bar in to_pins]


def _link_to_pins(case: Case, bar: Bar) -> BuildStep:
    """A bar from a short bar to a pin that stands alone."""
    named = pins_named(bar)
    pins = pins_in_words([pin for pin in case.pins if pin.id in named])
    return _step("link_to_pins", [bar], bars=f"Bar {bar.number}", pins=pins)


def _is_link(case: Case, bar: Bar) -> bool:
    """Whether a bar joins other bars, or both sides of a pelvis."""
    if case.limb == "pelvis":
        return len(_bones(case, bar)) != 1
    return bool(held_by_bars(bar)) and not _at_heel(case, bar)


def _bones(case: Case, bar: Bar) -> set[str]:
    """The bones whose pins a bar carries; none for a bar on other bars."""
    return {pin.bone for pin in _pins_of(case, bar)}


def _pins_of(case: Case, bar: Bar) -> list[Pin]:
    return _pins_by_bar(case)[bar.id]


@remembered
def _pins_by_bar(case: Case) -> dict[str, list[Pin]]:
    """The pins that each bar names, in the case's order."""
    named = {bar.id: pins_named(bar) for bar in case.bars}
    return {bar: [pin for pin in case.pins if pin.id in ids] for bar, ids in named.items()}


def _supports(case: Case) -> list[BuildStep]:
    return [
        _step(_own_line(case, support.kind), support=support.kind.capitalize())
        for support in case.supports
    ]


def _own_line(case: Case, key: str) -> str:
    """A line's key, or that of its wording for this limb, or for the part that holds all pins.

    `reduce_pelvis` for a pelvis; `reduce_hindfoot` where nothing but the foot is pinned.
    """
    row, limb = limb_kind(case.limb), limb_of_case(case)
    pinned = {limb.bones[pin.bone].segment for pin in case.pins if pin.bone in limb.bones}
    parts = (one.name for one in reversed(row.segments) if pinned <= {*row.beyond(one.name)})
    wordings = (f"{key}_{name}" for name in (*parts, case.limb))
    return next((one for one in wordings if one in frames().order), key)


def _step(key: str, things: Sequence[Pin | Bar] = (), **words: str) -> BuildStep:
    line = frames().order[key]
    return BuildStep(line.text.format(**words), line.evidence, tuple(one.id for one in things))


def pins_in_words(pins: Sequence[Pin]) -> str:
    """The pins by number: `pin 3`, `pins 1 and 2`, `pins 1, 2 and 5`; empty without pins."""
    return _listed("pin", [pin.number for pin in pins])


def bars_in_words(bars: Sequence[Bar]) -> str:
    """The bars by number, worded like pins."""
    return _listed("bar", [bar.number for bar in bars])


def _listed(word: str, numbers: Sequence[int]) -> str:
    names = [str(number) for number in sorted(numbers)]
    if len(names) < 2:
        return f"{word} {names[0]}" if names else ""
    return f"{word}s {', '.join(names[:-1])} and {names[-1]}"


def _count(number: int, word: str) -> str:
    return f"{number} {word}" + ("s" if number != 1 else "")
