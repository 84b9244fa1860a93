"""Gaps of pins to tracks in space, against dense sampling and plain arithmetic."""

import math

import numpy as np
import pytest

from fixplan.case.records import Pin
from fixplan.geometry.hazard_gaps import Body, gaps_to, hazard_gaps, hazard_gaps_of_each
from fixplan.geometry.hazard_tracks import Stretches, Structure, stretches_between
from fixplan.geometry.paths import pin_path
from fixplan.limb.scale import limb_of


def one_stretch(start, end, radius=1.0, radius_end=None):
    return Stretches(
        (np.array([start], dtype=float), np.array([end], dtype=float)),
        (np.array([radius]), np.array([radius if radius_end is None else radius_end])),
        np.zeros(1, dtype=np.intp),
        (Structure("nerve", "nerve", "nerve", "critical"),),
    )


def body(tip_at=-20.0, radius=2.5):
    """A pin along x whose outer part points to +x."""
    return Body(np.zeros(3), np.array((1.0, 0.0, 0.0)), radius, tip_at)


def sampled(pin, tracks, count=4001):
    """Least gap for each side, by going along every stretch in small steps."""
    share = np.linspace(0, 1, count)[:, None]
    best = {"near": math.inf, "far": math.inf}
    for i in range(len(tracks)):
        points = tracks.start[i] + share * (tracks.end[i] - tracks.start[i]) - pin.aim_mm
        radius = tracks.radius[i] + share[:, 0] * (tracks.radius_end[i] - tracks.radius[i])
        at = points @ pin.outward
        aside = np.linalg.norm(points - at[:, None] * pin.outward, axis=1) - pin.radius_mm
        past = np.maximum(pin.tip_at_mm - at, 0)
        gap = np.where(past > 0, np.hypot(np.maximum(aside, 0), past), aside) - radius
        for part, there in (("near", at >= 0), ("far", at < 0)):
            if there.any():
                best[part] = min(best[part], float(gap[there].min()))
    return best


def test_a_track_that_crosses_beside_the_pin():
    (gap,) = gaps_to(body(), one_stretch((10, 8, -2), (10, 8, 2)), 20)
    assert (gap.part, gap.gap_mm, gap.at_mm) == ("near", pytest.approx(8 - 2.5 - 1), 10)


def test_past_the_flat_end_the_face_counts():
    (gap,) = gaps_to(body(), one_stretch((-24, 1, -2), (-24, 1, 2)), 20)
    assert (gap.part, gap.gap_mm) == ("far", pytest.approx(4 - 1, abs=1e-3))
    (rim,) = gaps_to(body(), one_stretch((-24, 5.5, -2), (-24, 5.5, 2)), 20)
    assert rim.gap_mm == pytest.approx(math.hypot(4, 3) - 1, abs=1e-3)


def test_a_through_pin_has_no_end():
    (gap,) = gaps_to(body(tip_at=-math.inf), one_stretch((-24, 1, -2), (-24, 1, 2)), 20)
    assert gap.gap_mm == pytest.approx(1 - 2.5 - 1)


def test_a_track_on_both_sides_answers_twice():
    found = gaps_to(body(), one_stretch((-10, 6, 0), (10, 4, 2)), 20)
    assert [gap.part for gap in found] == ["near", "far"]
    assert found[0].gap_mm < found[1].gap_mm


def test_a_track_that_thickens_is_nearest_where_gap_not_axis_is_least():
    tracks = one_stretch((10, 8, -2), (10, 8, 2), radius=1.0, radius_end=3.0)
    (gap,) = gaps_to(body(), tracks, 20)
    assert gap.gap_mm == pytest.approx(sampled(body(), tracks)["near"], abs=1e-5)
    assert gap.gap_mm < 8 - 2.5 - 2


def test_nothing_farther_than_asked_is_answered():
    assert gaps_to(body(), one_stretch((10, 30, -2), (10, 30, 2)), 20) == ()


def test_random_tilted_pins_agree_with_sampling():
    random = np.random.default_rng(3)
    for _ in range(200):
        outward = random.normal(size=3)
        pin = Body(
            random.normal(size=3),
            outward / np.linalg.norm(outward),
            float(random.uniform(1, 3)),
            -float(random.uniform(5, 20)),
        )
        start = random.uniform(-25, 25, size=3)
        end = start + random.uniform(-4, 4, size=3)
        tracks = one_stretch(start, end, *random.uniform(0.5, 4, size=2))
        found = {gap.part: gap.gap_mm for gap in gaps_to(pin, tracks, 100)}
        expected = {part: gap for part, gap in sampled(pin, tracks).items() if gap < 100}
        assert set(found) >= set(expected)
        for part, gap in expected.items():
            assert found[part] == pytest.approx(gap, abs=2e-3)


@pytest.mark.parametrize("tilt", [-25.0, 0.0, 12.0])
@pytest.mark.parametrize(
    ("bone", "level", "kind"),
    [("femur", 150.0, "half"), ("tibia", 200.0, "half"), ("calcaneus", 24.0, "through")],
)
def test_pins_in_a_limb_agree_with_sampling(bone, level, kind, tilt):
    limb = limb_of("leg")
    pin = Pin(
        id="pin-1",
        number=1,
        bone=bone,
        level_mm=level,
        bearing_deg=140.0,
        tilt_deg=tilt,
        diameter_mm=5.0,
        tip_mm=2.0,
        kind=kind,
    )
    path = pin_path(limb, pin)
    found = hazard_gaps(limb, path, 15.0)
    assert list(found) == sorted(found, key=lambda gap: gap.gap_mm)
    assert found
    end = -math.inf if kind == "through" else path.tip_end_mm
    whole = stretches_between(limb, path.segment, -1000, 1000).graded(("critical",))
    expected = sampled(Body(path.aim_mm, path.outward, path.radius_mm, end), whole, 201)
    assert found[0].gap_mm == pytest.approx(min(expected.values()), abs=0.01)
    if kind == "through":
        assert {gap.part for gap in found} == {"near"}


def test_pins_asked_at_once_are_told_what_each_is_told_alone():
    limb = limb_of("leg")
    pins = [
        Pin(
            id=f"pin-{n}",
            number=n,
            bone=bone,
            level_mm=level,
            bearing_deg=37.0 * n,
            tilt_deg=tilt,
            diameter_mm=4.0 + n % 3,
            tip_mm=2.0,
            kind="through" if n % 4 == 0 else "half",
        )
        for n, (bone, level, tilt) in enumerate(
            [
                ("femur", 150.0, 0.0),
                ("femur", 330.0, -18.0),
                ("tibia", 60.0, 0.0),
                ("tibia", 60.0, 0.0),
                ("tibia", 200.0, 9.0),
                ("calcaneus", 24.0, 0.0),
                ("tibia", 330.0, 0.0),
            ],
            start=1,
        )
    ]
    paths = tuple(pin_path(limb, pin) for pin in pins)
    grades = ("critical", "minor", "tether", "variant")
    together = hazard_gaps_of_each(limb, paths, 12.0, grades)
    assert together == tuple(hazard_gaps(limb, path, 12.0, grades) for path in paths)
    assert sum(map(len, together)) > len(paths)
    assert hazard_gaps_of_each(limb, (), 12.0, grades) == ()
