import numpy as np
import pytest

from fixplan.sheet.box import Box
from fixplan.sheet.views import Extent, ViewFrame, extent_of, mirror, place_views, stack_views

BOX = Box(10.0, 20.0, 180.0, 150.0)
FRONT = Extent(-60.0, 90.0, 100.0, 500.0)
SIDE = Extent(-80.0, 70.0, 100.0, 500.0)


@pytest.mark.parametrize(
    ("view", "side", "turn"),
    [("front", "right", -1), ("front", "left", 1), ("side", "right", 1), ("side", "left", -1)],
)
def test_direction_of_u_on_the_page(view: str, side: str, turn: int) -> None:
    assert mirror(view, side) == turn


@pytest.mark.parametrize("side", ["right", "left"])
def test_both_views_are_level_and_at_one_scale(side: str) -> None:
    front, across = place_views(FRONT, SIDE, side, BOX, 12.0)
    assert front.scale == across.scale
    assert front.point(0, 300)[1] == across.point(0, 300)[1]
    assert across.box.x - front.box.right == pytest.approx(12.0)


@pytest.mark.parametrize("side", ["right", "left"])
def test_what_a_view_must_show_lies_in_its_box(side: str) -> None:
    for frame, extent in zip(place_views(FRONT, SIDE, side, BOX, 12.0), (FRONT, SIDE), strict=True):
        for u in (extent.u_from, extent.u_to):
            x, _ = frame.point(u, 300.0)
            assert frame.box.x - 1e-6 <= x <= frame.box.right + 1e-6
        assert frame.v_range == pytest.approx((extent.v_from, extent.v_to))
        assert frame.limits[0] < frame.limits[1]


def test_page_and_limb_are_inverse() -> None:
    frame: ViewFrame = place_views(FRONT, SIDE, "right", BOX, 12.0)[0]
    assert frame.from_page(*frame.point(33.0, 222.0)) == pytest.approx((33.0, 222.0))
    assert frame.to_page(np.array([[33.0, 222.0]]))[0] == pytest.approx(frame.point(33.0, 222.0))


def test_extent_grows_to_whole_steps() -> None:
    assert extent_of([(-3.0, 12.0), (14.0, 31.0)]).grown(10.0) == (-10.0, 20.0, 10.0, 40.0)


def test_views_beneath_each_other_share_a_scale_and_keep_their_boxes() -> None:
    wide, deep = Extent(-150.0, 150.0, 0.0, 200.0), Extent(-60.0, 40.0, 0.0, 200.0)
    boxes = (Box(10.0, 20.0, 150.0, 120.0), Box(10.0, 150.0, 150.0, 120.0))
    front, side = stack_views(wide, deep, "right", boxes)
    assert front.scale == side.scale == pytest.approx(0.5)
    assert front.box.height == pytest.approx(100.0)
    assert side.box.y - front.box.bottom == pytest.approx(10.0)
    assert front.point(0.0, 0.0)[0] == pytest.approx(85.0)
    assert side.point(-10.0, 200.0) == pytest.approx((85.0, side.box.bottom))
