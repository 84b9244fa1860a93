"""Properties of gaps: nothing grows nearer by moving away, and left and right are alike."""

import math

import msgspec
import numpy as np
from hypothesis import assume, given
from hypothesis import strategies as st

from fixplan.case.records import Pin, Plate, Wound
from fixplan.geometry.axis_gap import Axis
from fixplan.geometry.corridors import plate_gap
from fixplan.geometry.outlines import (
    axis_region_gap,
    injury_gap,
    injury_table,
    outlines_problem,
)
from fixplan.geometry.paths import pin_path
from fixplan.geometry.skin_marks import skin_hit
from fixplan.limb.scale import limb_of

LIMB = limb_of("leg", "male", 1750.0)
TOLERANCE_MM = 1e-6


def around(middle, corners):
    """An outline with corners (bearing in degrees, distance) about a middle."""
    return tuple(
        (
            middle[0] + away * math.cos(math.radians(at)),
            middle[1] + away * math.sin(math.radians(at)),
        )
        for at, away in sorted(corners)
    )


outlines = st.builds(
    around,
    st.tuples(st.integers(-20, 20), st.integers(180, 220)),
    st.lists(
        st.tuples(st.integers(0, 359), st.integers(5, 40)),
        min_size=3,
        max_size=7,
        unique_by=lambda corner: corner[0],
    ),
)
regions = st.tuples(outlines, st.one_of(st.just(()), outlines)).filter(
    lambda region: outlines_problem(*region) is None
)
pins = st.builds(
    lambda bearing, tilt, offset, at: Pin(
        id="pin-1",
        number=1,
        bone="tibia",
        level_mm=at,
        bearing_deg=bearing,
        tilt_deg=tilt,
        offset_mm=offset,
        diameter_mm=5.0,
    ),
    st.floats(0, 359),
    st.one_of(st.just(0.0), st.floats(-25, 25)),
    st.floats(-6, 6),
    st.floats(120, 280),
)


def boxed(region):
    """Edges of the region's bounding box in u of each view and level."""
    return [np.array(outline).min(axis=0) for outline in region if outline]


@given(regions, st.floats(0, 80), st.floats(0, 80))
def test_moving_away_along_the_limb_never_reduces_a_gap(region, near, further):
    top = min(corner[1] for corner in boxed(region))
    gaps = []
    for apart in sorted((near, further)):
        axis = Axis(np.array((-30.0, 5, top - apart)), np.array((60.0, 5, top - apart)))
        gaps.append(axis_region_gap(axis, 2.5, *region).gap_mm)
    assert gaps[0] <= gaps[1] + TOLERANCE_MM


@given(regions, st.floats(0, 80), st.floats(0, 80))
def test_moving_away_sideways_never_reduces_a_gap(region, near, further):
    gaps = []
    for apart in sorted((near, further)):
        axis = Axis(np.array((-45.0 - apart, -60, 200)), np.array((-45.0 - apart, 60, 200)))
        gaps.append(axis_region_gap(axis, 2.5, *region).gap_mm)
    assert gaps[0] <= gaps[1] + TOLERANCE_MM


@given(regions, pins)
def test_a_mirrored_region_and_axis_give_the_same_gap(region, pin):
    solid = pin_path(LIMB, pin).solid
    flip = np.array((-1.0, 1.0, 1.0))
    mirrored = tuple((-u, v) for u, v in region[0]), region[1]
    here = axis_region_gap(solid, 2.5, *region)
    there = axis_region_gap(Axis(solid.start_mm * flip, solid.end_mm * flip), 2.5, *mirrored)
    assert abs(here.gap_mm - there.gap_mm) < TOLERANCE_MM
    assert abs(here.inside_mm - there.inside_mm) < TOLERANCE_MM


@given(regions, pins)
def test_turning_an_axis_end_for_end_changes_nothing(region, pin):
    solid = pin_path(LIMB, pin).solid
    here = axis_region_gap(solid, 2.5, *region)
    there = axis_region_gap(Axis(solid.end_mm, solid.start_mm), 2.5, *region)
    assert abs(here.gap_mm - there.gap_mm) < TOLERANCE_MM
    assert abs(here.inside_mm - there.inside_mm) < TOLERANCE_MM


@given(regions, pins)
def test_tilting_up_and_down_are_mirror_images(region, pin):
    turned = tuple(tuple((u, 400 - v) for u, v in outline) for outline in region)
    solid = pin_path(LIMB, pin).solid
    flip, move = np.array((1.0, 1.0, -1.0)), np.array((0.0, 0.0, 400.0))
    down = Axis(solid.start_mm * flip + move, solid.end_mm * flip + move)
    here = axis_region_gap(solid, 2.5, *region)
    there = axis_region_gap(down, 2.5, *turned)
    assert abs(here.gap_mm - there.gap_mm) < TOLERANCE_MM


@given(st.lists(regions, min_size=1, max_size=4), st.lists(pins, min_size=1, max_size=3))
def test_a_table_holds_what_single_questions_give(drawn, placed):
    paths = tuple(pin_path(LIMB, pin) for pin in placed)
    table = injury_table(paths, tuple(drawn))
    for path, row in zip(paths, table, strict=True):
        for region, found in zip(drawn, row, strict=True):
            alone = injury_gap(path, *region)
            assert abs(alone.gap_mm - found.gap_mm) < TOLERANCE_MM
            assert abs(alone.inside_mm - found.inside_mm) < TOLERANCE_MM


@given(regions, outlines, pins)
def test_a_one_view_region_holds_the_region_of_both_views(region, drawn, pin):
    front = region[0]
    low, high = min(v for _, v in front), max(v for _, v in front)
    side = tuple((u, low + (v - 140) / 120 * (high - low)) for u, v in drawn)
    assume(outlines_problem(front, side) is None)
    path = pin_path(LIMB, pin)
    assert injury_gap(path, front, ()).gap_mm <= injury_gap(path, front, side).gap_mm + TOLERANCE_MM


@given(pins)
def test_skin_bone_and_tip_lie_in_a_row(pin):
    path = pin_path(LIMB, pin)
    assert path.skin_mm >= path.near_mm >= path.far_mm >= path.far_skin_mm
    assert path.depth_from_skin_mm > 0


@given(pins)
def test_a_puncture_is_on_one_face_at_least(pin):
    path = pin_path(LIMB, pin)
    patch = ((-200.0, 0.0), (200.0, 0.0), (200.0, 385.0), (-200.0, 385.0))
    marks = [
        Wound(id="wound-1", kind="opening", segment="leg", view="front", face=face, outline=patch)
        for face in ("near", "far")
    ]
    assert any(skin_hit(path, mark).is_hit for mark in marks)


@given(pins, st.floats(0, 60))
def test_a_plate_beyond_a_pin_is_no_nearer_than_their_levels(pin, apart):
    path = pin_path(LIMB, msgspec.structs.replace(pin, tilt_deg=0.0))
    top = pin.level_mm - apart - 40
    levels = {"from_mm": top, "to_mm": pin.level_mm - apart}
    plate = Plate(bone="tibia", side="medial", width_mm=12, thickness_mm=6, **levels)
    assert plate_gap(path, LIMB, plate).gap_mm >= apart - path.radius_mm - TOLERANCE_MM
