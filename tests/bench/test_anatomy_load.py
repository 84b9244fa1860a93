"""Anatomy of all limbs, read and judged in a fresh process: what it adds to a start, at most 60 ms.

Yardstick in the same process: the same files through `json.loads`. Limbs are loaded when first
needed, so a start pays for one of them.
"""

import subprocess
import sys

from fixplan.limb.library import resources_dir

TURNS = 9
AIM_S = 0.060
OURS = """
import time, numpy, shapely, msgspec
from fixplan.limb.scale import limb_of
start = time.process_time()
for kind in ("leg", "arm", "pelvis"):
    limb_of(kind)
print(time.process_time() - start)
"""
THEIRS = """
import json, pathlib, sys, time
files = list(pathlib.Path(sys.argv[1]).glob("anatomy/*.json"))
start = time.process_time()
for file in files:
    json.loads(file.read_text(encoding="utf-8"))
print(time.process_time() - start)
"""


def spent_s(program: str) -> float:
    """Least processor time that a program tells of itself, s."""
    command = [sys.executable, "-c", program, str(resources_dir())]
    told = [subprocess.run(command, capture_output=True, check=True) for _ in range(TURNS)]
    return min(float(one.stdout) for one in told)


def test_anatomy_of_all_limbs(told) -> None:
    theirs = spent_s(THEIRS)
    told(
        "anatomy of all limbs",
        spent_s(OURS),
        "json.loads of its files",
        theirs,
        round(AIM_S / theirs, 1),
    )
