"""Labels in a column, moved apart until none overlaps, each as near its place as it can be."""

from collections.abc import Sequence


def spread(
    wanted: Sequence[float], heights: Sequence[float], top: float, bottom: float
) -> list[float]:
    """Middles for labels wanted at given levels, in the order given, within top and bottom, mm.

    `wanted` must ascend. Neighbours that would overlap are joined and centred on their mean, as
    long as they fit; where the column is too short they run over its lower end.
    """
    groups: list[tuple[list[int], float]] = []
    for index, (level, height) in enumerate(zip(wanted, heights, strict=True)):
        groups.append(([index], level - 0.5 * height))
        while len(groups) > 1 and _end(groups[-2], heights) > groups[-1][1]:
            members = groups[-2][0] + groups[-1][0]
            groups[-2:] = [(members, _start(members, wanted, heights))]
        members, start = groups[-1]
        groups[-1] = (members, start)
    return _middles(_within(groups, heights, top, bottom), heights)


def _end(group: tuple[list[int], float], heights: Sequence[float]) -> float:
    return group[1] + sum([heights[index] for index in group[0]])


def _start(members: list[int], wanted: Sequence[float], heights: Sequence[float]) -> float:
    """Where a joined group starts so that its labels lie nearest their places on the mean."""
    offset, total = 0.0, 0.0
    for index in members:
        total += wanted[index] - (offset + 0.5 * heights[index])
        offset += heights[index]
    return total / len(members)


def _within(
    groups: list[tuple[list[int], float]], heights: Sequence[float], top: float, bottom: float
) -> list[tuple[list[int], float]]:
    """Groups pushed up from the lower end, then down from the upper end."""
    limit = bottom
    pushed: list[tuple[list[int], float]] = []
    for members, start in reversed(groups):
        size = sum([heights[index] for index in members])
        moved = min(start, limit - size)
        pushed.append((members, moved))
        limit = moved
    limit = top
    settled = []
    for members, start in reversed(pushed):
        moved = max(start, limit)
        settled.append((members, moved))
        limit = moved + sum([heights[index] for index in members])
    return settled


def _middles(groups: list[tuple[list[int], float]], heights: Sequence[float]) -> list[float]:
    middles = [0.0] * len(heights)
    for members, start in groups:
        level = start
        for index in members:
            middles[index] = level + 0.5 * heights[index]
            level += heights[index]
    return middles
