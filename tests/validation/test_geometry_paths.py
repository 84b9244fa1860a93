"""Pin paths and corridors on the real schematic leg, against a second computation.

Paths: every surface point is looked up again in the exact section at its own level; tolerance
0.05 mm, since a tilted pin takes the surface as straight between sections a millimetre apart.
Corridors: the pin is sampled every 0.02 mm and each sample asked of the exact section at its level;
tolerance 0.3 mm, since a slab has the shape at its middle. Lines and areas: sympy's exact geometry.
No source: plain geometry.
"""

import math

import numpy as np
import pytest
import shapely
import sympy

from fixplan.case.records import Nail, Pin, Plate
from fixplan.geometry.corridors import SIDE_BEARINGS_DEG, nail_gap, plate_gap
from fixplan.geometry.lines import closest_points
from fixplan.geometry.paths import pin_path
from fixplan.geometry.validity import checked_polygon
from fixplan.limb.scale import limb_of

LIMB = limb_of("leg", "male", 1750.0)
SURFACE_TOLERANCE_MM = 0.05
SOLID_TOLERANCE_MM = 0.3


def pin(**changes):
    fields = {"id": "pin-1", "number": 1, "bone": "tibia", "level_mm": 190.0, "bearing_deg": 120.0}
    return Pin(**{**fields, "diameter_mm": 5.0, **changes})


PINS = [
    pin(bone=bone, level_mm=share * length, bearing_deg=bearing, tilt_deg=tilt, offset_mm=offset)
    for bone, length in (("tibia", 385.0), ("femur", 470.0))
    for share in (0.22, 0.41, 0.6, 0.78)
    for bearing in (0.0, 75.0, 200.0)
    for tilt, offset in ((0.0, 0.0), (8.0, 3.0), (-22.0, -2.0))
]


@pytest.mark.parametrize("placed", PINS, ids=lambda p: f"{p.bone} {p.level_mm:.0f} {p.tilt_deg}")
def test_surface_points_lie_on_the_sections_of_their_own_levels(placed):
    path = pin_path(LIMB, placed)
    assert path.hits_bone
    assert path.skin_known
    for at in (path.near_mm, path.far_mm):
        point = path.point(at)
        ring = shapely.LinearRing(LIMB.section(placed.bone, point[2]).outline)
        assert shapely.Point(point[:2]).distance(ring) < SURFACE_TOLERANCE_MM
    for at in (path.skin_mm, path.far_skin_mm):
        point = path.point(at)
        ring = shapely.LinearRing(LIMB.skin(path.segment, point[2]))
        assert shapely.Point(point[:2]).distance(ring) < SURFACE_TOLERANCE_MM


def sampled_length(path, holds, step=0.02):
    ats = np.arange(path.tip_end_mm + step / 2, path.skin_mm + 25, step)
    return step * sum(bool(holds(point)) for point in (path.point(at) for at in ats))


def in_plate(plate, point):
    """The plate as words say it: on the bone, within its thickness, in its strip, on its side."""
    if not plate.from_mm <= point[2] <= plate.to_mm:
        return False
    section = LIMB.section(plate.bone, float(point[2]))
    bone, at = shapely.Polygon(section.outline), shapely.Point(point[:2])
    bearing = math.radians(SIDE_BEARINGS_DEG[plate.side])
    x, y = point[:2] - section.target
    along = x * math.cos(bearing) + y * math.sin(bearing)
    across = y * math.cos(bearing) - x * math.sin(bearing)
    on_bone = 0 < bone.distance(at) <= plate.thickness_mm
    return on_bone and along > 0 and abs(across) <= plate.width_mm / 2


@pytest.mark.parametrize("tilt", [0.0, 12.0, -20.0])
@pytest.mark.parametrize(
    ("side", "bearing"), [("lateral", 10.0), ("medial", 5.0), ("medial", 160.0)]
)
def test_way_through_a_plate_agrees_with_sampling(side, bearing, tilt):
    plate = Plate(
        bone="tibia", side=side, from_mm=60.0, to_mm=240.0, width_mm=14.0, thickness_mm=6.0
    )
    path = pin_path(LIMB, pin(level_mm=100.0, bearing_deg=bearing, tilt_deg=tilt, tip_mm=4.0))
    found = plate_gap(path, LIMB, plate)
    expected = sampled_length(path, lambda point: in_plate(plate, point))
    assert expected > 0.5
    assert found.inside_mm == pytest.approx(expected, abs=SOLID_TOLERANCE_MM)


@pytest.mark.parametrize("tilt", [0.0, 15.0])
def test_way_through_a_nail_agrees_with_sampling(tilt):
    nail = Nail(
        bone="tibia",
        entry="proximal",
        from_mm=0.0,
        to_mm=330.0,
        width_mm=9.0,
        entry_zone=(0.0, 40.0),
    )
    path = pin_path(LIMB, pin(level_mm=192.0, tilt_deg=tilt, offset_mm=2.0))

    def in_nail(point):
        canal = shapely.Polygon(LIMB.section("tibia", float(point[2])).canal)
        at = shapely.Point(point[:2])
        return canal.contains(at) or canal.centroid.distance(at) <= nail.width_mm / 2

    found = nail_gap(path, LIMB, nail)
    expected = sampled_length(path, in_nail)
    assert expected > 8
    assert found.canal.inside_mm == pytest.approx(expected, abs=SOLID_TOLERANCE_MM)


def test_skew_lines_agree_with_exact_geometry():
    corners = [(-50, -20, 3), (60, 31, -8), (-11, 40, 25), (13, -45, 18)]
    exact = sympy.Line3D(*map(sympy.Point3D, corners[:2]))
    other = sympy.Line3D(*map(sympy.Point3D, corners[2:]))
    found = closest_points(*[np.array(corner, dtype=float) for corner in corners])
    assert found[0] == pytest.approx(float(exact.distance(other)), abs=1e-9)


def test_area_and_middle_of_an_outline_agree_with_exact_geometry():
    outline = ((0, 0), (31, 4), (40, 27), (22, 19), (5, 33))
    exact = sympy.Polygon(*outline)
    found = checked_polygon(outline)
    assert found.area == pytest.approx(abs(float(exact.area)), abs=1e-9)
    middle = tuple(float(value) for value in exact.centroid)
    assert (found.centroid.x, found.centroid.y) == pytest.approx(middle, abs=1e-9)
