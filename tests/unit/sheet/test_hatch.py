import pytest

from fixplan.sheet.hatch import hatch_dots, hatch_lines
from fixplan.sheet.shapes import Fill, Polygon

SQUARE = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
HOLE = ((3.0, 3.0), (7.0, 3.0), (7.0, 7.0), (3.0, 7.0))


def _square(hatch: str, spacing_mm: float = 2.0, **more: object) -> Polygon:
    fill = Fill(hatch=hatch, spacing_mm=spacing_mm)
    return Polygon(owner="x", points=SQUARE, fill=fill, **more)


@pytest.mark.parametrize("hatch", ["right", "left", "cross", "sparse"])
def test_lines_stay_inside_and_cover_the_area(hatch: str) -> None:
    lines = hatch_lines(_square(hatch))
    assert all(-1e-9 <= c <= 10 + 1e-9 for line in lines for point in line for c in point)
    total = sum(((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5 for a, b in lines)
    ways = 2 if hatch == "cross" else 1
    assert total * 2.0 == pytest.approx(100.0 * ways, rel=0.15)


def test_right_and_left_lean_opposite_ways() -> None:
    (right,), (left,) = (
        {(b[1] - a[1] > 0) == (b[0] - a[0] > 0) for a, b in hatch_lines(_square(way))}
        for way in ("right", "left")
    )
    assert right != left


def test_a_hole_is_left_out() -> None:
    for a, b in hatch_lines(_square("sparse", 1.0, holes=(HOLE,))):
        middle = (0.5 * (a[0] + b[0]), a[1])
        assert not (3 < middle[0] < 7 and 3 < middle[1] < 7)


def test_dots_lie_inside_and_off_the_hole() -> None:
    dots = hatch_dots(_square("dots", 1.0, holes=(HOLE,)))
    assert len(dots) > 60
    assert all(0 <= x <= 10 and 0 <= y <= 10 for x, y in dots)
    assert not any(3.01 < x < 6.99 and 3.01 < y < 6.99 for x, y in dots)


def test_neighbours_with_the_same_hatch_share_one_grid() -> None:
    moved = Polygon(
        owner="x", points=tuple((x + 10, y) for x, y in SQUARE), fill=Fill(hatch="sparse")
    )
    one = Polygon(owner="x", points=SQUARE, fill=Fill(hatch="sparse"))
    assert [a[1] for a, _ in hatch_lines(one)] == [a[1] for a, _ in hatch_lines(moved)]


def test_no_fill_has_no_hatch() -> None:
    assert hatch_lines(Polygon(owner="x", points=SQUARE)) == ()
    assert hatch_dots(_square("right")) == ()
