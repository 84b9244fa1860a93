"""Kit to open for a busy frame from many trays, beside a bare matrix solve on this machine."""

import time

import numpy as np
from msgspec.structs import replace

from fixplan.kit.answer import kit_for
from fixplan.kit.parts import needs_of
from fixplan.kit.trays import Tray, Trays, shipped_trays
from tests.bench.cases import busy_case

AIM_S = 0.050
TRAYS = 30


def many_trays(count: int) -> Trays:
    """The shipped trays again and again, each copy poorer in another way, so that none is alike."""
    shipped = shipped_trays().trays
    made: list[Tray] = []
    for n in range(count):
        tray = shipped[n % len(shipped)]
        lines = tuple(
            replace(line, count=max(line.count - (n + k) % 4, 0))
            for k, line in enumerate(tray.stock)
        )
        made.append(replace(tray, name=f"{tray.name} {n}", is_out=False, stock=lines))
    return Trays(trays=tuple(made))


def test_kit_for_twelve_pins_and_thirty_trays(told) -> None:
    case, trays = busy_case(pins=12), many_trays(TRAYS)
    needs_of(case)  # what the drawing needs anyway
    found = []
    for _ in range(15):
        start = time.perf_counter()
        answer = kit_for([case], trays)
        found.append(time.perf_counter() - start)
    assert answer.opened
    assert answer.is_proven
    matrix = np.eye(200) + np.ones((200, 200))
    start = time.perf_counter()
    np.linalg.solve(matrix, matrix)
    bare = time.perf_counter() - start
    told(f"kit, {len(answer.opened)} trays to open", float(np.median(found)), "LAPACK", bare, 50)
    assert told("the same", float(np.median(found)), "aim", AIM_S, 1.0) < 1.0
