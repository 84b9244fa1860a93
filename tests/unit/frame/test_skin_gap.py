"""Bar to skin, against densely sampled skin and against a round limb."""

import numpy as np
import pytest
from msgspec.structs import replace

from fixplan.case.limbs import limb_of_case, pose_of_case
from fixplan.frame.joining import bar_paths
from fixplan.frame.skin_gap import bar_gap, least_to_rings, rings_near
from fixplan.limb.scale import limb_of
from tests.unit.frame.conftest import bar_on, case_with, tibia_pin


def sampled_gap(case, bar_id: str) -> float:
    """Least distance of 400 places on the bar to all skin rings at 1 mm, less its radius."""
    path = bar_paths(case)[bar_id]
    pose, limb = pose_of_case(case), limb_of_case(case)
    shares = np.linspace(0, 1, 400)[:, None]
    places = np.array(path.start_mm) * (1 - shares) + np.array(path.end_mm) * shares
    least = np.inf
    for segment, span in limb.segments.items():
        local = pose.from_limb(segment, places)
        levels = np.arange(
            max(span.from_mm, local[:, 2].min() - 80), min(span.to_mm, local[:, 2].max() + 80)
        )
        for level in levels:
            ring = limb.skin(segment, float(level))
            if ring is not None:
                points = np.column_stack([ring, np.full(len(ring), level)])
                gaps = np.linalg.norm(local[:, None] - points[None], axis=2)
                least = min(least, gaps.min())
    return least - path.bar.diameter_mm / 2


@pytest.mark.parametrize(
    ("first", "second", "out"),
    [((100, 120), (200, 120), 40.0), ((60, 110), (330, 150), 50.0), ((90, 20), (260, 170), 90.0)],
)
def test_gap_agrees_with_dense_sampling(first, second, out) -> None:
    case = case_with(
        tibia_pin(1, *first), tibia_pin(2, *second), bars=(bar_on(1, "pin-1", "pin-2", out),)
    )
    assert bar_gap(case, "bar-1").least_mm == pytest.approx(sampled_gap(case, "bar-1"), abs=1.0)


def test_a_bar_through_the_limb_has_a_negative_gap() -> None:
    case = case_with(
        tibia_pin(1, 100, 0.0), tibia_pin(2, 300, 180.0), bars=(bar_on(1, "pin-1", "pin-2"),)
    )
    gap = bar_gap(case, "bar-1")
    assert gap.least_mm < -10
    assert gap.segment == "leg"


def test_moving_a_bar_out_never_lessens_its_gap() -> None:
    gaps = []
    for out in (20.0, 30.0, 45.0, 60.0):
        case = case_with(
            tibia_pin(1, 100), tibia_pin(2, 200), bars=(bar_on(1, "pin-1", "pin-2", out),)
        )
        gaps.append(bar_gap(case, "bar-1").least_mm)
    assert gaps == sorted(gaps)


def test_most_is_told_at_the_pin_that_stands_out_furthest() -> None:
    case = case_with(
        tibia_pin(1, 100),
        tibia_pin(2, 150),
        tibia_pin(3, 200),
        bars=(bar_on(1, "pin-1", "pin-3", 60.0, also=("pin-2",)),),
    )
    joints = bar_paths(case)["bar-1"].joints
    gap = bar_gap(case, "bar-1")
    assert gap.most_mm == pytest.approx(max(j.out_mm for j in joints) - 5.5)
    assert gap.most_at in {"pin-1", "pin-2", "pin-3"}


def test_a_bar_that_is_not_laid_has_no_gap() -> None:
    assert (
        bar_gap(case_with(tibia_pin(1, 100), bars=(bar_on(1, "pin-1", "pin-9"),)), "bar-1") is None
    )


def test_the_gap_is_the_same_for_a_left_limb() -> None:
    case = case_with(
        tibia_pin(1, 100), tibia_pin(2, 200), bars=(bar_on(1, "pin-1", "pin-2", 40.0),)
    )
    assert bar_gap(replace(case, side="left"), "bar-1") == bar_gap(case, "bar-1")


def test_leaving_out_far_rings_changes_nothing() -> None:
    limb, random = limb_of("leg"), np.random.default_rng(5)
    outside = 0
    for _ in range(200):
        levels = random.uniform(20, 340, size=2)
        ends = np.column_stack((random.uniform(-150, 150, size=(2, 2)), levels))
        rings = rings_near(limb, "leg", float(levels.min()) - 60, float(levels.max()) + 60)
        run, points = ends[1] - ends[0], rings.points.T
        share = np.clip((points - ends[0]) @ run / (run @ run), 0, 1)[:, None]
        off = np.linalg.norm(points - ends[0] - share * run, axis=1)
        least, at = least_to_rings(ends, rings)
        if least > 0:
            outside += 1
            assert least == pytest.approx(off.min(), abs=1e-9)
            assert np.linalg.norm(points - at, axis=1).min() == pytest.approx(least, abs=1e-9)
    assert 50 < outside < 200
