import math
from types import SimpleNamespace

import numpy as np
import pytest

from fixplan.case.records import Fracture
from fixplan.geometry.measures import (
    axes_meeting,
    bar_to_skin_mm,
    half_levels_mm,
    half_mm,
    hole_ratio,
    pin_spacing_mm,
    pin_to_fracture_mm,
    pin_to_line_mm,
)
from fixplan.geometry.paths import pin_path

FRACTURE = Fracture(id="fracture-1", bone="tibia", from_mm=130, to_mm=180)
SAME_FRAME = SimpleNamespace(from_limb=lambda _, points: points)


def test_hole_ratio_is_diameter_over_width(limb, make_pin):
    assert hole_ratio(limb, make_pin(diameter_mm=6)) == pytest.approx(6 / 24)


def test_no_bone_no_hole_ratio(limb, make_pin):
    assert hole_ratio(limb, make_pin(level_mm=450)) is None


def test_gap_to_a_fracture_is_from_the_surface_at_either_end(limb, make_pin):
    assert pin_to_fracture_mm(pin_path(limb, make_pin()), FRACTURE) == pytest.approx(27.5)
    distal = pin_path(limb, make_pin(level_mm=200))
    assert pin_to_fracture_mm(distal, FRACTURE) == pytest.approx(17.5)


def test_inside_a_fracture_the_gap_is_negative(limb, make_pin):
    inside = pin_path(limb, make_pin(level_mm=140))
    assert pin_to_fracture_mm(inside, FRACTURE) == pytest.approx(-12.5)
    touching = pin_path(limb, make_pin(level_mm=129))
    assert pin_to_fracture_mm(touching, FRACTURE) == pytest.approx(-1.5)


def test_a_tilted_pin_is_measured_where_its_hole_is_nearest(limb, make_pin):
    tilted = pin_path(limb, make_pin(tilt_deg=30))
    reach = 12 * math.tan(math.radians(30)) + 2.5 / math.cos(math.radians(30))
    assert pin_to_fracture_mm(tilted, FRACTURE) == pytest.approx(30 - reach, abs=1e-5)


def test_a_pin_beside_its_bone_is_measured_at_its_aim(limb, make_pin):
    missing = pin_path(limb, make_pin(offset_mm=20))
    assert pin_to_fracture_mm(missing, FRACTURE) == pytest.approx(27.5)


def test_gap_to_a_joint_line_above_and_below(limb, make_pin):
    path = pin_path(limb, make_pin(level_mm=40))
    assert pin_to_line_mm(path, 20, distal=True) == pytest.approx(17.5)
    assert pin_to_line_mm(path, 60, distal=False) == pytest.approx(17.5)
    assert pin_to_line_mm(path, 45, distal=True) == pytest.approx(-7.5)


def test_a_central_pin_from_the_front_runs_in_both_halves(limb, make_pin):
    path = pin_path(limb, make_pin(bearing_deg=90, tilt_deg=20))
    assert half_mm(path, "anterior") == pytest.approx(path.near_mm)
    assert half_mm(path, "posterior") == pytest.approx(-path.far_mm)
    front, back = half_levels_mm(path, "anterior"), half_levels_mm(path, "posterior")
    radius = 2.5 / math.cos(math.radians(20))
    drop = 12 * math.tan(math.radians(20))
    assert front == pytest.approx((100 - drop - radius, 100 + radius), abs=1e-4)
    assert back == pytest.approx((100 - radius, 100 + drop + radius), abs=1e-4)


def test_a_lateral_pin_in_front_of_the_middle_stays_in_the_front_half(limb, make_pin):
    path = pin_path(limb, make_pin(offset_mm=4))
    assert half_levels_mm(path, "posterior") is None
    assert half_mm(path, "anterior") == pytest.approx(path.bone_mm)
    assert half_mm(path, "lateral") == pytest.approx(path.bone_mm / 2)


def test_a_pin_without_bone_has_no_halves(limb, make_pin):
    path = pin_path(limb, make_pin(offset_mm=20))
    assert half_levels_mm(path, "anterior") is None
    assert half_mm(path, "anterior") == 0


def test_parallel_pins_are_as_far_apart_as_their_levels(limb, make_pin):
    first, second = (pin_path(limb, make_pin(level_mm=level)) for level in (100, 136))
    assert pin_spacing_mm(first, second) == pytest.approx(36)


def test_converging_pins_are_measured_inside_the_bone(limb, make_pin):
    first = pin_path(limb, make_pin(level_mm=100, tilt_deg=20))
    second = pin_path(limb, make_pin(level_mm=130, tilt_deg=-20))
    nearest = 30 - 2 * 12 * math.tan(math.radians(20))
    assert pin_spacing_mm(first, second) == pytest.approx(nearest, abs=1e-4)


def test_axes_meet_with_a_point_on_each():
    ends = [np.array(p, dtype=float) for p in ((0, 0, 0), (9, 0, 0), (4, 3, -5), (4, 3, 5))]
    found = axes_meeting(*ends)
    assert found.distance_mm == pytest.approx(3)
    assert found.on_first_mm == pytest.approx([4, 0, 0])
    assert found.on_second_mm == pytest.approx([4, 3, 0])


def test_a_bar_beside_the_limb_clears_the_skin_by_arithmetic(limb):
    start, end = np.array((80.0, 0, 50)), np.array((80.0, 0, 250))
    assert bar_to_skin_mm(limb, SAME_FRAME, start, end, 5.5) == pytest.approx(80 - 45 - 5.5)


def test_a_bar_inside_the_skin_has_a_negative_gap(limb):
    start, end = np.array((40.0, 0, 50)), np.array((80.0, 0, 250))
    found = bar_to_skin_mm(limb, SAME_FRAME, start, end, 5.5)
    assert found == pytest.approx(-5 - 5.5, abs=0.01)


def test_a_bar_where_no_skin_is_known_is_not_judged(limb):
    start, end = np.array((80.0, 0, 500)), np.array((80.0, 0, 600))
    assert bar_to_skin_mm(limb, SAME_FRAME, start, end, 5.5) is None
