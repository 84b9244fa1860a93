"""Dimension lines beside the front view: those that would run over each other stand apart."""

import pytest

from fixplan.sheet.dimensions import (
    LANE_MM,
    Measured,
    Running,
    dimensions_width_mm,
    draw_dimensions,
)
from fixplan.sheet.ink import THIN
from fixplan.sheet.shapes import Line

FIFTH = Running("head of the fifth metatarsal", (60.0, 50.0), (Measured((62.0, 24.0), "26"),))
FIRST = Running("head of the first metatarsal", (58.0, 52.0), (Measured((55.0, 37.0), "15"),))
KNEE = Running("knee joint line", (58.0, 5.0), (Measured((55.0, 15.0), "40"),))
ENDS = (0.0, 100.0)


def uprights(*runs: Running) -> list[tuple[float, float, float]]:
    """x, upper and lower end of each dimension line drawn."""
    shapes = draw_dimensions(runs, 40.0, *ENDS)
    lines = [one for one in shapes if isinstance(one, Line) and one.stroke == THIN]
    return [(a[0], a[1], b[1]) for a, b in (one.points for one in lines) if a[0] == b[0]]


def test_lines_at_the_same_levels_stand_side_by_side() -> None:
    longer, shorter = sorted(uprights(FIFTH, FIRST))
    assert longer == (40.0 - LANE_MM, 24.0, 50.0)
    assert shorter == (40.0, 37.0, 52.0)


def test_lines_at_other_levels_share_one_upright() -> None:
    assert {x for x, _, _ in uprights(KNEE, FIRST)} == {40.0}


def test_room_grows_by_each_line_that_stands_apart() -> None:
    one, two = (dimensions_width_mm(runs, *ENDS) for runs in ([FIRST], [FIRST, FIFTH]))
    assert two - one == pytest.approx(LANE_MM)
