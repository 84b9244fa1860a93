"""Clear directions in sections that can be worked out by hand."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fixplan.errors import GeometryError
from fixplan.geometry.clear_directions import (
    Disc,
    Obstacle,
    PinShape,
    clear_directions,
    entry_blocked,
    muscle_blocked,
    outside_sides,
    without,
)

SQUARE = np.array([(-10.0, -10.0), (10.0, -10.0), (10.0, 10.0), (-10.0, 10.0)])
MIDDLE = (0.0, 0.0)


def blocks(found, part):
    return [(b.from_deg, b.to_deg) for b in found.blocked if b.part == part]


def box(x, y, half):
    return np.array(
        [(x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)]
    )


def test_a_disc_on_the_near_side_blocks_asin_of_w_over_its_distance():
    found = clear_directions(SQUARE, MIDDLE, PinShape(2.5), [Disc("nerve", 30, 90, 1.5, 5)])
    half = math.degrees(math.asin(9 / 30))
    assert blocks(found, "near") == [pytest.approx((90 - half, 90 + half))]
    assert blocks(found, "far") == []
    (arc,) = found.arcs
    assert (arc.from_limit.name, arc.to_limit.name) == ("nerve", "nerve")
    assert arc.width_deg == pytest.approx(360 - 2 * half)


def test_a_disc_nearer_than_its_room_blocks_a_half_turn_outside_and_the_rest_at_the_tip():
    found = clear_directions(SQUARE, MIDDLE, PinShape(2.5), [Disc("nerve", 15, 0, 8, 5)])
    assert blocks(found, "near") == [pytest.approx((270, 450))]
    assert found.arcs == ()


def test_a_through_pin_meets_a_disc_on_both_sides():
    pin = PinShape(2.5, 2, through=True)
    found = clear_directions(SQUARE, MIDDLE, pin, [Disc("nerve", 300, 90, 1.5, 5)])
    half = math.degrees(math.asin(9 / 300))
    assert blocks(found, "near") == [pytest.approx((90 - half, 90 + half))]
    assert blocks(found, "far") == [pytest.approx((270 - half, 270 + half))]


def test_the_tip_before_a_flat_face_ends_in_closed_form():
    """Straight behind the face R cos t - 10 / cos t = o + q + g, a square equation in cos t.

    At 19 mm the tip is half a millimetre short of the disc's room; turned, it passes on farther.
    """
    distance, overshoot, room = 19.0, 2.0, 1.0 + 5.5
    disc = Disc("vessel", distance, 180, 1, 5.5)
    found = clear_directions(SQUARE, MIDDLE, PinShape(5, overshoot), [disc])
    total = overshoot + room
    turn = math.acos((total + math.sqrt(total * total + 40 * distance)) / (2 * distance))
    assert distance * math.sin(turn) < 5, "the flat end, not its corner, is nearest"
    (arc,) = (arc for arc in found.arcs if arc.holds(0.0))
    assert (arc.from_deg, arc.to_deg) == pytest.approx(
        (360 - math.degrees(turn), 360 + math.degrees(turn)), abs=1e-8
    )
    assert (arc.from_limit.part, arc.to_limit.part) == ("far", "far")


@pytest.mark.parametrize(("distance", "is_met"), [(18.49, True), (18.51, False)])
def test_the_far_side_ends_at_the_flat_tip(distance, is_met):
    """10 to the face, 2 overshoot, 1 radius, 5.5 gap: 18.5 straight ahead of the tip."""
    disc = Disc("vessel", distance, 270, 1, 5.5)
    found = clear_directions(SQUARE, MIDDLE, PinShape(2.5, 2), [disc])
    assert any(b.part == "far" for b in found.blocked_at(90)) == is_met


def test_the_far_side_may_have_its_own_gap():
    """Behind the corner, 14.1 from the middle: the tip ends 16.1 away, the disc begins at 21."""
    disc = Disc("vessel", 22, 225, 1, 5.5)
    assert clear_directions(SQUARE, MIDDLE, PinShape(2.5, 2), [disc]).blocked_at(45)
    lesser = Disc("vessel", 22, 225, 1, 5.5, far_gap_mm=2.5)
    found = clear_directions(SQUARE, MIDDLE, PinShape(2.5, 2), [lesser])
    assert blocks(found, "far") == []
    assert found.blocked_at(225)


def test_a_disc_off_the_level_has_less_room():
    disc = Disc("nerve", 30, 90, 1.5, 5, off_level_mm=4)
    found = clear_directions(SQUARE, MIDDLE, PinShape(2.5), [disc])
    half = math.degrees(math.asin(math.sqrt(9**2 - 4**2) / 30))
    assert blocks(found, "near") == [pytest.approx((90 - half, 90 + half))]
    away = Disc("nerve", 30, 90, 1.5, 5, off_level_mm=9)
    assert clear_directions(SQUARE, MIDDLE, PinShape(2.5), [away]).blocked == ()


def test_another_bone_blocks_the_hull_of_its_corners():
    found = clear_directions(SQUARE, MIDDLE, PinShape(2), [], [Obstacle("fibula", box(30, 0, 5))])
    half = math.degrees(math.atan2(5, 25) + math.asin(2 / math.hypot(25, 5)))
    assert blocks(found, "near") == [pytest.approx((360 - half, 360 + half))]


def test_the_tip_that_reaches_another_bone_blocks_the_far_side():
    """Turned by t, the flat end's corner lies at 10 + o cos t + r sin t; the wall stands at 25."""
    wall = Obstacle("ulna", np.array([(25.0, -60.0), (30.0, -60.0), (30.0, 60.0), (25.0, 60.0)]))
    assert blocks(clear_directions(SQUARE, MIDDLE, PinShape(2, 14.8), [], [wall]), "far") == []
    found = clear_directions(SQUARE, MIDDLE, PinShape(2, 15.2), [], [wall])
    half = math.degrees(math.atan2(2, 15.2) + math.acos(15 / math.hypot(15.2, 2)))
    assert blocks(found, "far") == [pytest.approx((180 - half, 180 + half), abs=1e-8)]


def test_a_joint_round_the_target_blocks_everything():
    found = clear_directions(SQUARE, MIDDLE, PinShape(2), [], [Obstacle("joint", box(0, 0, 20))])
    assert found.arcs == ()
    assert found.width_deg == 0


def test_room_round_an_outline_widens_it():
    wall = Obstacle("nerve", box(30, 0, 5), gap_mm=3)
    found = clear_directions(SQUARE, MIDDLE, PinShape(2), [], [wall])
    half = math.degrees(math.atan2(5, 25) + math.asin(5 / math.hypot(25, 5)))
    assert blocks(found, "near") == [pytest.approx((360 - half, 360 + half))]


def test_a_target_outside_the_bone_is_refused():
    with pytest.raises(GeometryError, match="not inside the bone"):
        clear_directions(SQUARE, (11.0, 0.0), PinShape(2))


def test_muscle_and_sides_narrow_the_customary_band():
    found = clear_directions(SQUARE, MIDDLE, PinShape(2.5), [Disc("nerve", 30, 90, 1.5, 5)])
    muscle = muscle_blocked([("vastus", 200.0, 20.0)])
    (low, high) = without(found, muscle)
    assert (low.from_deg, low.from_limit.name, low.to_limit.name) == (20, "vastus", "nerve")
    assert (high.to_deg, high.to_limit.name) == (200, "vastus")
    sides = outside_sides([("anterolateral", 30.0, 60.0)])
    (kept,) = without(found, (*muscle, *sides))
    assert (kept.from_deg, kept.to_deg) == (30, 60)
    assert kept.from_limit.name == "anterolateral"
    assert outside_sides([]) == ()


def test_tendons_count_on_the_way_in_alone():
    tendon = Disc("tendon", 20, 180, 3, 0)
    (found,) = entry_blocked(MIDDLE, 2.5, [tendon])
    half = math.degrees(math.asin(5.5 / 20))
    assert (found.from_deg, found.to_deg, found.part) == (
        pytest.approx(180 - half),
        pytest.approx(180 + half),
        "entry",
    )


bones = st.lists(st.floats(6, 20), min_size=5, max_size=24)
hazards = st.lists(
    st.tuples(
        st.floats(21, 60), st.floats(0, 360), st.floats(0.5, 6), st.floats(0, 8), st.floats(-6, 6)
    ),
    max_size=6,
)


@settings(max_examples=60, deadline=None)
@given(bones, hazards, st.floats(0.5, 4), st.floats(0, 6), st.booleans())
def test_a_mirrored_section_gives_mirrored_arcs(reach, placed, radius, overshoot, through):
    turn = np.arange(len(reach)) * 2 * math.pi / len(reach)
    outline = np.column_stack((np.cos(turn), np.sin(turn))) * np.array(reach)[:, None]
    pin = PinShape(radius, overshoot, through)
    discs = [Disc(str(i), d, b, q, g, off_level_mm=z) for i, (d, b, q, g, z) in enumerate(placed)]
    mirrored = [
        Disc(
            d.name, d.distance_mm, 180 - d.bearing_deg, d.radius_mm, d.gap_mm, None, d.off_level_mm
        )
        for d in discs
    ]
    other = Obstacle("bone", box(35, -20, 6), gap_mm=1.0)
    flipped = Obstacle("bone", box(-35, -20, 6), gap_mm=1.0)
    one = clear_directions(outline, MIDDLE, pin, discs, [other])
    two = clear_directions(outline[::-1] * (-1, 1), MIDDLE, pin, mirrored, [flipped])
    assert one.width_deg == pytest.approx(two.width_deg, abs=1e-6)
    wide = [arc for arc in one.arcs if arc.width_deg > 1e-5]
    for arc in wide:
        assert any(other_arc.holds(180 - arc.middle_deg) for other_arc in two.arcs)
    assert len(wide) == len([arc for arc in two.arcs if arc.width_deg > 1e-5])
