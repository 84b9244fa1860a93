"""Bars laid to their pins, and the clamps that follow from it (D15); nothing of this is stored.

Everything is in the posed limb frame in millimetres: x lateral, y anterior, level distal.
"""

from functools import lru_cache
from typing import Literal

import msgspec

from fixplan.case.limbs import pose_of_case
from fixplan.case.records import Bar, BarAnchor, Case, Pin, PinAnchor
from fixplan.case.remembered import remembered
from fixplan.errors import EditError
from fixplan.frame.bar_axis import Hold, bar_axis
from fixplan.frame.pin_lines import PinLine, lines_of
from fixplan.frame.stock import ClampPart, clamp_for, clamp_part, stocked_bar_mm
from fixplan.frame.vectors import Vector, add, along, dot, line_meeting, minus, size, unit
from fixplan.limb.pose import Pose

IN_LINE_MM = 1e-6


class Clamp(msgspec.Struct, frozen=True, kw_only=True):
    """A joint between a bar and a pin or another bar.

    `residual_mm`: by how much the distance of the two axes differs from the clamp's offset. `part`
    names the clamp in parts.toml, None when none takes both diameters. On a pin `end` says at which
    end of it the clamp sits and `out_mm` how far from the skin.
    """

    id: str
    bar: str
    other: str
    at_bar_mm: Vector
    at_other_mm: Vector
    along_mm: float
    residual_mm: float
    reaches: bool
    part: str | None
    end: Literal["outer", "far"] = "outer"
    out_mm: float | None = None


class BarPath(msgspec.Struct, frozen=True, kw_only=True):
    """Where a bar lies: its ends, its clamps, and the length that it needs.

    `origin_mm` is the place beside its first anchor, `direction` runs to the second. `length_mm` is
    needed with overhang; `stock_length_mm` is the typed or next stocked length, None if none is
    long enough; `overhang_mm` is what then stands out at each end (negative: too short).
    """

    bar: Bar
    origin_mm: Vector
    direction: Vector
    outward: Vector
    start_mm: Vector
    end_mm: Vector
    joints: tuple[Clamp, ...]
    length_mm: float
    stock_length_mm: float | None
    overhang_mm: float

    def at(self, along_mm: float) -> Vector:
        """Point on the axis, measured from beside the first anchor."""
        return along(self.origin_mm, self.direction, along_mm)

    @property
    def ends_along_mm(self) -> tuple[float, float]:
        """Both ends, measured from beside the first anchor."""
        start = dot(minus(self.start_mm, self.origin_mm), self.direction)
        return start, start + size(minus(self.end_mm, self.start_mm))


class Laid(msgspec.Struct, frozen=True):
    """All bars that could be laid, by id, and a sentence for each that could not."""

    paths: dict[str, BarPath]
    problems: dict[str, str]


def bar_paths(case: Case) -> dict[str, BarPath]:
    """Paths of all bars that can be laid, by bar id. Raises EditError when bars hold in a ring."""
    return laid_bars(case).paths


@remembered
def laid_bars(case: Case) -> Laid:
    """Lays every bar after those that hold it. Raises EditError when bars hold in a ring."""
    return _laid(pose_of_case(case), case.pins, case.bars)


def laying_order(bars: tuple[Bar, ...]) -> tuple[Bar, ...]:
    """Bars in an order in which each comes after the bars that hold it.

    Raises EditError naming the bars that hold each other in a ring.
    """
    known = {bar.id for bar in bars}
    placed: list[Bar] = []
    waiting = list(bars)
    while waiting:
        done = {bar.id for bar in placed}
        ready = [bar for bar in waiting if held_by_bars(bar) & known <= done]
        if not ready:
            names = " and ".join(f"bar {bar.number}" for bar in waiting)
            raise EditError(f"{names} hold on each other in a ring; anchor one of them on a pin.")
        placed += ready
        waiting = [bar for bar in waiting if bar not in ready]
    return tuple(placed)


def held_by_bars(bar: Bar) -> set[str]:
    """Ids of the bars that a bar is anchored on."""
    return {a.bar for a in bar.anchors if isinstance(a, BarAnchor)}


def pins_named(bar: Bar) -> tuple[str, ...]:
    """Ids of the pins that a bar is to carry, anchors first, each once."""
    anchored = [a.pin for a in bar.anchors if isinstance(a, PinAnchor)]
    return tuple(dict.fromkeys([*anchored, *bar.also]))


@lru_cache(maxsize=64)
def _laid(pose: Pose, pins: tuple[Pin, ...], bars: tuple[Bar, ...]) -> Laid:
    lines = lines_of(pose, pins)
    paths: dict[str, BarPath] = {}
    problems: dict[str, str] = {}
    for bar in laying_order(bars):
        try:
            paths[bar.id] = _lay(bar, lines, paths, bars)
        except EditError as error:
            problems[bar.id] = f"Bar {bar.number} cannot be laid: {error}"
    return Laid({bar.id: paths[bar.id] for bar in bars if bar.id in paths}, problems)


def _lay(
    bar: Bar, lines: dict[str, PinLine], paths: dict[str, BarPath], bars: tuple[Bar, ...]
) -> BarPath:
    missing = [x for x in (*pins_named(bar), *held_by_bars(bar)) if x not in lines | paths]
    if missing:
        raise EditError(f"there is no {', '.join(missing)} to hold it; choose another anchor.")
    return _bar_path(
        bar,
        tuple(lines[x] for x in pins_named(bar)),
        tuple(paths[x] for x in sorted(held_by_bars(bar))),
        _loads_mm(bar.id, bars),
    )


def _loads_mm(bar_id: str, bars: tuple[Bar, ...]) -> tuple[float, ...]:
    """Places along a bar at which other bars hold on it."""
    anchors = [anchor for bar in bars for anchor in bar.anchors]
    return tuple(a.at_mm for a in anchors if isinstance(a, BarAnchor) and a.bar == bar_id)


@lru_cache(maxsize=2048)
def _bar_path(
    bar: Bar, pins: tuple[PinLine, ...], held_by: tuple[BarPath, ...], loads_mm: tuple[float, ...]
) -> BarPath:
    lines = {line.pin.id: line for line in pins}
    paths = {path.bar.id: path for path in held_by}
    holds = [_hold(anchor, lines, paths) for anchor in bar.anchors]
    start, end = bar_axis(holds[0], holds[1], bar.lay, _offset_mm(bar, lines))
    direction = unit(minus(end, start))
    joints = [
        _anchor_joint(bar, anchor, hold, at, size(minus(at, start)), lines, paths)
        for anchor, hold, at in zip(bar.anchors, holds, (start, end), strict=True)
    ]
    anchored = {joint.other for joint in joints}
    joints += [_met(bar, x, start, direction) for x in pins if x.pin.id not in anchored]
    return _with_length(bar, start, direction, _outward(holds), tuple(joints), loads_mm)


def _outward(holds: list[Hold]) -> Vector:
    return unit(add(holds[0].outward, holds[1].outward))


def _offset_mm(bar: Bar, lines: dict[str, PinLine]) -> float:
    return max(_part(bar, anchor, lines)[1].offset_mm for anchor in bar.anchors)


def _part(
    bar: Bar, anchor: PinAnchor | BarAnchor, lines: dict[str, PinLine]
) -> tuple[str | None, ClampPart]:
    if isinstance(anchor, PinAnchor):
        name = clamp_for("pin", lines[anchor.pin].pin.diameter_mm, bar.diameter_mm)
        return name, clamp_part(name, "pin")
    name = clamp_for("bar", bar.diameter_mm, bar.diameter_mm)
    return name, clamp_part(name, "bar")


def _hold(
    anchor: PinAnchor | BarAnchor, lines: dict[str, PinLine], paths: dict[str, BarPath]
) -> Hold:
    if isinstance(anchor, PinAnchor):
        line = lines[anchor.pin]
        way = line.way(anchor.end)
        return Hold(line.out(anchor.end, anchor.out_mm), way, way, on_bar=False)
    path = paths[anchor.bar]
    return Hold(path.at(anchor.at_mm), path.direction, path.outward, on_bar=True)


def _anchor_joint(
    bar: Bar,
    anchor: PinAnchor | BarAnchor,
    hold: Hold,
    at_mm: Vector,
    along_mm: float,
    lines: dict[str, PinLine],
    paths: dict[str, BarPath],
) -> Clamp:
    part, _ = _part(bar, anchor, lines)
    if isinstance(anchor, BarAnchor):
        part = clamp_for("bar", paths[anchor.bar].bar.diameter_mm, bar.diameter_mm)
    other = anchor.pin if isinstance(anchor, PinAnchor) else anchor.bar
    return Clamp(
        id=f"clamp:{bar.id}/{other}",
        bar=bar.id,
        other=other,
        at_bar_mm=at_mm,
        at_other_mm=hold.point,
        along_mm=along_mm,
        residual_mm=0.0,
        reaches=True,
        part=part,
        end=anchor.end if isinstance(anchor, PinAnchor) else "outer",
        out_mm=anchor.out_mm if isinstance(anchor, PinAnchor) else None,
    )


def _met(bar: Bar, line: PinLine, start: Vector, direction: Vector) -> Clamp:
    """Clamp where a further pin passes the bar, with how far their distance is off the offset."""
    part = clamp_for("pin", line.pin.diameter_mm, bar.diameter_mm)
    clamp = clamp_part(part, "pin")
    on_bar, on_pin = line_meeting(start, direction, line.aim, line.outward)
    at_bar, at_pin = along(start, direction, on_bar), along(line.aim, line.outward, on_pin)
    residual = abs(size(minus(at_bar, at_pin)) - clamp.offset_mm)
    end: Literal["outer", "far"] = line.end_at(on_pin)
    out_mm = line.out_mm(on_pin)
    return Clamp(
        id=f"clamp:{bar.id}/{line.pin.id}",
        bar=bar.id,
        other=line.pin.id,
        at_bar_mm=at_bar,
        at_other_mm=at_pin,
        along_mm=on_bar,
        residual_mm=residual,
        reaches=residual <= clamp.reach_mm + IN_LINE_MM and out_mm > 0,
        part=part,
        end=end,
        out_mm=out_mm,
    )


def _with_length(
    bar: Bar,
    start: Vector,
    direction: Vector,
    outward: Vector,
    joints: tuple[Clamp, ...],
    loads_mm: tuple[float, ...],
) -> BarPath:
    places = [joint.along_mm for joint in joints] + list(loads_mm)
    low, high = min(places), max(places)
    needed = high - low + 2 * bar.overhang_mm
    stock = bar.length_mm or stocked_bar_mm(bar.diameter_mm, needed)
    overhang = ((stock or needed) - (high - low)) / 2
    return BarPath(
        bar=bar,
        origin_mm=start,
        direction=direction,
        outward=outward,
        start_mm=along(start, direction, low - overhang),
        end_mm=along(start, direction, high + overhang),
        joints=joints,
        length_mm=needed,
        stock_length_mm=stock,
        overhang_mm=overhang,
    )
