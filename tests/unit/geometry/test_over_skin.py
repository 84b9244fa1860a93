"""Bars over marks on the skin, and the bridge of skin between lines: against hand-made places."""

import math
from itertools import pairwise

import numpy as np
import pytest

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, LimbSize, Wound
from fixplan.geometry.over_skin import gap_over_mark_mm, skin_bridge

LIMB = limb_of_case(Case(side="right", size=LimbSize(sex="male", stature_mm=1750, mass_kg=80)))
PATCH = ((-40.0, 170.0), (40.0, 170.0), (40.0, 230.0), (-40.0, 230.0))


def patch(face: str = "near") -> Wound:
    return Wound(
        id="wound-1",
        kind="flap territory",
        segment="leg",
        view="front",
        face=face,  # type: ignore[arg-type]
        outline=PATCH,
    )


def line(u: float, *, face: str = "near", levels: tuple[float, float] = (120.0, 260.0)) -> Wound:
    return Wound(
        id="wound-2",
        kind="fasciotomy line",
        segment="leg",
        view="front",
        face=face,  # type: ignore[arg-type]
        line=((u, levels[0]), (u, levels[1])),
    )


def bar(out_mm: float, level: float = 200.0) -> tuple[np.ndarray, np.ndarray]:
    """A bar across the front of the leg, `out_mm` before the foremost point of its skin."""
    ring = LIMB.skin("leg", level)
    assert ring is not None
    y = float(ring[:, 1].max()) + out_mm
    return np.array((-60.0, y, level)), np.array((60.0, y, level))


def test_gap_is_from_the_surface_of_the_bar_to_the_foremost_skin() -> None:
    found = gap_over_mark_mm(LIMB, *bar(40.0), 5.5, patch())
    assert found == pytest.approx(34.5, abs=0.5)


def test_a_bar_before_the_leg_is_over_no_mark_behind_it() -> None:
    assert gap_over_mark_mm(LIMB, *bar(40.0), 5.5, patch("far")) is None
    assert gap_over_mark_mm(LIMB, *bar(40.0, level=300.0), 5.5, patch()) is None


def test_a_bar_beside_the_mark_by_less_than_its_radius_is_over_it() -> None:
    assert gap_over_mark_mm(LIMB, *bar(40.0, level=235.0), 5.5, patch()) is not None
    assert gap_over_mark_mm(LIMB, *bar(40.0, level=236.0), 5.5, patch()) is None


def test_bridge_is_the_arc_counted_along_the_skin() -> None:
    """The same ring, walked by hand in small steps from one line to the other."""
    found = skin_bridge(LIMB, line(-20.0), line(20.0), 30.0, 30.0)
    assert found is not None
    ring = LIMB.skin("leg", found.level_mm)
    assert ring is not None
    assert found.width_mm == pytest.approx(walked(ring, -20.0, 20.0), abs=0.3)
    assert found.width_mm > 40


def walked(ring: np.ndarray, from_x: float, to_x: float) -> float:
    closed = np.vstack([ring, ring[:1]])
    fine = np.concatenate([np.linspace(a, b, 200) for a, b in pairwise(closed)])
    front = fine[(fine[:, 1] > 0) & (fine[:, 0] >= from_x) & (fine[:, 0] <= to_x)]
    ordered = front[np.argsort(front[:, 0])]
    return math.fsum(np.hypot(*np.diff(ordered, axis=0).T))


def test_lines_that_cross_lie_apart_along_or_across_have_no_bridge() -> None:
    assert skin_bridge(LIMB, line(-20.0), line(20.0, levels=(280.0, 340.0)), 30.0, 30.0) is None
    across = Wound(
        id="wound-3",
        kind="fasciotomy line",
        segment="leg",
        view="front",
        line=((-30.0, 190.0), (30.0, 200.0)),
    )
    assert skin_bridge(LIMB, line(0.0), across, 30.0, 30.0) is None


def test_the_shorter_way_round_counts() -> None:
    found = skin_bridge(LIMB, line(0.0), line(0.0, face="far"), 30.0, 30.0)
    assert found is not None
    ring = LIMB.skin("leg", found.level_mm)
    assert ring is not None
    round_mm = float(np.hypot(*np.diff(np.vstack([ring, ring[:1]]), axis=0).T).sum())
    assert found.width_mm <= round_mm / 2
