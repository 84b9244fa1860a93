import math

import pytest

from fixplan.case.records import Nail, Plate
from fixplan.geometry.corridors import (
    band_gap_mm,
    hole_levels,
    nail_gap,
    nail_outline,
    plate_gap,
    plate_outline,
    zone_outline,
)
from fixplan.geometry.paths import pin_path


def plate(**changes):
    fields = {"bone": "tibia", "side": "lateral", "from_mm": 60, "to_mm": 200}
    return Plate(**{**fields, "width_mm": 12, "thickness_mm": 6, **changes})


def nail(**changes):
    fields = {"bone": "tibia", "entry": "proximal", "from_mm": 0, "to_mm": 350, "width_mm": 11}
    zones = {"entry_zone": (0, 40), "locking_zones": ((30, 70), (320, 350))}
    return Nail(**{**fields, **zones, **changes})


def gap(limb, pin, a_plate):
    return plate_gap(pin_path(limb, pin), limb, a_plate)


def test_a_pin_through_the_plate_is_inside_by_its_thickness(limb, make_pin):
    found = gap(limb, make_pin(), plate())
    assert (found.gap_mm, found.inside_mm) == (0, pytest.approx(6, abs=0.01))
    assert found.known


def test_the_inside_of_the_bone_does_not_count(limb, make_pin):
    flush = make_pin(bearing_deg=180, tip_mm=-3)
    assert gap(limb, flush, plate()).gap_mm == pytest.approx(3 - 2.5, abs=0.01)


def test_a_tip_that_leaves_under_the_plate_counts(limb, make_pin):
    found = gap(limb, make_pin(bearing_deg=180, tip_mm=2), plate())
    assert (found.gap_mm, found.inside_mm) == (0, pytest.approx(2, abs=0.01))


def test_a_pin_from_the_front_clears_a_lateral_plate(limb, make_pin):
    found = gap(limb, make_pin(bearing_deg=90), plate())
    corner = math.sqrt(12**2 - 6**2)
    assert found.gap_mm == pytest.approx(corner - 2.5, abs=0.05)


def test_a_pin_beyond_the_plate_end_is_measured_along_the_bone(limb, make_pin):
    found = gap(limb, make_pin(level_mm=240), plate())
    assert found.gap_mm == pytest.approx(40 - 2.5)
    assert found.level_mm == pytest.approx(240)


def test_plate_levels_may_be_given_either_way(limb, make_pin):
    turned = plate(from_mm=200, to_mm=60)
    assert gap(limb, make_pin(level_mm=240), turned).gap_mm == pytest.approx(37.5)


@pytest.mark.parametrize("tilt", [5, 15, 30])
def test_a_tilted_pin_through_the_plate_has_a_longer_way_in_it(limb, make_pin, tilt):
    found = gap(limb, make_pin(tilt_deg=tilt), plate())
    assert found.inside_mm == pytest.approx(6 / math.cos(math.radians(tilt)), abs=0.02)


def test_a_tilted_pin_may_reach_a_plate_that_ends_above_its_level(limb, make_pin):
    above = plate(from_mm=20, to_mm=90)
    tilted = make_pin(tilt_deg=45)
    assert gap(limb, make_pin(), above).gap_mm == pytest.approx(7.5)
    assert gap(limb, tilted, above).inside_mm > 0


def test_a_plate_off_its_bone_has_no_gap(limb, make_pin):
    assert gap(limb, make_pin(), plate(from_mm=500, to_mm=600)) is None


def test_a_plate_at_a_guessed_level_says_so(limb, make_pin):
    assert not gap(limb, make_pin(level_mm=10), plate(from_mm=5, to_mm=15)).known


def test_a_wide_plate_wraps_half_the_bone_at_most(limb, make_pin):
    wide = plate(width_mm=80)
    assert gap(limb, make_pin(bearing_deg=180, tip_mm=-3), wide).gap_mm == pytest.approx(
        0.5, abs=0.05
    )
    assert gap(limb, make_pin(bearing_deg=135, tip_mm=-20), wide).gap_mm > 5


def test_a_pin_through_the_canal_crosses_the_nail(limb, make_pin):
    found = nail_gap(pin_path(limb, make_pin()), limb, nail())
    assert found.canal.gap_mm == 0
    assert found.canal.inside_mm == pytest.approx(11, abs=0.06)


def test_a_canal_wider_than_the_nail_counts_whole(limb, make_pin):
    found = nail_gap(pin_path(limb, make_pin()), limb, nail(width_mm=8))
    assert found.canal.inside_mm == pytest.approx(10, abs=0.06)


def test_a_pin_beside_the_nail_has_a_gap_to_it(limb, make_pin):
    found = nail_gap(pin_path(limb, make_pin(offset_mm=9)), limb, nail())
    assert found.canal.gap_mm == pytest.approx(9 - 5.5 - 2.5, abs=0.03)


def test_zones_are_hit_by_the_edge_of_the_hole(limb, make_pin):
    found = nail_gap(pin_path(limb, make_pin(level_mm=72)), limb, nail())
    assert (found.entry_mm, found.locking_mm) == pytest.approx((29.5, 0))
    found = nail_gap(pin_path(limb, make_pin(level_mm=73)), limb, nail())
    assert found.locking_mm == pytest.approx(0.5)


def test_a_nail_without_locking_zones_has_no_gap_to_them(limb, make_pin):
    assert nail_gap(pin_path(limb, make_pin()), limb, nail(locking_zones=())).locking_mm is None


def test_a_pin_that_misses_its_bone_has_no_hole(limb, make_pin):
    path = pin_path(limb, make_pin(offset_mm=20))
    assert hole_levels(path) is None
    assert nail_gap(path, limb, nail()).entry_mm is None


def test_a_tilted_hole_spans_more_levels(limb, make_pin):
    low, high = hole_levels(pin_path(limb, make_pin(tilt_deg=30)))
    tan, cos = math.tan(math.radians(30)), math.cos(math.radians(30))
    assert (low, high) == pytest.approx((100 - 12 * tan - 2.5 / cos, 100 + 12 * tan + 2.5 / cos))


def test_band_gap_is_zero_where_they_meet():
    assert band_gap_mm((10, 15), (15, 20)) == 0
    assert band_gap_mm((10, 15), (18, 20)) == pytest.approx(3)
    assert band_gap_mm((30, 35), (20, 18)) == pytest.approx(10)


def test_a_lateral_plate_is_drawn_beside_the_bone_in_front_and_on_it_from_the_side(limb):
    front = plate_outline(limb, plate(), "front")
    assert front[:, 0].max() == pytest.approx(18, abs=0.01)
    assert front[:, 0].min() == pytest.approx(math.sqrt(144 - 36), abs=0.05)
    side = plate_outline(limb, plate(), "side")
    assert (side[:, 0].min(), side[:, 0].max()) == pytest.approx((-6, 6))
    assert (side[:, 1].min(), side[:, 1].max()) == (60, 200)


def test_a_nail_is_drawn_with_its_width(limb):
    drawn = nail_outline(limb, nail(), "side")
    assert (drawn[:, 0].min(), drawn[:, 0].max()) == pytest.approx((-5.5, 5.5), abs=0.03)


def test_a_zone_is_drawn_across_the_bone(limb):
    drawn = zone_outline(limb, "tibia", (30, 70), "front")
    assert sorted(map(tuple, drawn)) == [(-12, 30), (-12, 70), (12, 30), (12, 70)]
    assert len(zone_outline(limb, "tibia", (500, 600), "front")) == 0
