"""`fixplan check` on one case, whole process, against a process that imports numpy and shapely.

Both run from compiled byte code, as an installed program does; the best of 15 turns each.
"""

import os
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
CASE = ROOT / "tests" / "data" / "case_v1.json"
TURNS = 15
AIM = 1.5


def run_s(arguments: list[str], environment: dict[str, str]) -> float:
    start = time.perf_counter()
    subprocess.run(
        [sys.executable, *arguments], stdout=subprocess.DEVNULL, env=environment, check=False
    )
    return time.perf_counter() - start


def test_check_of_one_case_starts_fast(told, tmp_path: Path) -> None:
    environment = {**os.environ, "PYTHONPYCACHEPREFIX": str(tmp_path)}
    for name in ("PYTHONDONTWRITEBYTECODE", "OPENBLAS_NUM_THREADS"):
        environment.pop(name, None)
    check = ["-c", "from fixplan.cli import run; run()", "check", str(CASE)]
    yardstick = ["-c", "import numpy, shapely"]
    run_s(check, environment)
    run_s(yardstick, environment)
    turns = [(run_s(check, environment), run_s(yardstick, environment)) for _ in range(TURNS)]
    ours, theirs = (min(column) for column in zip(*turns, strict=True))
    told("check of one case", ours, "python -c 'import numpy, shapely'", theirs, AIM)
