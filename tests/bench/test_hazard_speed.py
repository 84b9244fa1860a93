"""Nerves and vessels of 12 pins: nothing remembered of the pins, then one pin that moves.

Yardstick in the same run: one vectorised `shapely.distance` of every pin's axis to every stretch of
a track of its segment, in both views.
"""

import time
from collections.abc import Callable

import numpy as np
import pytest
import shapely
from msgspec.structs import replace

from fixplan.case.records import Pin
from fixplan.checks.hazards import gaps_of
from fixplan.checks.register import PIN_CHECKS
from fixplan.checks.run import check
from fixplan.checks.scene import Scene, scene_of
from fixplan.geometry.hazard_tracks import stretches_between
from fixplan.geometry.paths import pin_path
from tests.bench.cases import busy_case

KINDS = (
    "hazard-gap",
    "hazard-to-protect",
    "pin-in-spread",
    "pin-in-joint-space",
    "pin-through-other-bone",
    "pin-in-band",
)
TURNS = 30


def least_s(work: Callable[[], object]) -> float:
    spent = []
    for _ in range(TURNS):
        start = time.perf_counter()
        work()
        spent.append(time.perf_counter() - start)
    return min(spent)


def judge(scene: Scene, pins: tuple[Pin, ...]) -> None:
    for pin in pins:
        for rule in scene.rules:
            if rule.kind in KINDS:
                list(PIN_CHECKS[rule.kind](rule, scene, pin))


@pytest.fixture
def scene() -> Scene:
    check(busy_case())
    found = scene_of(busy_case())
    judge(found, busy_case().pins)
    return found


def yardstick_s(scene: Scene, pins: tuple[Pin, ...]) -> float:
    pairs = []
    for pin in pins:
        path = pin_path(scene.limb, pin)
        tracks = stretches_between(scene.limb, path.segment, -1000.0, 1000.0)
        ends = np.array([path.skin_point_mm, path.tip_mm])
        for u in (0, 1):
            stretches = shapely.linestrings(
                np.stack((tracks.start[:, [u, 2]], tracks.end[:, [u, 2]]), axis=1)
            )
            pairs.append((shapely.LineString(ends[:, [u, 2]]), stretches))
    return least_s(lambda: [shapely.distance(axis, tracks) for axis, tracks in pairs])


def test_hazards_of_twelve_pins(scene: Scene, told) -> None:
    pins = busy_case().pins
    assert len(pins) == 12

    def cold() -> None:
        gaps_of.forget()
        gaps_of.look_up(scene, pins)
        judge(scene, pins)

    ratio = told(
        "nerves and vessels of 12 pins",
        least_s(cold),
        "plane distances to all stretches",
        yardstick_s(scene, pins),
        2,
    )
    assert ratio < 2


def test_one_pin_that_moves(scene: Scene, told) -> None:
    pins = busy_case().pins
    steps = iter(range(1, 10_000))

    def step() -> None:
        pin = pins[0]
        moved = replace(pin, level_mm=pin.level_mm + 0.013 * next(steps))
        pin_path(scene.limb, moved)
        judge(scene, (moved,))

    known = yardstick_s(scene, pins)
    assert told("one moved pin", least_s(step), "the same yardstick", known, 0.5) < 0.5
