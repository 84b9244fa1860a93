"""A bar passes one clamp offset beside what holds it (D15); distances by arithmetic."""

from math import cos, radians, sin, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fixplan.errors import EditError
from fixplan.frame.bar_axis import Hold, bar_axis
from fixplan.frame.vectors import dot, line_meeting, minus, point_gap, size, unit

OFFSET = 12.0


def pin(level: float, bearing_deg: float, out: float = 80.0, tilt_deg: float = 0.0) -> Hold:
    turn, tilt = radians(bearing_deg), radians(tilt_deg)
    way = (cos(tilt) * cos(turn), cos(tilt) * sin(turn), -sin(tilt))
    return Hold((out * way[0], out * way[1], level + out * way[2]), way, way, on_bar=False)


def on_bar(at: tuple[float, float, float], run: tuple[float, float, float]) -> Hold:
    return Hold(at, unit(run), (0.0, 1.0, 0.0), on_bar=True)


def test_bar_along_anterior_pins_lies_lateral_for_lay_plus_one() -> None:
    start, end = bar_axis(pin(100, 90), pin(200, 90), 1, OFFSET)
    assert start == pytest.approx((12, 80, 100))
    assert end == pytest.approx((12, 80, 200))


def test_lay_minus_one_lies_on_the_other_side() -> None:
    start, _ = bar_axis(pin(100, 90), pin(200, 90), -1, OFFSET)
    assert start == pytest.approx((-12, 80, 100))


@given(st.floats(-360, 360), st.floats(-60, 60), st.floats(-20, 20), st.sampled_from([1, -1]))
def test_bar_axis_is_one_offset_from_both_pin_axes(bearing, turn, tilt, lay) -> None:
    first, second = pin(100, bearing, tilt_deg=tilt), pin(260, bearing + turn)
    start, end = bar_axis(first, second, lay, OFFSET)
    run = unit(minus(end, start))
    for hold, at in ((first, start), (second, end)):
        assert size(minus(at, hold.point)) == pytest.approx(OFFSET)
        assert dot(minus(at, hold.point), run) == pytest.approx(0, abs=1e-6)
        assert dot(minus(at, hold.point), hold.direction) == pytest.approx(0, abs=1e-6)
        s, t = line_meeting(start, run, hold.point, hold.direction)
        assert abs(t) < 1e-6
        assert s == pytest.approx(dot(minus(at, start), run), abs=1e-6)


def test_link_on_parallel_bars_lies_outside_them() -> None:
    start, end = bar_axis(
        on_bar((0, 80, 100), (0, 0, 1)), on_bar((0, 80, 300), (0, 0, 1)), 1, OFFSET
    )
    assert start == pytest.approx((0, 92, 100))
    assert end == pytest.approx((0, 92, 300))


def test_link_inside_is_nearer_the_limb() -> None:
    start, _ = bar_axis(
        on_bar((0, 80, 100), (0, 0, 1)), on_bar((0, 80, 300), (0, 0, 1)), -1, OFFSET
    )
    assert start == pytest.approx((0, 68, 100))


def test_link_that_crosses_bars_squarely_lies_on_top_of_them() -> None:
    start, end = bar_axis(
        on_bar((-60, 80, 0), (0, 0, 1)), on_bar((60, 80, 0), (0, 0, 1)), 1, OFFSET
    )
    assert start == pytest.approx((-60, 92, 0))
    assert point_gap((0, 92, 0), start, end) == pytest.approx(0, abs=1e-9)


def test_slanting_link_keeps_the_offset_from_its_anchor() -> None:
    start, _ = bar_axis(on_bar((-60, 80, 0), (0, 0, 1)), on_bar((60, 80, 90), (0, 0, 1)), 1, OFFSET)
    assert size(minus(start, (-60, 80, 0))) == pytest.approx(OFFSET)


def test_anchors_in_one_place_are_refused() -> None:
    with pytest.raises(EditError, match="too close"):
        bar_axis(pin(100, 90), pin(100, 90), 1, OFFSET)


def test_a_bar_along_its_own_pin_is_refused() -> None:
    hold = pin(100, 90)
    with pytest.raises(EditError, match="along the pin"):
        bar_axis(hold, Hold((0, 300, 100), (0, 0, 1), (1, 0, 0), on_bar=True), 1, 0.0)


def test_moving_both_anchors_alike_moves_the_bar_alike() -> None:
    start, end = bar_axis(pin(100, 30), pin(220, 60), 1, OFFSET)
    moved = [
        Hold((h.point[0] + 5, h.point[1] - 7, h.point[2] + 11), *h[1:])
        for h in (pin(100, 30), pin(220, 60))
    ]
    new_start, new_end = bar_axis(moved[0], moved[1], 1, OFFSET)
    assert minus(new_start, start) == pytest.approx((5, -7, 11), abs=1e-6)
    assert minus(new_end, end) == pytest.approx((5, -7, 11), abs=1e-6)
    assert sqrt(25 + 49 + 121) == pytest.approx(size(minus(new_start, start)))
