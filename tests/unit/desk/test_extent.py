"""How far shapes reach, and how near a point comes to them."""

from math import hypot, inf

import pytest

from fixplan.desk.extent import extent_mm, gap_mm, is_inside, polyline_gap_mm
from fixplan.sheet.shapes import Disc, Fill, Line, Polygon, Stroke, Text

SQUARE = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))


def test_the_extent_holds_the_ink_not_only_the_points():
    line = Line(owner="a", points=((0.0, 0.0), (10.0, 0.0)), stroke=Stroke(width_mm=1.0))
    x, y, width, height = extent_mm([line])
    assert x < -0.5
    assert y < -0.5
    assert x + width > 10.5
    assert y + height > 0.5


def test_nothing_has_no_extent():
    assert extent_mm([]) == (0.0, 0.0, 0.0, 0.0)


def test_text_is_as_wide_as_it_is_set_and_turns_with_it():
    straight = extent_mm([Text(owner="a", at=(0.0, 0.0), text="Pin 3", size_mm=4.0)])
    turned = extent_mm([Text(owner="a", at=(0.0, 0.0), text="Pin 3", size_mm=4.0, turn_deg=90.0)])
    assert straight[2] > straight[3]
    assert turned[3] > turned[2]
    right = extent_mm([Text(owner="a", at=(0.0, 0.0), text="Pin 3", align="right")])
    assert right[0] + right[2] < 2.0


def test_inside_a_filled_outline_the_gap_is_nothing():
    filled = Polygon(owner="a", points=SQUARE, fill=Fill(tint="#ffffff"))
    hollow = Polygon(owner="a", points=SQUARE)
    assert gap_mm(filled, (5.0, 5.0)) == 0.0
    assert gap_mm(hollow, (5.0, 4.0)) == pytest.approx(4.0)
    assert gap_mm(filled, (13.0, 14.0)) == pytest.approx(5.0)


def test_the_last_side_of_an_outline_counts_too():
    assert gap_mm(Polygon(owner="a", points=SQUARE), (-2.0, 5.0)) == pytest.approx(2.0)


def test_discs_and_text():
    hollow = Disc(owner="a", centre=(0.0, 0.0), radius_mm=5.0)
    filled = Disc(owner="a", centre=(0.0, 0.0), radius_mm=5.0, fill=Fill(tint="#ffffff"))
    assert gap_mm(hollow, (0.0, 0.0)) == pytest.approx(5.0)
    assert gap_mm(filled, (1.0, 0.0)) == 0.0
    assert gap_mm(filled, (9.0, 0.0)) == pytest.approx(4.0)
    assert gap_mm(Text(owner="a", at=(0.0, 0.0), text="x"), (0.0, 0.0)) == inf


@pytest.mark.parametrize("at", [(5.0, 3.0), (-3.0, 4.0), (14.0, -3.0)])
def test_a_polylines_gap_against_sampling(at):
    points = ((0.0, 0.0), (10.0, 0.0), (10.0, 8.0))
    sampled = min(
        hypot(ax + t / 1000 * (bx - ax) - at[0], ay + t / 1000 * (by - ay) - at[1])
        for (ax, ay), (bx, by) in ((points[0], points[1]), (points[1], points[2]))
        for t in range(1001)
    )
    assert polyline_gap_mm(points, at) == pytest.approx(sampled, abs=0.01)


def test_degenerate_lines():
    assert polyline_gap_mm((), (0.0, 0.0)) == inf
    assert polyline_gap_mm(((3.0, 4.0),), (0.0, 0.0)) == pytest.approx(5.0)
    assert polyline_gap_mm(((3.0, 4.0), (3.0, 4.0)), (0.0, 0.0)) == pytest.approx(5.0)


def test_inside_is_even_odd():
    assert is_inside(SQUARE, (5.0, 5.0))
    assert not is_inside(SQUARE, (15.0, 5.0))
