"""A leg of the reference adult with a frame, for tests that change one thing about it."""

import pytest

from fixplan.case.records import Bar, Case, Fracture, Injury, LimbSize, Pin, PinAnchor


def tibial_pin(number: int, level_mm: float, **fields: object) -> Pin:
    told: dict[str, object] = {"bearing_deg": 120.0, "diameter_mm": 5.0, "bone": "tibia"}
    told.update(fields)
    return Pin(id=f"pin-{number}", number=number, level_mm=level_mm, **told)


def square(low_mm: float, high_mm: float, half_mm: float = 40.0) -> tuple[tuple[float, float], ...]:
    return (
        (-half_mm, low_mm),
        (half_mm, low_mm),
        (half_mm, high_mm),
        (-half_mm, high_mm),
    )


@pytest.fixture
def leg() -> Case:
    """A tibia broken at 180 to 210 in an open zone from 160 to 230, four pins, one bar."""
    levels = (60.0, 120.0, 270.0, 330.0)
    return Case(
        side="right",
        size=LimbSize(sex="male", stature_mm=1750.0, mass_kg=80.0),
        fractures=(Fracture(id="fracture-1", bone="tibia", from_mm=180.0, to_mm=210.0),),
        injuries=(Injury(id="injury-1", segment="leg", front=square(160.0, 230.0)),),
        pins=tuple(tibial_pin(n, level) for n, level in enumerate(levels, 1)),
        bars=(
            Bar(
                id="bar-1",
                number=1,
                anchors=(PinAnchor(pin="pin-1", out_mm=45.0), PinAnchor(pin="pin-4", out_mm=45.0)),
                also=("pin-2", "pin-3"),
            ),
        ),
        last_number=4,
    )
