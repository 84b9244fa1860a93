import numpy as np
import pytest

from fixplan.errors import GeometryError
from fixplan.geometry.axis_gap import Axis
from fixplan.geometry.outlines import (
    axis_region_gap,
    disagreement_mm,
    injury_gap,
    injury_table,
    outlines_problem,
)
from fixplan.geometry.paths import pin_path


def box(u_low, u_high, low, high):
    return ((u_low, low), (u_high, low), (u_high, high), (u_low, high))


def axis(start, end):
    return Axis(np.array(start, dtype=float), np.array(end, dtype=float))


ALONG_X = axis((-100, 0, 50), (100, 0, 50))


def test_a_box_in_both_views_is_crossed_over_its_width():
    found = axis_region_gap(ALONG_X, 2.5, box(-10, 20, 0, 100), box(-5, 5, 0, 100))
    assert (found.gap_mm, found.inside_mm) == (0, pytest.approx(30))
    assert found.level_mm == pytest.approx(50)


def test_inside_counts_only_where_both_outlines_hold():
    found = axis_region_gap(ALONG_X, 2.5, box(-10, 20, 0, 100), box(7, 9, 0, 100))
    assert found.inside_mm == 0
    assert found.gap_mm == pytest.approx(7 - 2.5)


def test_one_view_reaches_through_the_whole_depth():
    along_y = axis((5, -60, 50), (5, 60, 50))
    found = axis_region_gap(along_y, 2.5, box(-10, 20, 0, 100), ())
    assert found.inside_mm == pytest.approx(120)


def test_one_view_gap_is_the_distance_of_the_shadow():
    found = axis_region_gap(axis((30, -60, 108), (30, 60, 108)), 1.0, box(-10, 24, 0, 100), ())
    assert found.gap_mm == pytest.approx(10 - 1)


def test_a_level_with_one_outline_only_counts_through_the_whole_depth():
    below = axis((-100, 40, 90), (100, 40, 90))
    front, side = box(-10, 20, 0, 100), box(-5, 5, 0, 80)
    assert axis_region_gap(below, 2.5, front, side).inside_mm == pytest.approx(30)
    beside = axis((-100, 40, 70), (100, 40, 70))
    assert axis_region_gap(beside, 2.5, front, side).gap_mm == pytest.approx(10 - 2.5)


def test_gap_to_the_corner_of_a_box_is_measured_in_space():
    region = box(-10, 10, 0, 100), box(-10, 10, 0, 100)
    tip_in_front = axis((13, 14, 112), (50, 14, 112))
    assert axis_region_gap(tip_in_front, 1.0, *region).gap_mm == pytest.approx(13 - 1)


def test_an_end_straight_before_a_face_is_measured_to_the_face():
    region = box(-10, 10, 0, 100), box(-10, 10, 0, 100)
    assert axis_region_gap(axis((18, 0, 50), (90, 0, 50)), 2.0, *region).gap_mm == pytest.approx(6)


def test_a_surface_that_touches_has_no_gap_though_its_axis_stays_outside():
    found = axis_region_gap(
        axis((-100, 7, 50), (100, 7, 50)), 2.5, box(0, 9, 0, 99), box(0, 6, 0, 99)
    )
    assert (found.gap_mm, found.inside_mm) == (0, 0)


def test_an_axis_at_a_vertex_level_is_counted_once():
    front = ((-10, 0), (10, 0), (10, 50), (10, 100), (-10, 100), (-10, 50))
    found = axis_region_gap(ALONG_X, 2.5, front, box(-5, 5, 0, 100))
    assert found.inside_mm == pytest.approx(20)


def test_an_outline_with_a_bay_lets_a_pin_through_the_bay():
    bay = ((-20, 0), (20, 0), (20, 100), (10, 100), (10, 20), (-10, 20), (-10, 100), (-20, 100))
    through = axis((0, -50, 60), (0, 50, 60))
    assert axis_region_gap(through, 2.5, bay, ()).gap_mm == pytest.approx(7.5)
    across = axis_region_gap(ALONG_X, 2.5, bay, ())
    assert across.inside_mm == pytest.approx(20)


def test_outlines_without_a_common_level_are_refused():
    front, side = box(0, 10, 0, 40), box(0, 10, 60, 90)
    assert "share no level" in outlines_problem(front, side)
    with pytest.raises(GeometryError, match="share no level"):
        axis_region_gap(ALONG_X, 2.5, front, side)


def test_a_region_without_any_outline_is_refused():
    assert "no outline in either view" in outlines_problem((), ())


def test_a_crossing_outline_is_refused_with_its_place():
    problem = outlines_problem(((0, 0), (10, 10), (10, 0), (0, 10)), ())
    assert "(5.0, 5.0)" in problem


def test_good_outlines_have_no_problem():
    assert outlines_problem(box(0, 10, 0, 40), box(0, 10, 30, 90)) is None


def test_disagreement_is_the_worse_of_the_two_ends():
    assert disagreement_mm(box(0, 9, 0, 40), box(0, 9, 4, 57)) == pytest.approx(17)
    assert disagreement_mm(box(0, 9, 0, 40), ()) == 0


def test_several_regions_at_once_are_as_one_by_one(limb, make_pin):
    path = pin_path(limb, make_pin(bearing_deg=37, tilt_deg=12))
    regions = (
        (box(5, 40, 80, 130), box(-40, 40, 90, 140)),
        (box(-40, 40, 200, 230), ()),
        ((), box(0, 40, 95, 105)),
        (box(-40, -20, 60, 90), box(20, 40, 60, 120)),
    )
    other = pin_path(limb, make_pin(bearing_deg=200, level_mm=90))
    together = injury_table((path, other), regions)
    singly = [[injury_gap(p, *region) for region in regions] for p in (path, other)]
    for row, expected in zip(together, singly, strict=True):
        for one, two in zip(row, expected, strict=True):
            assert one.gap_mm == pytest.approx(two.gap_mm, abs=1e-9)
            assert one.inside_mm == pytest.approx(two.inside_mm, abs=1e-9)
            assert one.level_mm == pytest.approx(two.level_mm, abs=1e-6)


def test_no_regions_or_no_pins_make_an_empty_table(limb, make_pin):
    assert injury_table((pin_path(limb, make_pin()),), ()) == ((),)
    assert injury_table((), ((box(0, 9, 0, 9), ()),)) == ()


def test_length_inside_stops_at_the_skin(limb, make_pin):
    path = pin_path(limb, make_pin(bearing_deg=0))
    found = injury_gap(path, box(20, 400, 0, 300), ())
    assert found.inside_mm == pytest.approx(45 - 20)


def test_the_tip_reaches_an_injury_behind_the_bone(limb, make_pin):
    front = box(-40, -16, 50, 150)
    assert injury_gap(pin_path(limb, make_pin(tip_mm=2)), front, ()).gap_mm == pytest.approx(0)
    assert injury_gap(pin_path(limb, make_pin(tip_mm=0)), front, ()).gap_mm == pytest.approx(1.5)
    assert injury_gap(pin_path(limb, make_pin(tip_mm=6)), front, ()).inside_mm == pytest.approx(2)


def test_a_foot_injury_from_above_is_a_prism_along_the_level(round_limb, make_pin):
    foot = round_limb(front_shows="forward")
    path = pin_path(foot, make_pin(bearing_deg=0, level_mm=100))
    assert injury_gap(path, box(20, 30, -5, 5), ()).inside_mm == pytest.approx(10)
    assert injury_gap(path, box(20, 30, 8, 20), ()).gap_mm == pytest.approx(5.5)


def test_a_foot_injury_in_both_views_is_where_the_prisms_meet(round_limb, make_pin):
    foot = round_limb(front_shows="forward")
    from_above, from_the_side = box(20, 30, -5, 5), box(-5, 5, 90, 110)
    through = pin_path(foot, make_pin(level_mm=100))
    found = injury_gap(through, from_above, from_the_side)
    assert (found.inside_mm, found.level_mm) == pytest.approx((10, 100))
    below = pin_path(foot, make_pin(level_mm=120))
    assert injury_gap(below, from_above, from_the_side).gap_mm == pytest.approx(10 - 2.5)


def test_views_from_above_agree_along_y():
    assert disagreement_mm(box(0, 9, -5, 5), box(-8, 5, 50, 80), from_above=True) == pytest.approx(
        3
    )
    apart = box(0, 9, -5, 5), box(10, 20, -5, 5)
    assert "share no level" in outlines_problem(*apart, from_above=True)
    assert outlines_problem(*apart) is None


def test_an_axis_seen_from_another_segment_may_meet_a_foot_injury():
    across = axis((-100, 0, 100), (100, 0, 100))
    found = axis_region_gap(across, 2.5, box(20, 30, -5, 5), (), from_above=True)
    assert found.inside_mm == pytest.approx(10)
