import pytest

from fixplan.errors import GeometryError
from fixplan.geometry.grown import grown_outline

SQUARE = ((0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0))


def test_a_grown_square_reaches_its_margin_on_every_side() -> None:
    us, vs = zip(*grown_outline(SQUARE, 10.0), strict=True)
    assert (min(us), max(us)) == pytest.approx((-10.0, 50.0))
    assert (min(vs), max(vs)) == pytest.approx((-10.0, 40.0))


def test_no_corner_of_a_grown_square_is_farther_than_its_margin() -> None:
    for u, v in grown_outline(SQUARE, 10.0):
        gap = (max(-u, u - 40.0, 0.0) ** 2 + max(-v, v - 30.0, 0.0) ** 2) ** 0.5
        assert gap == pytest.approx(10.0)


def test_a_bow_tie_is_refused() -> None:
    with pytest.raises(GeometryError):
        grown_outline(((0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)), 5.0)
