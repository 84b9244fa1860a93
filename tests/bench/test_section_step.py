"""The section with its clear directions: a turn of its pin, a level seen before, a new level.

Aims: a turn and a level seen before under 2 ms, the slowest new level of the leg under 5 ms. The
yardstick is numpy's tangent of 20,000 numbers, which grows with the machine's load as ours does.
"""

import time
from collections.abc import Callable
from statistics import median

import numpy as np
from msgspec.structs import replace

from fixplan.case.records import Case, Pin
from fixplan.sheet import pages
from fixplan.sheet.section_cut import SectionAt

TURNS = 80
AIM_MS, SLOWEST_AIM_MS = 2.0, 5.0
PIN = Pin(id="pin-1", number=1, bone="tibia", level_mm=190.0, bearing_deg=100.0, diameter_mm=5.0)
CASE = Case(side="right", pins=(PIN,), last_number=1)


def _tangent_s() -> float:
    numbers = np.linspace(0.0, 1.0, 20000)
    spent = []
    for _ in range(TURNS):
        start = time.perf_counter()
        np.tan(numbers)
        spent.append(time.perf_counter() - start)
    return median(spent)


def _sections_s(monkeypatch, asked: Callable[[int], tuple[Case, SectionAt]]) -> list[float]:
    """What the section alone takes of each sheet, the first few left out."""
    spent: list[float] = []
    draw = pages.draw_section

    def timed(*arguments):
        start = time.perf_counter()
        drawn = draw(*arguments)
        spent.append(time.perf_counter() - start)
        return drawn

    with monkeypatch.context() as patched:
        patched.setattr(pages, "draw_section", timed)
        for n in range(TURNS):
            case, at = asked(n)
            pages.compose(case, (), "A3", section_at=at, hold=())
    return spent[5:]


def _turned(n: int) -> tuple[Case, SectionAt]:
    return replace(CASE, pins=(replace(PIN, bearing_deg=60.0 + 0.7 * n),)), "pin-1"


def _level(n: int) -> tuple[Case, SectionAt]:
    return CASE, ("leg", 40.3 + 3.7 * n)


def test_the_section_follows_a_drag(monkeypatch, told) -> None:
    turned = _sections_s(monkeypatch, _turned)
    fresh = _sections_s(monkeypatch, _level)
    seen = _sections_s(monkeypatch, _level)
    yardstick = _tangent_s()
    for what, spent, aim_ms in (
        ("a turn in the section, median", median(turned), AIM_MS),
        ("a level seen before, median", median(seen), AIM_MS),
        ("a new level, median", median(fresh), AIM_MS),
        ("a new level, slowest", max(fresh), SLOWEST_AIM_MS),
    ):
        told(what, spent, f"the aim of {aim_ms:.0f} ms", aim_ms / 1000, 1)
    assert told("a level seen before", median(seen), "a tangent", yardstick, 20) < 20
