"""Labels in a column, moved apart until none overlaps, each as near its place as it can be."""

from collections.abc import Sequence

Group = tuple[int, float, float]
"""Labels that touch: how many, the sum of the starts they would like it to have, their height."""


def spread(
    wanted: Sequence[float], heights: Sequence[float], top: float, bottom: float
) -> list[float]:
    """Middles for labels wanted at given levels, in the order given, within top and bottom, mm.

    `wanted` must ascend. Neighbours that would overlap are joined and centred on their mean, as
    long as they fit; where the column is too short they run over its lower end.
    """
    groups: list[Group] = []
    for level, height in zip(wanted, heights, strict=True):
        members, pull, tall = 1, level - 0.5 * height, height
        while groups and groups[-1][1] / groups[-1][0] + groups[-1][2] > pull / members:
            above, pull_above, tall_above = groups.pop()
            pull += pull_above - members * tall_above
            members, tall = members + above, tall + tall_above
        groups.append((members, pull, tall))
    return _middles(groups, _starts(groups, top, bottom), heights)


def _starts(groups: list[Group], top: float, bottom: float) -> list[float]:
    """Starts of the groups, pushed up from the lower end, then down from the upper end."""
    limit = bottom
    pushed = []
    for members, pull, tall in reversed(groups):
        limit = min(pull / members, limit - tall)
        pushed.append(limit)
    limit = top
    starts = []
    for (_, _, tall), start in zip(groups, reversed(pushed), strict=True):
        starts.append(max(start, limit))
        limit = starts[-1] + tall
    return starts


def _middles(groups: list[Group], starts: list[float], heights: Sequence[float]) -> list[float]:
    middles: list[float] = []
    for (members, _, _), start in zip(groups, starts, strict=True):
        level = start
        for _ in range(members):
            height = heights[len(middles)]
            middles.append(level + 0.5 * height)
            level += height
    return middles
