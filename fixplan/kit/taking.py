"""Which line of stock gives which need: a largest matching, found by augmenting paths.

Lines are asked in their order, so what stands first is taken first; a need once met stays met.
"""

from collections import defaultdict, deque
from itertools import pairwise

from fixplan.kit.cover import Row

Given = dict[tuple[int, int], int]
"""How many a line of stock (by index) gives to a need (by index)."""


def given(need: list[int], rows: list[Row], before: Given | None = None) -> Given:
    """A largest matching that keeps what `before` met; rows of `before` keep their index."""
    taken: Given = defaultdict(int, before or {})
    met = [sum(n for (_, one), n in taken.items() if one == k) for k in range(len(need))]
    for row, (count, _) in enumerate(rows):
        used = sum(n for (one, _), n in taken.items() if one == row)
        while used < count:
            path = _path(row, need, met, rows, taken)
            if path is None:
                break
            used += 1
            met[path[-1][1]] += 1
            _follow(path, taken)
    return {key: n for key, n in taken.items() if n}


def _path(
    start: int, need: list[int], met: list[int], rows: list[Row], taken: Given
) -> list[tuple[int, int]] | None:
    """Steps (line, need): each line gives one to its need, which gives up one of the next line."""
    came: dict[int, list[tuple[int, int]]] = {start: []}
    waiting = deque([start])
    seen: set[int] = set()
    while waiting:
        row = waiting.popleft()
        for one in sorted(rows[row][1] - seen):
            seen.add(one)
            steps = [*came[row], (row, one)]
            if met[one] < need[one]:
                return steps
            for other in [r for (r, n), count in taken.items() if n == one and count]:
                if other not in came:
                    came[other] = steps
                    waiting.append(other)
    return None


def _follow(path: list[tuple[int, int]], taken: Given) -> None:
    for (row, one), (other, _) in pairwise(path):
        taken[row, one] += 1
        taken[other, one] -= 1
    last = path[-1]
    taken[last] += 1
