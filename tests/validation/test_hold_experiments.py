"""Published effect sizes: what the program predicts, and that its page of help says just that.

Sources stand in resources/sources.toml and in the page itself; failures are part of it.
PP-05 (Sternick 2012), FR-03 and FR-04 (Mercer 2010), PD-16 (beam theory), stacking (Strebe 2014).
"""

from pathlib import Path

import numpy as np
import pytest

from fixplan.frame.elements import round_profile
from fixplan.frame.hold import quick_hold
from tests.validation.bench_frames import CARBON, STEEL, Setup, one_firmness, solid
from tests.validation.experiments import AGREES, knee_case, page, rows, setups, stacked

PAGE = Path(__file__).parents[2] / "resources" / "help" / "hold_against_experiments.md"
BASE = Setup((40.0, 120.0), (47.0,), solid(11.0, CARBON), 2e5, 8e5)


def test_the_page_of_help_is_what_the_program_predicts_now() -> None:
    assert PAGE.read_text(encoding="utf-8") == page()


def test_the_page_tells_failures_too() -> None:
    told = {row.verdict in AGREES for row in rows()}
    assert told == {True, False}


def test_a_stacked_bar_gains_what_was_measured_but_for_torsion() -> None:
    verdicts = {row.change: row.verdict for row in stacked()}
    for mode in ("axial", "front-back bending", "side bending"):
        assert verdicts[f"{mode}, stiff bone"] == "inside"


def test_more_pins_gain_less_and_less() -> None:
    two, three, four = (
        one_firmness(BASE._replace(near_mm=levels)).axial
        for levels in ((40.0, 120.0), (40.0, 80.0, 120.0), (40.0, 66.0, 93.0, 120.0))
    )
    assert 1.0 < four / three < three / two
    assert three / two == pytest.approx(369.0 / 307.6, rel=0.25)
    assert four / two == pytest.approx(437.9 / 307.6, rel=0.25)


def test_a_bare_pin_goes_with_the_fourth_power_and_a_frame_with_much_less() -> None:
    bare = [round_profile(mm, *STEEL).second_moment_mm4 for mm in (4.0, 5.0, 6.0)]
    assert bare[1] / bare[0] == pytest.approx(2.44, abs=0.01)
    assert bare[2] / bare[1] == pytest.approx(2.07, abs=0.01)
    thin, thick = (one_firmness(BASE._replace(pin_mm=mm)) for mm in (4.0, 6.0))
    gains = np.array(thick) / np.array(thin)
    assert gains.min() > 1.0
    assert gains.max() < 3.0


def test_two_bars_across_the_knee_are_stiffer_every_way() -> None:
    one, two = (quick_hold(knee_case(40.0, n)).gaps[0].firmness for n in (1, 2))
    assert all(b > a for a, b in zip(one, two, strict=True))


def test_anterolateral_femoral_pins_are_stiffer_from_side_to_side() -> None:
    lateral, front = (quick_hold(knee_case(b)).gaps[0].firmness for b in (40.0, 90.0))
    assert lateral.side > front.side


def test_a_bar_closer_to_the_bone_is_much_stiffer_along_it() -> None:
    near, far = (one_firmness(BASE._replace(bars_mm=(mm,))) for mm in (30.0, 60.0))
    assert near.axial / far.axial > 2.0


def test_draws_are_the_same_every_time() -> None:
    assert setups() == setups()
