"""What a well-formed case can still get wrong: ids, numbers, ranges, anchors and outlines."""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from functools import lru_cache

from fixplan.case.built_meaning import built_problems
from fixplan.case.crossing import line_problem, outline_problem
from fixplan.case.dead_space_meaning import care_problems
from fixplan.case.film_meaning import film_problems
from fixplan.case.growing import growth_problems
from fixplan.case.records import (
    AsBuilt,
    Bar,
    BarAnchor,
    Candidate,
    Case,
    Fracture,
    FreeOutline,
    Incision,
    Injury,
    KeptPlan,
    Nail,
    Pin,
    PinAnchor,
    Plate,
    Support,
    Wound,
)
from fixplan.case.rings import ring_problems
from fixplan.case.scalars import Point, Record
from fixplan.case.trip_meaning import course_problems
from fixplan.limb.kinds import limb_kind
from fixplan.limb.reference import is_seen_from_above

Drawn = Fracture | Wound | Injury | Candidate | Pin | Bar | Support


def drawn_things(case: Case) -> tuple[Drawn, ...]:
    """Everything in the case that has an id, in the order in which a surgeon draws it."""
    return (
        *case.fractures,
        *case.wounds,
        *case.injuries,
        *case.candidates,
        *case.pins,
        *case.bars,
        *case.supports,
    )


def case_problems(case: Case) -> tuple[str, ...]:
    """Every error of meaning in the case, one clause each; empty when there is none."""
    things = drawn_things(case)
    return (
        *_side_problems(case),
        *ring_problems(case),
        *growth_problems(case),
        *_repeated_ids(case),
        *_number_problems(case),
        *(f"{thing.id} {text}" for thing in things for text in record_problems(thing)),
        *_anchor_problems(case),
        *_support_problems(case),
        *_linked_problems(case),
        *film_problems(case),
        *built_problems(case),
        *care_problems(case),
        *course_problems(case),
        *_kept_plan_problems(case),
        *_built_plan_problems(case),
    )


def _kept_plan_problems(case: Case) -> Iterator[str]:
    for kept in case.kept_plans:
        if not kept.plan.kept_plans:
            yield from (
                f"in the plan kept for {kept.trip}, {text}" for text in _sense_of_kept(kept)
            )


@lru_cache(maxsize=64)
def _sense_of_kept(kept: KeptPlan) -> tuple[str, ...]:
    return case_problems(kept.plan)


def _built_plan_problems(case: Case) -> Iterator[str]:
    """Of the plan that was built, unless it holds plans of its own, which is told elsewhere."""
    if case.built is not None and case.built.plan.built is None and not case.built.plan.kept_plans:
        yield from (f"in the plan that was built, {text}" for text in _sense_of_plan(case.built))


@lru_cache(maxsize=16)
def _sense_of_plan(built: AsBuilt) -> tuple[str, ...]:
    return case_problems(built.plan)


def _side_problems(case: Case) -> Iterator[str]:
    sides = limb_kind(case.limb).sides
    if case.side not in sides:
        yield f"side is {case.side!r}, and a {case.limb} is {' or '.join(sides)}"


@lru_cache(maxsize=2048)
def record_problems(record: Record) -> tuple[str, ...]:
    """What is wrong with one record taken by itself, as clauses that follow its id."""
    return tuple(_PROBLEMS[type(record)](record))


def _fracture_problems(fracture: Fracture) -> Iterator[str]:
    yield from _range_problems(fracture.from_mm, fracture.to_mm)


def _wound_problems(wound: Wound) -> Iterator[str]:
    if bool(wound.outline) == bool(wound.line):
        yield "needs either an outline or a line"
    yield from _drawn_problems("outline", wound.outline)
    if wound.line and (problem := line_problem(wound.line)):
        yield f"line {problem}"


def _pair_problems(drawn: Injury | FreeOutline) -> Iterator[str]:
    if not drawn.front and not drawn.side:
        yield "has no outline in either view"
    yield from _drawn_problems("front", drawn.front)
    yield from _drawn_problems("side", drawn.side)
    if drawn.front and drawn.side and not _share_levels(drawn.segment, drawn.front, drawn.side):
        yield "has front and side outlines that share no level; draw both round the same place"


def _incision_problems(part: Incision) -> Iterator[str]:
    if problem := line_problem(part.line):
        yield f"line {problem}"


def _plate_problems(part: Plate) -> Iterator[str]:
    yield from _range_problems(part.from_mm, part.to_mm, strict=True)


def _nail_problems(part: Nail) -> Iterator[str]:
    yield from _range_problems(part.from_mm, part.to_mm, strict=True)
    for low, high in (part.entry_zone, *part.locking_zones):
        yield from _range_problems(low, high)


def _candidate_problems(candidate: Candidate) -> Iterator[str]:
    for index, part in enumerate(candidate.parts):
        yield from (f"parts[{index}] {text}" for text in record_problems(part))


def _pin_problems(pin: Pin) -> Iterator[str]:
    yield from _numbered_problems(pin.id, "pin", pin.number)


def _bar_problems(bar: Bar) -> Iterator[str]:
    yield from _numbered_problems(bar.id, "bar", bar.number)
    first, second = bar.anchors
    if _held(first) == _held(second):
        yield f"is held twice by {_held(first)}; it needs two different anchors"
    held = [_held(anchor) for anchor in bar.anchors if isinstance(anchor, PinAnchor)]
    for pin, count in Counter([*held, *bar.also]).items():
        if count > 1 and pin in bar.also:
            yield f"names {pin} more than once"


def _splint_problems(support: Support) -> Iterator[str]:
    if support.kind == "splint":
        yield from _range_problems(support.from_mm, support.to_mm, strict=True)


_PROBLEMS: Mapping[type[Record], Callable[..., Iterator[str]]] = {
    Fracture: _fracture_problems,
    Wound: _wound_problems,
    Injury: _pair_problems,
    FreeOutline: _pair_problems,
    Incision: _incision_problems,
    Plate: _plate_problems,
    Nail: _nail_problems,
    Candidate: _candidate_problems,
    Pin: _pin_problems,
    Bar: _bar_problems,
    Support: _splint_problems,
}


def _range_problems(from_mm: float, to_mm: float, *, strict: bool = False) -> Iterator[str]:
    if from_mm > to_mm or (strict and from_mm == to_mm):
        yield f"runs from {from_mm:g} to {to_mm:g} mm; the distal level must be the larger"


def _drawn_problems(name: str, outline: tuple[Point, ...]) -> Iterator[str]:
    if outline and (problem := outline_problem(outline)):
        yield f"{name} {problem}"


def _share_levels(segment: str, front: tuple[Point, ...], side: tuple[Point, ...]) -> bool:
    """Whether the views overlap along the segment; the foot's front view is seen from above."""
    along = [u for u, _ in side] if is_seen_from_above(segment) else [v for _, v in side]
    low = max(min(v for _, v in front), min(along))
    high = min(max(v for _, v in front), max(along))
    return low < high


def _numbered_problems(id_: str, kind: str, number: int) -> Iterator[str]:
    """The printed number is the number in the id (D17)."""
    tail = id_.removeprefix(f"{kind}-")
    if tail != id_ and tail.isdecimal() and tail != str(number):
        yield f"has number {number}; its id says {tail}"


def _held(anchor: PinAnchor | BarAnchor) -> str:
    return anchor.pin if isinstance(anchor, PinAnchor) else anchor.bar


def _repeated_ids(case: Case) -> Iterator[str]:
    counts = Counter(thing.id for thing in drawn_things(case))
    yield from (f"the id {id_} is used {n} times" for id_, n in counts.items() if n > 1)


def _number_problems(case: Case) -> Iterator[str]:
    pins = Counter(pin.number for pin in case.pins)
    bars = Counter(bar.number for bar in case.bars)
    for kind, counts in (("pin", pins), ("bar", bars)):
        yield from (f"{kind} number {n} is used {k} times" for n, k in counts.items() if k > 1)
    if pins and case.last_number < max(pins):
        yield f"last_number is {case.last_number} but a pin has number {max(pins)}"


def _anchor_problems(case: Case) -> Iterator[str]:
    pins = {pin.id: pin for pin in case.pins}
    bars = {bar.id: bar for bar in case.bars}
    for bar in case.bars:
        for anchor in bar.anchors:
            if isinstance(anchor, BarAnchor):
                if anchor.bar not in bars:
                    yield f"{bar.id} is anchored on {anchor.bar}, which is not in the case"
            else:
                yield from _pin_anchor_problems(bar, anchor, pins)
        for pin_id in bar.also:
            if pin_id not in pins:
                yield f"{bar.id} also carries {pin_id}, which is not in the case"
    yield from _circles(bars)


def _pin_anchor_problems(bar: Bar, anchor: PinAnchor, pins: dict[str, Pin]) -> Iterator[str]:
    pin = pins.get(anchor.pin)
    if pin is None:
        yield f"{bar.id} is anchored on {anchor.pin}, which is not in the case"
    elif anchor.end == "far" and pin.kind != "through":
        yield f"{bar.id} is anchored on the far end of {pin.id}, which is not a through-pin"


def _circles(bars: dict[str, Bar]) -> Iterator[str]:
    """Bars that hold on to each other in a circle: nothing then says where any of them lies."""
    standing: set[str] = set()
    waiting = dict(bars)
    while True:
        ready = [id_ for id_, bar in waiting.items() if _bars_under(bar, bars) <= standing]
        if not ready:
            break
        standing.update(ready)
        for id_ in ready:
            del waiting[id_]
    for id_ in waiting:
        yield f"{id_} is anchored on itself or on a bar that hangs on it"


def _bars_under(bar: Bar, bars: dict[str, Bar]) -> set[str]:
    named = {anchor.bar for anchor in bar.anchors if isinstance(anchor, BarAnchor)}
    return {id_ for id_ in named if id_ in bars}


def _support_problems(case: Case) -> Iterator[str]:
    bars = {bar.id for bar in case.bars}
    for support in case.supports:
        if support.bar is not None and support.bar not in bars:
            yield f"{support.id} hangs on {support.bar}, which is not in the case"


def _linked_problems(case: Case) -> Iterator[str]:
    for name, count in Counter(case.linked).items():
        if count > 1:
            yield f"the linked case {name} is named {count} times"
