"""Outlines that cross or touch themselves, against shapely as a second opinion."""

import math
import random

import pytest
from shapely.geometry import Polygon

from fixplan.case.crossing import line_problem, outline_problem


def ring(count: int, radius_mm: float = 50.0) -> tuple[tuple[float, float], ...]:
    turns = [2 * math.pi * index / count for index in range(count)]
    return tuple((radius_mm * math.cos(turn), radius_mm * math.sin(turn)) for turn in turns)


@pytest.mark.parametrize("count", [3, 4, 60, 2000])
def test_a_ring_is_sound(count: int) -> None:
    assert outline_problem(ring(count)) is None
    assert outline_problem(tuple(reversed(ring(count)))) is None


def test_a_repeated_and_a_closing_point_are_overlooked() -> None:
    points = ring(5)
    assert outline_problem((*points, points[-1], points[0])) is None


def test_a_crossing_at_the_closing_edge() -> None:
    assert "crosses itself" in str(outline_problem(((0, 0), (10, 0), (0, 10), (5, -5))))


def test_a_vertex_on_another_edge_counts_as_crossing() -> None:
    points = ((0, 0), (10, 0), (10, 10), (5, 0), (0, 10))
    assert "crosses itself" in str(outline_problem(points))


def test_an_edge_that_runs_back_over_itself() -> None:
    points = ((0, 0), (10, 0), (10, 10), (10, 20), (10, 10), (0, 10))
    assert "crosses itself" in str(outline_problem(points))


def test_points_on_one_line_are_no_outline() -> None:
    assert "crosses itself" in str(outline_problem(((0, 0), (10, 0), (20, 0))))


@pytest.mark.parametrize("line", [(), ((1.0, 2.0),), ((1.0, 2.0), (1.0, 2.0))])
def test_a_line_without_length(line: tuple[tuple[float, float], ...]) -> None:
    assert "at least 2" in str(line_problem(line))


def test_random_outlines_are_judged_as_shapely_judges_them() -> None:
    chance = random.Random(7)
    verdicts = []
    for _ in range(600):
        count = chance.randint(3, 9)
        points = tuple((chance.uniform(0, 99), chance.uniform(0, 99)) for _ in range(count))
        sound = outline_problem(points) is None
        assert sound == Polygon(points).is_valid, points
        verdicts.append(sound)
    assert 100 < sum(verdicts) < 500
