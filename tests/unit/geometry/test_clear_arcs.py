"""Uniting blocked bearings modulo a turn, and what ends the arcs that are left."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fixplan.geometry.clear_arcs import Arc, Blocked, blocked_of, clear_arcs


def near(name, start, end):
    return Blocked(name, "near", start, end)


def spans(arcs):
    return [(arc.from_deg, arc.to_deg) for arc in arcs]


def test_nothing_blocked_leaves_the_whole_turn():
    (arc,) = clear_arcs(())
    assert (arc.from_deg, arc.to_deg, arc.from_limit, arc.to_limit) == (0, 360, None, None)
    assert arc.holds(123)


def test_each_end_names_what_ends_it():
    nerve, bone = near("nerve", 30, 60), near("bone", 50, 100)
    (arc,) = clear_arcs((nerve, bone))
    assert spans([arc]) == [(100, 390)]
    assert (arc.from_limit, arc.to_limit) == (bone, nerve)
    assert arc.middle_deg == 245
    assert arc.holds(20)
    assert not arc.holds(60)


def test_a_block_across_zero_counts_on_both_sides():
    arcs = clear_arcs((near("nerve", 350, 370), near("vessel", 100, 120)))
    assert spans(arcs) == [(10, 100), (120, 350)]
    assert arcs[0].from_limit.name == arcs[1].to_limit.name == "nerve"


def test_a_block_inside_another_limits_nothing():
    arcs = clear_arcs((near("wide", 10, 200), near("inside", 50, 60)))
    assert {arcs[0].from_limit.name, arcs[0].to_limit.name} == {"wide"}


def test_nothing_is_left_when_blocks_meet_all_round():
    assert clear_arcs((near("a", 0, 200), near("b", 200, 360))) == ()
    assert clear_arcs((near("a", 0, 360),)) == ()
    assert clear_arcs((near("a", 300, 500), near("b", 130, 310))) == ()


def test_an_arc_under_two_degrees_is_narrow():
    assert Arc(10, 11.9).narrow
    assert not Arc(10, 12.1).narrow


def test_stretches_of_one_name_become_one_block():
    low, high = np.radians([10.0, 15.0, 350.0]), np.radians([20.0, 30.0, 365.0])
    found = blocked_of(low, high, np.array([0, 1, 2]), ("nerve", "nerve", "nerve"), "far")
    assert [(b.name, b.part) for b in found] == [("nerve", "far")] * 2
    assert sorted((b.from_deg, b.to_deg) for b in found) == [
        pytest.approx((10, 30)),
        pytest.approx((350, 365)),
    ]


def test_stretches_that_meet_across_zero_are_one():
    low, high = np.radians([340.0, -5.0]), np.radians([359.0, 20.0])
    (found,) = blocked_of(low, high, np.array([0, 0]), ("nerve",), "near")
    assert (found.from_deg, found.to_deg) == pytest.approx((340, 380))


def test_a_whole_turn_is_told_as_such():
    (found,) = blocked_of(
        np.zeros(1), np.full(1, 2 * math.pi), np.zeros(1, dtype=int), ("joint",), "near"
    )
    assert (found.from_deg, found.to_deg) == (0, 360)


@given(
    st.lists(st.tuples(st.floats(0, 359.99), st.floats(0.01, 359)), min_size=1, max_size=6),
    st.floats(0, 359.99),
)
def test_a_bearing_is_clear_just_when_no_block_holds_it(blocks, bearing):
    blocked = tuple(near(str(i), start, start + width) for i, (start, width) in enumerate(blocks))
    ends = [edge for b in blocked for edge in (b.from_deg, b.to_deg)]
    if any(abs((bearing - edge + 180) % 360 - 180) < 1e-6 for edge in ends):
        return
    inside = any((bearing - b.from_deg) % 360 < b.to_deg - b.from_deg for b in blocked)
    assert inside != any(arc.holds(bearing) for arc in clear_arcs(blocked))
