"""Pins against regions drawn in two views, compared with an independent dense computation.

The program cuts the region into convex cells and clips the axis by planes. Here the region is asked
level by level instead: at a level its shape is a product of two sets of intervals, found by cutting
both outlines with a horizontal line. No source: plain geometry. Tolerances: 0.05 mm for a gap and
0.02 mm for a length inside, from the spacing of the samples.
"""

import numpy as np
import pytest
import shapely

from fixplan.geometry.axis_gap import Axis
from fixplan.geometry.outlines import axis_region_gap, outlines_problem
from fixplan.geometry.validity import polygon_problem

GAP_TOLERANCE_MM = 0.05
LENGTH_TOLERANCE_MM = 0.02
DEEP = 1e4


def star(rng, middle, reach, sides):
    """A simple outline with bays: corners at rising bearings and random distances."""
    bearings = np.sort(rng.uniform(0, 2 * np.pi, sides))
    reaches = rng.uniform(0.3, 1.0, sides) * reach
    corners = middle + np.column_stack((np.cos(bearings), np.sin(bearings))) * reaches[:, None]
    return tuple(map(tuple, corners.tolist()))


def random_outline(rng):
    while True:
        middle = np.array((rng.uniform(-25, 25), rng.uniform(70, 130)))
        outline = star(rng, middle, rng.uniform(15, 45), int(rng.integers(3, 12)))
        if polygon_problem(outline) is None:
            return outline


def random_region(rng):
    drawn = rng.integers(0, 6)
    front = random_outline(rng) if drawn != 0 else ()
    side = random_outline(rng) if drawn != 1 else ()
    return front, side


def random_axis(rng):
    tip = np.array((*rng.uniform(-30, 30, 2), rng.uniform(60, 140)))
    bearing, tilt = rng.uniform(0, 2 * np.pi), np.radians(rng.choice([0.0, rng.uniform(-40, 40)]))
    along = np.array(
        (np.cos(tilt) * np.cos(bearing), np.cos(tilt) * np.sin(bearing), -np.sin(tilt))
    )
    return Axis(tip, tip + rng.uniform(40, 110) * along)


def intervals(outline, level):
    """The stretches of u that a horizontal cut of an outline covers; None above and below it."""
    if not outline or not min(v for _, v in outline) <= level <= max(v for _, v in outline):
        return None
    cut = shapely.Polygon(outline).intersection(shapely.LineString([(-DEEP, level), (DEEP, level)]))
    return [(part.bounds[0], part.bounds[2]) for part in shapely.get_parts(cut)]


def away(values, stretches):
    """Distance of each value to the nearest stretch."""
    lows, highs = np.array(stretches).T
    return np.maximum(np.maximum(lows - values[:, None], values[:, None] - highs), 0).min(axis=1)


def sampled_gap(axis, front, side, ats, levels):
    """Least distance from sampled points of the axis to the region at sampled levels."""
    points = axis.start_mm + ats[:, None] * axis.along
    best = (np.inf, 0.0, 0.0)
    for level in levels:
        across_x, across_y = intervals(front, level), intervals(side, level)
        if across_x is None and across_y is None:
            continue
        off = (points[:, 2] - level) ** 2
        off += 0 if across_x is None else away(points[:, 0], across_x) ** 2
        off += 0 if across_y is None else away(points[:, 1], across_y) ** 2
        nearest = int(off.argmin())
        best = min(best, (float(np.sqrt(off[nearest])), float(ats[nearest]), float(level)))
    return best


def dense_gap(axis, front, side):
    """Coarse search, then twice finer about the best; the region's own levels are always tried."""
    own = np.unique([v for outline in (front, side) for _, v in outline])
    ats, levels = np.linspace(0, axis.length_mm, 200), np.linspace(own.min(), own.max(), 240)
    best, at, level = sampled_gap(axis, front, side, ats, np.concatenate((levels, own)))
    for window in (2.0, 0.1):
        ats = np.clip(np.linspace(at - window, at + window, 120), 0, axis.length_mm)
        levels = np.clip(np.linspace(level - window, level + window, 120), own.min(), own.max())
        found = sampled_gap(axis, front, side, ats, levels)
        best, at, level = min((best, at, level), found)
    return best


def dense_length(axis, front, side, step=0.004):
    ats = np.arange(step / 2, axis.length_mm, step)
    points = axis.start_mm + ats[:, None] * axis.along
    inside = np.zeros(len(ats), dtype=int)
    covered = np.zeros(len(ats), dtype=bool)
    drawn = [(outline, u) for outline, u in ((front, 0), (side, 1)) if outline]
    for outline, u in drawn:
        polygon = shapely.Polygon(outline)
        top, end = polygon.bounds[1], polygon.bounds[3]
        has_level = (points[:, 2] >= top) & (points[:, 2] <= end)
        inside += ~has_level | shapely.contains_xy(polygon, points[:, u], points[:, 2])
        covered |= has_level
    return float((covered & (inside == len(drawn))).sum() * step)


def cases(count, seed):
    rng = np.random.default_rng(seed)
    while count:
        front, side = random_region(rng)
        if outlines_problem(front, side) is None:
            count -= 1
            axis = random_axis(rng)
            yield axis, front, side, axis_region_gap(axis, 0.0, front, side)


def test_length_inside_agrees_with_dense_sampling():
    met = 0
    for axis, front, side, found in cases(150, seed=1):
        expected = dense_length(axis, front, side)
        assert found.inside_mm == pytest.approx(expected, abs=LENGTH_TOLERANCE_MM)
        met += expected > 0
    assert met > 40


def test_gap_agrees_with_dense_sampling():
    apart = 0
    for axis, front, side, found in cases(60, seed=2):
        expected = dense_gap(axis, front, side)
        assert found.gap_mm == pytest.approx(expected, abs=GAP_TOLERANCE_MM)
        apart += expected > 1
    assert apart > 15


def test_radius_only_takes_from_the_gap():
    for axis, front, side, found in cases(60, seed=3):
        thick = axis_region_gap(axis, 2.5, front, side)
        assert thick.gap_mm == pytest.approx(max(found.gap_mm - 2.5, 0))
        assert thick.inside_mm == found.inside_mm
