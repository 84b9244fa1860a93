"""The plan that the timings work on: invented, as large as a busy night's."""

import math

from fixplan.case.records import Bar, Case, Fracture, Injury, LimbSize, Pin, PinAnchor
from fixplan.case.scalars import Point

LEVELS_MM = (40.0, 60.0, 80.0, 100.0, 120.0, 140.0, 230.0, 250.0, 270.0, 290.0, 310.0, 330.0)


def busy_case(pins: int = 12, bars: int = 8) -> Case:
    """A tibia with so many pins and bars, and three injuries: six outlines of 24 points."""
    placed = tuple(_pin(n, pins) for n in range(pins))
    return Case(
        side="right",
        size=LimbSize(sex="male", stature_mm=1780),
        fractures=(Fracture(id="fracture-1", bone="tibia", from_mm=180, to_mm=200, code="42B"),),
        injuries=tuple(_injury(n) for n in range(3)),
        pins=placed,
        bars=tuple(
            _bar(n, placed[n % len(placed)], placed[-1 - n % len(placed)]) for n in range(bars)
        ),
        last_number=pins + bars,
    )


def moved(case: Case, by_mm: float) -> Case:
    """The same case with its third pin slid along the bone."""
    pins = list(case.pins)
    pin = pins[2]
    pins[2] = Pin(
        **{f: getattr(pin, f) for f in pin.__struct_fields__} | {"level_mm": pin.level_mm + by_mm}
    )
    return Case(**{f: getattr(case, f) for f in case.__struct_fields__} | {"pins": tuple(pins)})


def _pin(n: int, count: int) -> Pin:
    level = LEVELS_MM[n] if count <= len(LEVELS_MM) else 40.0 + 290.0 * n / count
    return Pin(
        id=f"pin-{n + 1}",
        number=n + 1,
        bone="tibia",
        level_mm=level,
        bearing_deg=120,
        diameter_mm=5,
    )


def _bar(n: int, first: Pin, second: Pin) -> Bar:
    anchors = (PinAnchor(pin=first.id, out_mm=30.0 + n), PinAnchor(pin=second.id, out_mm=30.0 + n))
    return Bar(id=f"bar-{n + 1}", number=n + 1, anchors=anchors)


def _injury(n: int) -> Injury:
    centre = (0.0, 185.0 + 8 * n)
    return Injury(
        id=f"injury-{n + 1}", segment="leg", front=_ring(centre, 35, 24), side=_ring(centre, 40, 24)
    )


def _ring(centre: Point, radius: float, count: int) -> tuple[Point, ...]:
    turns = [2 * math.pi * k / count for k in range(count)]
    return tuple(
        (centre[0] + radius * math.cos(t), centre[1] + radius * math.sin(t)) for t in turns
    )
