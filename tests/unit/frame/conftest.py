"""Cases on the reference adult with pins and bars where the arithmetic is easy."""

import pytest

from fixplan.case.records import Bar, Case, Fracture, LimbSize, Pin, PinAnchor

REFERENCE = LimbSize(sex="male", stature_mm=1750, mass_kg=80)


def tibia_pin(number: int, level_mm: float, bearing_deg: float = 120.0, **fields) -> Pin:
    fields = {"bone": "tibia", "diameter_mm": 5.0, **fields}
    return Pin(
        id=f"pin-{number}", number=number, level_mm=level_mm, bearing_deg=bearing_deg, **fields
    )


def heel_pin(number: int, **fields) -> Pin:
    fields = {"bone": "calcaneus", "kind": "through", "diameter_mm": 6.0, **fields}
    return tibia_pin(number, 24.0, 180.0, **fields)


def bar_on(number: int, first: str, second: str, out_mm: float = 40.0, **fields) -> Bar:
    anchors = (PinAnchor(pin=first, out_mm=out_mm), PinAnchor(pin=second, out_mm=out_mm))
    return Bar(id=f"bar-{number}", number=number, anchors=anchors, **fields)


def case_with(*pins: Pin, bars: tuple[Bar, ...] = (), **fields) -> Case:
    fields = {"side": "right", "size": REFERENCE, "last_number": len(pins), **fields}
    return Case(pins=pins, bars=bars, **fields)


@pytest.fixture
def shaft_fracture() -> Fracture:
    return Fracture(id="fracture-1", bone="tibia", from_mm=170, to_mm=210)


@pytest.fixture
def two_pins_and_a_bar() -> Case:
    return case_with(tibia_pin(1, 100), tibia_pin(2, 180), bars=(bar_on(1, "pin-1", "pin-2"),))
