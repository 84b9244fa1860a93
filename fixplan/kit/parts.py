"""Parts to ask for: what one is, in numbers and words, and those that a drawn frame takes."""

from collections import Counter
from collections.abc import Iterator
from typing import Literal, get_args

import msgspec
from msgspec.structs import replace

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Pin
from fixplan.case.remembered import remembered
from fixplan.frame.joining import BarPath, Clamp, bar_paths
from fixplan.frame.lengths import pin_length
from fixplan.frame.stock import clamp_part, drill_for, is_self_drilling, parts

PartKind = Literal[
    "half-pin",
    "through-pin",
    "bar",
    "pin-to-bar clamp",
    "bar-to-bar clamp",
    "multi-pin clamp",
    "drill",
    "sleeve",
    "spanner",
    "pin cap",
    "bar cap",
    "other",
]
KINDS: tuple[PartKind, ...] = get_args(PartKind)
PINS: tuple[PartKind, ...] = ("half-pin", "through-pin")
CLAMPS: tuple[PartKind, ...] = ("pin-to-bar clamp", "bar-to-bar clamp", "multi-pin clamp")
PIN_KIND: dict[str, PartKind] = {"half": "half-pin", "through": "through-pin"}
NAMED_MATERIALS = ("carbon", "steel")


class Part(msgspec.Struct, frozen=True, kw_only=True, order=True):
    """One part as it is asked for; mm, 0 where the kind has no such size.

    `diameter_mm`: of a pin or bar; of the pin that a drill, sleeve or cap is for; of what a clamp
    joins to a bar of `bar_mm`; the jaw of a spanner. `at_least`: any length from `length_mm` up.
    `thread_mm`: the least thread that spans both cortices.
    """

    kind: PartKind
    diameter_mm: float = 0.0
    length_mm: float = 0.0
    bar_mm: float = 0.0
    material: str = ""
    thread_mm: float = 0.0
    at_least: bool = False

    @property
    def name(self) -> str:
        """In words: "half-pin 5 mm, 150 mm"."""
        if self.kind in (*PINS, "bar"):
            more = " or longer" if self.at_least else ""
            made = f"{self.material} " if self.material else ""
            return f"{made}{self.kind} {self.diameter_mm:g} mm, {self.length_mm:.0f} mm{more}"
        return f"{self.kind} {_sizes(self)}".rstrip()

    @property
    def key(self) -> str:
        """A name that a finding's subject can hold: "half-pin/5/150"."""
        sizes = (self.diameter_mm, self.length_mm, self.bar_mm)
        told = [self.material, *(f"{size:g}" if size else "" for size in sizes)]
        return "/".join((self.kind.replace(" ", "-"), *filter(None, told)))


def _sizes(part: Part) -> str:
    if part.kind in CLAMPS:
        joined = "bars" if part.kind == "bar-to-bar clamp" else "pins"
        return f"for {joined} of {part.diameter_mm:g} mm on bars of {part.bar_mm:g} mm"
    if part.kind == "drill":
        pair = drill_for(part.diameter_mm)
        size = f"{pair.drill_mm:.1f} mm" if pair else "as the pin's packet says,"
        return f"{size} for {part.diameter_mm:g} mm pins"
    if part.kind in ("sleeve", "pin cap"):
        return f"for {part.diameter_mm:g} mm pins"
    if part.kind == "bar cap":
        return f"for {part.diameter_mm:g} mm bars"
    return f"{part.diameter_mm:g} mm" if part.diameter_mm else ""


class Need(msgspec.Struct, frozen=True, kw_only=True):
    """So many of one part, and the pins or bars of the drawing that they are for.

    `is_wish`: nobody opens a tray for it, and its lack is no missing part.
    """

    part: Part
    count: int
    owners: tuple[str, ...] = ()
    is_wish: bool = False


@remembered
def needs_of(case: Case) -> tuple[Need, ...]:
    """What the drawn frame takes, in the order of the kinds; without bars that cannot be laid."""
    known = limb_of_case(case).bones
    pins = tuple(pin for pin in case.pins if pin.bone in known)
    paths = bar_paths(case)
    asked = [
        *_pins(case, pins),
        *((bar_part(path), path.bar.id) for path in paths.values()),
        *_clamps(case, paths),
        *_support_parts(case),
    ]
    asked += list(_tools(pins, paths))
    return (*_counted(asked), *_counted(_caps(pins, paths), is_wish=True))


def _counted(asked: "list[tuple[Part, str]]", *, is_wish: bool = False) -> Iterator[Need]:
    counts = Counter(part for part, _ in asked)
    for part in sorted(counts, key=_order):
        owners = dict.fromkeys(owner for own, owner in asked if own == part and owner)
        yield Need(part=part, count=counts[part], owners=tuple(owners), is_wish=is_wish)


def _order(part: Part) -> tuple[int, Part]:
    return KINDS.index(part.kind), part


def _pins(case: Case, pins: tuple[Pin, ...]) -> Iterator[tuple[Part, str]]:
    """The pins; those of one size with the longest thread that any of them needs."""
    found = [(pin_part(case, pin), pin.id) for pin in pins]
    threads: dict[str, float] = {}
    for part, _ in found:
        threads[part.key] = max(threads.get(part.key, 0.0), part.thread_mm)
    yield from ((replace(part, thread_mm=threads[part.key]), id_) for part, id_ in found)


def pin_part(case: Case, pin: Pin) -> Part:
    """The part that a pin of the drawing is."""
    length = pin_length(case, pin)
    chosen = length.stock_mm
    return Part(
        kind=PIN_KIND[pin.kind],
        diameter_mm=pin.diameter_mm,
        length_mm=float(round(length.needed_mm)) if chosen is None else chosen,
        thread_mm=length.thread_needed_mm if length.thread_spans else 0.0,
        at_least=chosen is None,
    )


def bar_part(path: BarPath) -> Part:
    """The part that a bar of the drawing is."""
    chosen = path.stock_length_mm
    return Part(
        kind="bar",
        diameter_mm=path.bar.diameter_mm,
        length_mm=float(round(path.length_mm)) if chosen is None else chosen,
        material=path.bar.material,
        at_least=chosen is None,
    )


def clamp_wanted(case: Case, path: BarPath, joint: Clamp) -> Part:
    """The clamp of one joint, by what it has to take."""
    pins = {pin.id: pin.diameter_mm for pin in case.pins}
    bars = {bar.id: bar.diameter_mm for bar in case.bars}
    if joint.other in pins:
        return _clamp("pin-to-bar clamp", pins[joint.other], path.bar.diameter_mm)
    return _clamp("bar-to-bar clamp", bars[joint.other], path.bar.diameter_mm)


def _clamp(kind: PartKind, first_mm: float, bar_mm: float) -> Part:
    if kind == "bar-to-bar clamp":
        first_mm, bar_mm = min(first_mm, bar_mm), max(first_mm, bar_mm)
    return Part(kind=kind, diameter_mm=first_mm, bar_mm=bar_mm)


def _clamps(case: Case, paths: dict[str, BarPath]) -> Iterator[tuple[Part, str]]:
    for path in paths.values():
        for joint in path.joints:
            yield clamp_wanted(case, path, joint), joint.id


def _support_parts(case: Case) -> Iterator[tuple[Part, str]]:
    """Bars and clamps of a heel stand or foot bar (FR-12)."""
    for support in case.supports:
        taken = parts().supports.get(support.kind)
        if taken is None:
            continue
        for diameter, length, count in taken.bars:
            bar = Part(kind="bar", diameter_mm=diameter, length_mm=length, material="carbon")
            yield from [(bar, support.id)] * count
        for first, second, count in taken.bar_clamps:
            yield from [(_clamp("bar-to-bar clamp", first, second), support.id)] * count


def _tools(pins: tuple[Pin, ...], paths: dict[str, BarPath]) -> Iterator[tuple[Part, str]]:
    """A drill and a sleeve for each diameter of pin, and spanners for each size of nut."""
    for diameter in sorted({pin.diameter_mm for pin in pins}):
        drilled = [
            pin
            for pin in pins
            if pin.diameter_mm == diameter and not is_self_drilling(pin.kind, diameter)
        ]
        if drilled:
            yield Part(kind="drill", diameter_mm=diameter), ""
        yield Part(kind="sleeve", diameter_mm=diameter), ""
    joints = [joint for path in paths.values() for joint in path.joints]
    nuts = {clamp_part(x.part, "bar" if x.other in paths else "pin").spanner_mm for x in joints}
    for nut in sorted(nuts - {0.0}):
        yield from [(Part(kind="spanner", diameter_mm=nut), "")] * parts().small_parts.spanners


def _caps(pins: tuple[Pin, ...], paths: dict[str, BarPath]) -> "list[tuple[Part, str]]":
    small = parts().small_parts
    caps = [
        (Part(kind="pin cap", diameter_mm=pin.diameter_mm), pin.id)
        for pin in pins
        for _ in range(small.caps_a_pin_end * (2 if pin.kind == "through" else 1))
    ]
    return caps + [
        (Part(kind="bar cap", diameter_mm=path.bar.diameter_mm), path.bar.id)
        for path in paths.values()
        for _ in range(small.caps_a_bar)
    ]
