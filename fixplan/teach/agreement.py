"""Figures of a class: quartiles, how far trainees agree, which parts tell good from poor answers.

Written for counts and running sums, so that a class of any size needs no more memory. Sources:
kappa for many raters, Fleiss, Psychol Bull 1971;76:378; correlation, Pearson; quantiles by linear
interpolation (type 7 of Hyndman and Fan, Am Stat 1996;50:361).
"""

from collections.abc import Sequence
from math import sqrt


def fleiss_kappa(table: Sequence[Sequence[int]]) -> float | None:
    """Agreement of many raters beyond chance; 1: all alike, 0: as by chance.

    `table` has a row for each thing rated and a column for each category, with the number of
    raters who chose it; every row has the same number of raters. None where it is not defined:
    fewer than two raters, or all in one category.
    """
    raters = sum(table[0]) if table else 0
    if raters < 2:
        return None
    total = raters * len(table)
    shares = [sum(row[column] for row in table) / total for column in range(len(table[0]))]
    chance = sum(share * share for share in shares)
    pairs = raters * (raters - 1)
    alike = [(sum(count * count for count in row) - raters) / pairs for row in table]
    observed = sum(alike) / len(alike)
    return None if chance >= 1 else (observed - chance) / (1 - chance)


def quantile(ordered: Sequence[float], share: float) -> float:
    """The value below which that share of the sorted values lies, with linear interpolation."""
    place = share * (len(ordered) - 1)
    low = int(place)
    high = min(low + 1, len(ordered) - 1)
    return ordered[low] + (place - low) * (ordered[high] - ordered[low])


class Sums:
    """Running sums of pairs of values, for their correlation."""

    def __init__(self) -> None:
        self.count = 0
        self._x = self._y = self._xx = self._yy = self._xy = 0.0

    def add(self, x: float, y: float) -> None:
        """One more pair."""
        self.count += 1
        self._x += x
        self._y += y
        self._xx += x * x
        self._yy += y * y
        self._xy += x * y

    @property
    def correlation(self) -> float | None:
        """Pearson's r; None for fewer than three pairs, or where one of the two does not vary."""
        n = self.count
        spread = (n * self._xx - self._x**2) * (n * self._yy - self._y**2)
        if n < 3 or spread <= 1e-9:
            return None
        return (n * self._xy - self._x * self._y) / sqrt(spread)
