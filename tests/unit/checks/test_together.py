"""What is looked up for many pins at once is what is found of each alone."""

import pytest
from msgspec.structs import replace

from fixplan.case.records import Case, Injury
from fixplan.checks import together
from fixplan.checks.hazards import gaps_of
from fixplan.checks.scene import Scene, scene_of
from fixplan.checks.soft_tissue import gaps_in_own_segment
from fixplan.checks.together import Together
from tests.unit.checks.conftest import square, tibial_pin

RING = square(170.0, 220.0, 32.0)
PINS = tuple(
    tibial_pin(n, level, bearing_deg=float(bearing), tilt_deg=float(tilt))
    for n, (level, bearing, tilt) in enumerate(
        [(60.0, 100.0, 0.0), (150, 20, 8), (200, 250, 0), (210, 120, -15), (330, 90, 0)], start=1
    )
)
CASE = Case(
    side="right",
    pins=PINS,
    injuries=(
        Injury(id="injury-1", segment="leg", front=RING, side=RING),
        Injury(id="injury-2", segment="leg", front=RING[:3]),
        Injury(id="injury-3", segment="thigh", side=RING),
    ),
)


@pytest.mark.parametrize("find", [gaps_of, gaps_in_own_segment])
def test_together_as_alone(find) -> None:
    scene = scene_of(CASE)
    find.forget()
    find.look_up(scene, PINS)
    at_once = [find(scene, pin) for pin in PINS]
    find.forget()
    assert [find(scene, pin) for pin in PINS] == at_once
    assert sum(map(len, at_once)) > len(PINS)


def test_only_what_is_not_known_is_looked_up(monkeypatch) -> None:
    asked: list[tuple[int, ...]] = []

    def find(scene: Scene, pins):
        del scene
        asked.append(tuple(pin.number for pin in pins))
        return [pin.level_mm for pin in pins]

    levels, scene = Together(find), scene_of(CASE)
    levels.look_up(scene, (*PINS[:2], PINS[0]))
    levels.look_up(scene, PINS[:3])
    moved = replace(PINS[0], level_mm=61.0)
    assert [levels(scene, pin) for pin in (*PINS[:3], moved)] == [60, 150, 200, 61]
    assert asked == [(1, 2), (3,), (1,)]
    monkeypatch.setattr(together, "MOST_KNOWN", 4)
    assert levels(scene, PINS[4]) == 330
    assert levels(scene, PINS[0]) == 60
    assert asked[3:] == [(5,), (1,)]
