"""Figures of a class against a worked example and against scipy and numpy.

Kappa: the worked example of fourteen raters, ten subjects and five categories that is commonly
printed beside Fleiss, Psychol Bull 1971;76:378: kappa 0.210
(mean agreement 0.378, by chance 0.213).
"""

import numpy as np
import pytest
from scipy import stats

from fixplan.teach.agreement import Sums, fleiss_kappa, quantile

FOURTEEN_RATERS = (
    (0, 0, 0, 0, 14),
    (0, 2, 6, 4, 2),
    (0, 0, 3, 5, 6),
    (0, 3, 9, 2, 0),
    (2, 2, 8, 1, 1),
    (7, 7, 0, 0, 0),
    (3, 2, 6, 3, 0),
    (2, 5, 3, 2, 2),
    (6, 5, 2, 1, 0),
    (0, 2, 2, 3, 7),
)


def test_kappa_of_the_worked_example():
    assert fleiss_kappa(FOURTEEN_RATERS) == pytest.approx(0.210, abs=0.0005)


def test_kappa_at_its_ends():
    assert fleiss_kappa(((5, 0), (0, 5))) == pytest.approx(1)
    assert fleiss_kappa(((5, 0), (5, 0))) is None
    assert fleiss_kappa(((1, 0), (0, 1))) is None
    assert fleiss_kappa(()) is None
    assert fleiss_kappa(((1, 1), (1, 1))) == pytest.approx(-1)


@pytest.mark.parametrize("seed", range(10))
def test_correlation_is_that_of_scipy(seed):
    rng = np.random.default_rng(seed)
    x = rng.uniform(0, 1, 60)
    y = 3 * x + rng.normal(0, 1, 60)
    sums = Sums()
    for one, other in zip(x, y, strict=True):
        sums.add(float(one), float(other))
    assert sums.correlation == pytest.approx(stats.pearsonr(x, y).statistic, abs=1e-9)


def test_no_correlation_where_nothing_varies():
    sums = Sums()
    for value in (1.0, 2.0, 3.0):
        sums.add(1.0, value)
    assert sums.correlation is None


@pytest.mark.parametrize("count", [1, 2, 5, 100, 1001])
def test_quantiles_are_those_of_numpy(count):
    values = sorted(np.random.default_rng(count).uniform(0, 100, count).tolist())
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        assert quantile(values, share) == pytest.approx(np.quantile(values, share))
