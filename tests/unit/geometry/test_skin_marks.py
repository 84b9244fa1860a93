"""Marks on the skin against punctures: on their face, on the skin itself, by hand on a round limb.

The skin is a circle of 45 mm: what is drawn at u lies at a depth of sqrt(45² - u²).
"""

import math

import numpy as np
import pytest

from fixplan.case.records import Incision, Wound
from fixplan.errors import GeometryError
from fixplan.geometry.paths import pin_path
from fixplan.geometry.skin_marks import mark_on_skin, skin_hit
from tests.unit.geometry.test_outlines import box

SKIN_MM = 45.0


def apart_mm(first_u, second_u):
    """Between two points of one face of the skin, at one level."""
    depths = [math.sqrt(SKIN_MM**2 - u**2) for u in (first_u, second_u)]
    return math.hypot(first_u - second_u, depths[0] - depths[1])


def wound(**changes):
    fields = {"id": "wound-1", "kind": "opening", "segment": "leg", "view": "front"}
    return Wound(**{**fields, **changes})


PATCH = box(10, 40, 80, 120)


def test_a_puncture_in_a_wound_on_its_face_is_a_hit(limb, make_pin):
    anterolateral = pin_path(limb, make_pin(bearing_deg=60))
    found = skin_hit(anterolateral, wound(outline=PATCH))
    assert found.is_hit
    assert found.inside


def test_a_wound_on_the_other_face_is_not_met(limb, make_pin):
    posterolateral = pin_path(limb, make_pin(bearing_deg=300))
    assert not skin_hit(posterolateral, wound(outline=PATCH)).on_face
    assert skin_hit(posterolateral, wound(outline=PATCH, face="far")).is_hit


def test_a_half_pin_that_points_at_a_wound_does_not_reach_its_skin(limb, make_pin):
    assert not skin_hit(pin_path(limb, make_pin(bearing_deg=240)), wound(outline=PATCH)).is_hit


def test_a_through_pin_has_two_punctures(limb, make_pin):
    through = pin_path(limb, make_pin(bearing_deg=240, kind="through"))
    assert skin_hit(through, wound(outline=PATCH)).is_hit


def test_a_puncture_nearer_than_the_radius_is_a_hit(limb, make_pin):
    path = pin_path(limb, make_pin(bearing_deg=90))
    near_edge = skin_hit(path, wound(outline=box(2, 30, 80, 120)))
    assert (near_edge.is_hit, near_edge.inside) == (True, False)
    beyond = skin_hit(path, wound(outline=box(4, 30, 80, 120)))
    assert beyond.gap_mm == pytest.approx(apart_mm(0, 4) - 2.5, abs=0.01)
    assert not beyond.is_hit


def test_a_line_counts_with_its_half_width(limb, make_pin):
    path = pin_path(limb, make_pin(bearing_deg=90))
    line = wound(line=((8, 50), (8, 150)), half_width_mm=3)
    assert skin_hit(path, line).gap_mm == pytest.approx(apart_mm(0, 5) - 2.5, abs=0.01)


def test_the_side_view_shows_the_lateral_face_as_near(limb, make_pin):
    cut = Incision(segment="leg", view="side", line=((0, 50), (0, 150)), half_width_mm=0)
    assert skin_hit(pin_path(limb, make_pin(bearing_deg=0)), cut).is_hit
    assert not skin_hit(pin_path(limb, make_pin(bearing_deg=180)), cut).on_face


def test_a_puncture_at_the_edge_of_the_view_is_on_both_faces(limb, make_pin):
    path = pin_path(limb, make_pin(bearing_deg=2))
    edge = box(40, 50, 80, 120)
    assert skin_hit(path, wound(outline=edge)).is_hit
    assert skin_hit(path, wound(outline=edge, face="far")).is_hit


def test_a_mark_with_nothing_drawn_is_refused(limb, make_pin):
    with pytest.raises(GeometryError, match="no outline and no line"):
        skin_hit(pin_path(limb, make_pin()), wound())


def test_a_mark_seen_from_above_is_met_by_x_and_y(round_limb, make_pin):
    path = pin_path(round_limb(front_shows="forward"), make_pin(bearing_deg=0))
    assert skin_hit(path, wound(outline=box(40, 50, -5, 5))).is_hit
    assert not skin_hit(path, wound(outline=PATCH)).is_hit


def test_a_line_at_the_edge_of_the_front_view_lies_on_the_side_of_the_limb(limb):
    laid = mark_on_skin(limb, wound(line=((-44, 50), (-44, 150))))
    assert laid[:, 0] == pytest.approx(-44)
    assert laid[:, 1] == pytest.approx(math.sqrt(SKIN_MM**2 - 44**2), abs=0.02)
    assert (laid[0, 2], laid[-1, 2]) == (50, 150)


def test_what_is_drawn_beyond_the_edge_lies_on_it(limb):
    laid = mark_on_skin(limb, wound(line=((-60, 50), (-60, 150))))
    assert laid[:, :2] == pytest.approx(np.tile((-SKIN_MM, 0.0), (len(laid), 1)), abs=0.02)


def test_a_far_face_lies_behind(limb):
    laid = mark_on_skin(limb, wound(line=((0, 50), (0, 150)), face="far"))
    assert laid[:, 1] == pytest.approx(-SKIN_MM, abs=0.02)


def test_a_pin_just_behind_the_edge_meets_a_wide_line_that_reaches_round_it(limb, make_pin):
    line = wound(line=((46, 50), (46, 150)), half_width_mm=14)
    behind = pin_path(limb, make_pin(bearing_deg=-20))
    chord_mm = 2 * SKIN_MM * math.sin(math.radians(10))
    assert chord_mm < 14 + 2.5
    assert skin_hit(behind, line).is_hit
    narrow = wound(line=((46, 50), (46, 150)), half_width_mm=12)
    assert not skin_hit(behind, narrow).is_hit


def test_a_gap_near_the_edge_runs_round_the_limb_not_across_the_paper(limb, make_pin):
    line = wound(line=((44, 50), (44, 150)), half_width_mm=0)
    path = pin_path(limb, make_pin(bearing_deg=30))
    entry_u = SKIN_MM * math.cos(math.radians(30))
    found = skin_hit(path, line)
    assert found.gap_mm == pytest.approx(apart_mm(entry_u, 44) - 2.5, abs=0.02)
    assert found.gap_mm > 44 - entry_u - 2.5 + 5


def test_nothing_is_laid_on_the_skin_in_a_view_from_above(round_limb):
    above = mark_on_skin(round_limb(front_shows="forward"), wound(outline=PATCH))
    assert above.shape == (0, 3)


def test_without_skin_a_mark_is_met_as_it_is_seen(round_limb, make_pin):
    bare = round_limb(skin=lambda _: None)
    path = pin_path(bare, make_pin(bearing_deg=90))
    assert skin_hit(path, wound(outline=box(2, 30, 80, 120))).is_hit
    assert not skin_hit(path, wound(outline=box(4, 30, 80, 120))).is_hit
