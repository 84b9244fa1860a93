"""A film of 20 megapixels: opened, and panned, also far in, with the frame drawn over it.

Yardsticks: decoding the same file with Qt alone, and a sixtieth of a second. Aims: open under 1 s,
60 frames a second, memory under four times the decoded pixels.
"""

import resource
import time
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageFilter
from PySide6.QtGui import QImage, QPixmapCache
from PySide6.QtWidgets import QApplication

from fixplan.desk.film import feature
from fixplan.desk.settings import Settings
from fixplan.desk.theme import PAINTED_KB
from fixplan.desk.window import DeskWindow

ROOT = Path(__file__).parents[2]
WIDE, HIGH = 5000, 4000


@pytest.fixture
def film(tmp_path: Path) -> Path:
    rows = np.random.default_rng(0).integers(0, 255, (HIGH, WIDE), dtype=np.uint8)
    path = tmp_path / "film.jpg"
    Image.fromarray(rows).filter(ImageFilter.GaussianBlur(2)).save(path)
    return path


def resident_bytes() -> int:
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * resource.getpagesize()


def test_a_large_film(qtbot, tmp_path: Path, film: Path, told, capsys, monkeypatch) -> None:
    monkeypatch.setattr(feature, "ask_view", lambda _: "front")
    case = tmp_path / "plan.json"
    case.write_bytes((ROOT / "sample_cases" / "open-tibial-shaft.json").read_bytes())
    QPixmapCache.setCacheLimit(PAINTED_KB)
    window = DeskWindow(Settings(), lambda: None)
    qtbot.addWidget(window, before_close_func=lambda w: w.document.close())
    window.resize(1680, 1000)
    window.open_path(case)
    window.show()
    qtbot.waitExposed(window)
    pictures = window.features.of("fixplan.desk.film.feature")
    window.view.viewport().repaint()
    start = time.perf_counter()
    QImage(str(film)).size()
    decoding = time.perf_counter() - start
    before = resident_bytes()
    start = time.perf_counter()
    pictures.add_file(film)
    window.view.viewport().repaint()
    spent = time.perf_counter() - start
    more = resident_bytes() - before
    told("20 megapixels opened and painted", spent, "decoding alone", decoding, 1.0 / decoding)
    for zoomed_by in (1.0, 2.0, 4.0):
        window.view.zoom_by(zoomed_by)
        qtbot.wait(300)
        steps = []
        for _ in range(40):
            start = time.perf_counter()
            window.view.pan_by(3, 2)
            QApplication.processEvents()
            steps.append(time.perf_counter() - start)
        told(
            f"one step of a pan at {window.view.zoom:.0f} px a mm, painted",
            float(np.median(steps)),
            "a sixtieth of a second",
            1 / 60,
            1.0,
        )
    with capsys.disabled():
        print(f"\nmemory: {more / (WIDE * HIGH):.2f} times the decoded pixels, aim under 4")
