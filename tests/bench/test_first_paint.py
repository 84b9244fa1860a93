"""Command to first paint of a sample case, against a bare window that imports numpy and shapely.

Ours goes the way of `fixplan CASE`. Both run off screen, from compiled byte code, in a process of
their own; the best of 7 turns each.
"""

import os
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
CASE = ROOT / "sample_cases" / "open-tibial-shaft.json"
TURNS = 7

BARE = """
import sys, numpy, shapely
from PySide6.QtWidgets import QApplication, QMainWindow
from PySide6.QtCore import QTimer
app = QApplication(sys.argv)
window = QMainWindow()
window.resize(1400, 900)
window.show()
window.repaint()
app.processEvents()
"""

OURS = f"""
import gc, os, sys
from pathlib import Path
sys.argv = ["fixplan"]
os.environ["OPENBLAS_NUM_THREADS"] = "1"
gc.set_threshold(100_000, 50, 50)
from fixplan.desk.running import Desk
from PySide6.QtWidgets import QApplication
desk = Desk()
window = desk.new_window()
window.open_path(Path({str(CASE)!r}))
window.resize(1400, 900)
window.show()
window.repaint()
QApplication.processEvents()
"""


def run_s(code: str, environment: dict[str, str]) -> float:
    start = time.perf_counter()
    subprocess.run([sys.executable, "-c", code], env=environment, check=True)
    return time.perf_counter() - start


def test_command_to_first_paint(told, tmp_path: Path) -> None:
    environment = {
        **os.environ,
        "QT_QPA_PLATFORM": "offscreen",
        "PYTHONPYCACHEPREFIX": str(tmp_path / "bytecode"),
        "XDG_CONFIG_HOME": str(tmp_path / "config"),
        "XDG_STATE_HOME": str(tmp_path / "state"),
        "FIXPLAN_HOUSE": "",
    }
    for name in ("PYTHONDONTWRITEBYTECODE", "OPENBLAS_NUM_THREADS"):
        environment.pop(name, None)
    run_s(OURS, environment)
    run_s(BARE, environment)
    turns = [(run_s(OURS, environment), run_s(BARE, environment)) for _ in range(TURNS)]
    ours, bare = (min(column) for column in zip(*turns, strict=True))
    told("sample case to first paint", ours, "a bare window with numpy and shapely", bare, 1.6)
