import math

import pytest

from fixplan.case.records import Fracture
from fixplan.geometry.measures import (
    hole_ratio,
    pin_spacing_mm,
    pin_to_fracture_mm,
)
from fixplan.geometry.paths import pin_path

FRACTURE = Fracture(id="fracture-1", bone="tibia", from_mm=130, to_mm=180)


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


def test_parallel_pins_are_as_far_apart_as_their_levels(limb, make_pin):
    first, second = (pin_path(limb, make_pin(level_mm=level)) for level in (100, 136))
    assert pin_spacing_mm(first, second) == pytest.approx(36)


def test_converging_pins_are_measured_inside_the_bone(limb, make_pin):
    first = pin_path(limb, make_pin(level_mm=100, tilt_deg=20))
    second = pin_path(limb, make_pin(level_mm=130, tilt_deg=-20))
    nearest = 30 - 2 * 12 * math.tan(math.radians(20))
    assert pin_spacing_mm(first, second) == pytest.approx(nearest, abs=1e-4)
