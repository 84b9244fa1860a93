"""What the frame as drawn takes, counted: pins by diameter and length, bars, clamps."""

from collections import Counter
from typing import Literal

import msgspec

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Bar, Case, Pin
from fixplan.frame.joining import BarPath, bar_paths
from fixplan.frame.lengths import pin_length
from fixplan.frame.stock import clamp_part, parts

PartKind = Literal["pin", "bar", "clamp"]


class PartCount(msgspec.Struct, frozen=True, kw_only=True):
    """How many of one part. `stocked` False: no listed part serves; `name` says what is needed."""

    kind: PartKind
    name: str
    count: int
    stocked: bool = True

    @property
    def words(self) -> str:
        """As on the sheet: `4 x half-pin 5 mm, 150 mm`."""
        return f"{self.count} \u00d7 {self.name}"


def kit_list(case: Case) -> tuple[PartCount, ...]:
    """All parts of the frame: pins, bars, clamps, each sorted by name; without bars not laid."""
    paths = bar_paths(case)
    known = limb_of_case(case).bones
    pins = Counter(_pin_part(case, pin) for pin in case.pins if pin.bone in known)
    bars = Counter(_bar_part(path) for path in paths.values())
    clamps = Counter(_clamp_parts(paths))
    return (*_counted("pin", pins), *_counted("bar", bars), *_counted("clamp", clamps))


def _counted(kind: PartKind, parts_: "Counter[tuple[str, bool]]") -> list[PartCount]:
    return [
        PartCount(kind=kind, name=name, count=count, stocked=stocked)
        for (name, stocked), count in sorted(parts_.items())
    ]


def _pin_part(case: Case, pin: Pin) -> tuple[str, bool]:
    length = pin_length(case, pin)
    name = f"{pin.kind}-pin {pin.diameter_mm:g} mm"
    if length.stock_mm is None:
        return f"{name}, {length.needed_mm:.0f} mm or longer (none stocked)", False
    return f"{name}, {length.stock_mm:g} mm", length.is_stocked


def _bar_part(path: BarPath) -> tuple[str, bool]:
    bar = path.bar
    name = f"{bar.material} bar {bar.diameter_mm:g} mm"
    if path.stock_length_mm is None:
        return f"{name}, {path.length_mm:.0f} mm or longer (none stocked)", False
    return f"{name}, {path.stock_length_mm:g} mm", _is_stocked(bar, path.stock_length_mm)


def _is_stocked(bar: Bar, length_mm: float) -> bool:
    return any(
        b.diameter_mm == bar.diameter_mm
        and length_mm in b.lengths_mm
        and bar.material in b.materials
        for b in parts().bars.values()
    )


def _clamp_parts(paths: dict[str, BarPath]) -> list[tuple[str, bool]]:
    joints = [joint for path in paths.values() for joint in path.joints]
    return [
        (clamp_part(j.part, "bar" if j.other in paths else "pin").name, j.part is not None)
        for j in joints
    ]
