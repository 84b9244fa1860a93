"""The cells of a class's heat map against numpy's own histogram of the same pins."""

import numpy as np
import pytest

from fixplan.case.records import Case
from fixplan.sheet.heat_map import seen_cells
from fixplan.sheet.zoomed import zoomed_of
from fixplan.teach.class_figures import CELL_MM, cell_of
from fixplan.teach.many import Spot


def spots(seed, count=2000):
    rng = np.random.default_rng(seed)
    places = rng.integers((-60, -60, 40), (60, 60, 340), size=(count, 3))
    return [Spot("leg", *map(int, place)) for place in places]


def histogram(values):
    """Counts in cells whose middles are whole multiples of the cell."""
    edges = [np.arange(-600, 1200, CELL_MM) - CELL_MM / 2 for _ in range(values.shape[1])]
    counts, _ = np.histogramdd(values, bins=edges)
    return sorted(counts[counts > 0].astype(int).tolist())


@pytest.mark.parametrize("seed", range(5))
def test_cells_are_all_of_one_size(seed):
    drawn = spots(seed)
    counted = {}
    for spot in drawn:
        counted[cell_of(spot)] = counted.get(cell_of(spot), 0) + 1
    values = np.array([(one.x_mm, one.y_mm, one.level_mm) for one in drawn], dtype=float)
    assert sorted(counted.values()) == histogram(values)


@pytest.mark.parametrize(("view", "column"), [("front", 0), ("side", 1)])
@pytest.mark.parametrize("side", ["right", "left"])
def test_a_view_adds_up_the_cells_behind_each_other(view, column, side):
    drawn = spots(9)
    heat = {}
    for spot in drawn:
        heat[cell_of(spot)] = heat.get(cell_of(spot), 0) + 1
    cells = seen_cells(zoomed_of(Case(side=side)), view, heat)
    values = np.array([(one.x_mm, one.y_mm, one.level_mm) for one in drawn], dtype=float)
    assert sorted(cells.values()) == histogram(values[:, (column, 2)])
    assert sum(cells.values()) == len(drawn)
