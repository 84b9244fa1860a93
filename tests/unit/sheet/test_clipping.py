from itertools import pairwise

import pytest

from fixplan.sheet.box import Box
from fixplan.sheet.clipping import clipped_lines, clipped_ring, spans_at

BOX = Box(0.0, 0.0, 10.0, 10.0)
SQUARE = [(-5.0, 5.0), (5.0, 5.0), (5.0, 15.0), (-5.0, 15.0)]


def _area(ring: list[tuple[float, float]]) -> float:
    pairs = zip(ring, ring[1:] + ring[:1], strict=True)
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)) / 2


def test_a_ring_inside_is_unchanged() -> None:
    ring = [(1.0, 1.0), (2.0, 1.0), (2.0, 2.0)]
    assert clipped_ring(ring, BOX) == ring


def test_a_ring_across_the_corner_keeps_its_part() -> None:
    assert _area(clipped_ring(SQUARE, BOX)) == pytest.approx(25.0)


def test_a_ring_outside_is_empty() -> None:
    assert clipped_ring([(20.0, 1.0), (30.0, 1.0), (30.0, 9.0)], BOX) == []
    assert clipped_ring([], BOX) == []


def test_the_window_edge_is_no_part_of_the_line() -> None:
    pieces = clipped_lines(SQUARE, BOX)
    length = sum(
        ((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5
        for piece in pieces
        for a, b in pairwise(piece)
    )
    assert length == pytest.approx(10.0)


def test_an_open_line_through_the_box_is_cut_at_both_ends() -> None:
    assert clipped_lines([(-5.0, 5.0), (15.0, 5.0)], BOX, closed=False) == [
        [(0.0, 5.0), (10.0, 5.0)]
    ]


def test_spans_of_a_ring_with_two_legs() -> None:
    legs = [
        (0.0, 0.0),
        (9.0, 0.0),
        (9.0, 9.0),
        (6.0, 9.0),
        (6.0, 3.0),
        (3.0, 3.0),
        (3.0, 9.0),
        (0.0, 9.0),
    ]
    assert spans_at(legs, 6.0) == [(0.0, 3.0), (6.0, 9.0)]
    assert spans_at(legs, 20.0) == []
