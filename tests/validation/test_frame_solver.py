"""The frame solver against another solver's results and against closed forms.

Reference vectors: tests/data/frame_reference_cases.json, computed with the general frame solver
named in the file (its `reference` field tells library, version, cross-checks; nothing measured).
Closed forms: Roark's Formulas for Stress and Strain (cantilever, torsion, portal), the values stand
in the same file with formula and inputs. Tolerance 1e-6: conditioning with stiff links, see there.
"""

import json
from pathlib import Path

import numpy as np
import pytest

from fixplan.errors import UnstableFrame
from fixplan.frame.elements import Beam, Model, Profile, Spring, round_profile
from fixplan.frame.solve import Frame, gap_compliance, gap_movement

DATA = json.loads((Path(__file__).parents[1] / "data" / "frame_reference_cases.json").read_text())
CASES = {case["id"]: case for case in DATA["cases"]}
CLOSED = {case["id"]: case for case in DATA["closed_form"]}
FIXED = (True,) * 6
STEEL_5 = round_profile(5.0, 193000.0, 74230.0)


def model_of(case: dict, shear: bool = False) -> Model:
    profiles = {}
    for name, s in case["sections"].items():
        m = case["materials"][s["material"]]
        share = 0.9 if shear and s.get("shear", True) else 0.0
        profiles[name] = Profile(s["A"], s["Iy"], s["J"], s["d"], m["E"], m["G"], share)
    beams = tuple(
        Beam(m["i"], m["j"], profiles[m["section"]], m.get("pin", ""), m["role"])
        for m in case["members"]
    )
    springs = tuple(
        Spring(s["i"], s["j"], tuple(s["k"]), tuple(map(tuple, s["axes"])), role=s["role"])
        for s in case["springs"]
    )
    supports = {s["node"]: tuple(bool(d) for d in s["dof"]) for s in case["supports"]}
    return Model({k: tuple(v) for k, v in case["nodes"].items()}, beams, springs, supports)


def loads_of(case: dict) -> tuple[dict, ...]:
    return tuple({x["node"]: tuple(x["F"]) for x in c["loads"]} for c in case["load_cases"])


def worst_difference(moved: np.ndarray, expected: list[float]) -> float:
    blocks = [(moved[:3], expected[:3]), (moved[3:], expected[3:])]
    return max(float(np.abs(m - e).max() / np.abs(e).max()) for m, e in blocks)


@pytest.mark.parametrize("results", ["results", "results_timoshenko"])
@pytest.mark.parametrize("name", CASES)
def test_gap_movement_agrees_with_the_reference_solver(name: str, results: str) -> None:
    case = CASES[name]
    solved = Frame(model_of(case, results == "results_timoshenko")).solve(loads_of(case))
    moved = gap_movement(solved, case["gap"]["proximal_node"], case["gap"]["distal_node"])
    for n, load in enumerate(case["load_cases"]):
        expected = case[results]["gap_displacement"][load["id"]]
        assert worst_difference(moved[:, n], expected) < 1e-6


@pytest.mark.parametrize("name", CASES)
def test_gap_compliance_agrees_and_is_symmetric(name: str) -> None:
    case = CASES[name]
    found = gap_compliance(
        Frame(model_of(case)), case["gap"]["proximal_node"], case["gap"]["distal_node"]
    )
    expected = np.array(case["results"]["gap_compliance"])
    size = np.sqrt(np.outer(expected.diagonal(), expected.diagonal()))
    assert np.abs((found - expected) / size).max() < 1e-6
    assert np.abs((found - found.T) / size).max() < 1e-6


@pytest.mark.parametrize("name", CASES)
def test_highest_pin_stress_agrees(name: str) -> None:
    case = CASES[name]
    frame = Frame(model_of(case))
    stress = frame.solve(loads_of(case)).beam_stress_mpa
    pins = [n for n, b in enumerate(frame.model.beams) if b.role == "pin"]
    for n, load in enumerate(case["load_cases"]):
        expected = case["results"]["peak_pin_stress"][load["id"]]["sigma_MPa"]
        assert stress[pins, :, n].max() == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("name", CASES)
def test_energy_shares_are_positive_and_sum_to_one(name: str) -> None:
    case = CASES[name]
    beams, springs = Frame(model_of(case)).solve(loads_of(case)).energy_share()
    assert beams.min() > -1e-9
    assert springs.min() > -1e-9
    assert beams.sum(axis=0) + springs.sum(axis=0) == pytest.approx(1.0)


def test_cantilever_tip_and_slope() -> None:
    x = CLOSED["cantilever"]
    model = Model(
        {"a": (0, 0, 0), "b": (x["inputs"]["L"], 0, 0)},
        (Beam("a", "b", STEEL_5),),
        (),
        {"a": FIXED},
    )
    tip = Frame(model).solve(({"b": (0, 0, x["inputs"]["F"], 0, 0, 0)},)).node("b")[:, 0]
    assert tip[2] == pytest.approx(x["expected"]["deflection_mm"], rel=1e-9)
    assert abs(tip[4]) == pytest.approx(x["expected"]["slope_rad"], rel=1e-9)


def test_cantilever_on_root_springs_with_a_rigid_arm() -> None:
    x = CLOSED["cantilever_root_springs"]["inputs"]
    kt, kr = x["kt"], x["kr"]
    spring = Spring("wall", "a", (kt, kt, kt, kr, kr, kr), arm_i=(10.0, 0.0, 0.0))
    model = Model(
        {"wall": (-10, 0, 0), "a": (0, 0, 0), "b": (x["L"], 0, 0)},
        (Beam("a", "b", STEEL_5),),
        (spring,),
        {"wall": FIXED},
    )
    tip = Frame(model).solve(({"b": (0, 0, x["F"], 0, 0, 0)},)).node("b")[:, 0]
    expected = CLOSED["cantilever_root_springs"]["expected"]["deflection_mm"]
    assert tip[2] == pytest.approx(expected, rel=1e-9)


def test_pin_stiffness_goes_with_the_fourth_power_of_its_diameter() -> None:
    def stiffness(diameter_mm: float) -> float:
        pin = Beam("a", "b", round_profile(diameter_mm, 193000.0, 74230.0))
        model = Model({"a": (0, 0, 0), "b": (0, 60, 0)}, (pin,), (), {"a": FIXED})
        return 1 / float(Frame(model).solve(({"b": (1, 0, 0, 0, 0, 0)},)).node("b")[0, 0])

    expected = CLOSED["diameter_fourth_power"]["expected"]
    assert stiffness(6) / stiffness(4) == pytest.approx(expected["k6_over_k4"], rel=1e-9)
    assert stiffness(5) / stiffness(4) == pytest.approx(expected["k5_over_k4"], rel=1e-9)


def test_bar_twists_by_torque_times_length_over_gj() -> None:
    x = CLOSED["bar_torsion"]
    bar = Beam("a", "b", round_profile(x["inputs"]["d"], 120000.0, x["inputs"]["G"]))
    model = Model({"a": (0, 0, 0), "b": (0, 0, x["inputs"]["L"])}, (bar,), (), {"a": FIXED})
    turned = Frame(model).solve(({"b": (0, 0, 0, 0, 0, x["inputs"]["T"])},)).node("b")
    assert turned[5, 0] == pytest.approx(x["expected"]["twist_rad"], rel=1e-9)


@pytest.mark.parametrize("n", [0, 1, 2])
def test_portal_frame_sways_as_the_handbook_says(n: int) -> None:
    x = CLOSED["portal_sway"]
    height, length, k = x["inputs"]["h"], x["inputs"]["L"], x["inputs"]["k"][n]
    column_i = x["inputs"]["Ic"]
    column = Profile(1e6, column_i, 2 * column_i, 5, x["inputs"]["E"], 74230.0)
    beam_i = k * length * column_i / height
    beam = Profile(1e6, beam_i, 2 * beam_i, 5, x["inputs"]["E"], 74230.0)
    model = Model(
        {"a": (0, 0, 0), "b": (0, 0, height), "c": (length, 0, height), "d": (length, 0, 0)},
        (Beam("a", "b", column), Beam("b", "c", beam), Beam("c", "d", column)),
        (),
        {"a": FIXED, "d": FIXED},
    )
    sway = Frame(model).solve(({"b": (x["inputs"]["H"], 0, 0, 0, 0, 0)},)).node("b")[0, 0]
    assert sway == pytest.approx(x["expected"]["sway_mm"][n], rel=1e-4)


def test_a_bar_nobody_holds_is_named_and_gives_no_number() -> None:
    loose = Beam("c", "d", STEEL_5, owner="bar-2")
    model = Model(
        {"a": (0, 0, 0), "b": (60, 0, 0), "c": (0, 50, 0), "d": (60, 50, 0)},
        (Beam("a", "b", STEEL_5, owner="pin-1"), loose),
        (),
        {"a": FIXED},
    )
    with pytest.raises(UnstableFrame, match="bar-2 is free to move"):
        Frame(model).solve(({"b": (0, 0, 1, 0, 0, 0)},))


def test_a_frame_without_support_is_refused() -> None:
    model = Model(
        {"a": (0, 0, 0), "b": (60, 0, 0)}, (Beam("a", "b", STEEL_5, owner="pin-1"),), (), {}
    )
    with pytest.raises(UnstableFrame):
        Frame(model).solve(({"b": (0, 0, 1, 0, 0, 0)},))


def test_doubling_the_modulus_halves_the_movement() -> None:
    def tip(e_mpa: float) -> float:
        pin = Beam("a", "b", round_profile(5.0, e_mpa, 0.4 * e_mpa, shear_share=0.9))
        model = Model({"a": (0, 0, 0), "b": (30, 40, 20)}, (pin,), (), {"a": FIXED})
        return float(Frame(model).solve(({"b": (3, -1, 2, 5, 0, 0)},)).node("b")[0, 0])

    assert tip(400000.0) == pytest.approx(tip(200000.0) / 2, rel=1e-9)
