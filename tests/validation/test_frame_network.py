"""The exact reduction against the full solver, on the reference frames and on variants of them.

Reference frames: tests/data/frame_reference_cases.json (origin in the file). Tolerance 1e-7 of the
root of the diagonal terms: the full solver is itself limited by its stiff links.
"""

import msgspec
import numpy as np
import pytest

from fixplan.frame.elements import Beam, Model, Spring, round_profile
from fixplan.frame.network import Network, variants_of
from fixplan.frame.solve import Frame, gap_compliance
from tests.validation.test_frame_solver import CASES, model_of


def scaled_difference(found: np.ndarray, expected: np.ndarray) -> float:
    size = np.sqrt(np.outer(expected.diagonal(), expected.diagonal()))
    return float(np.abs((found - expected) / size).max())


@pytest.mark.parametrize("name", CASES)
def test_reduction_gives_the_full_solvers_compliance(name: str) -> None:
    model = model_of(CASES[name], shear=True)
    ends = (CASES[name]["gap"]["proximal_node"], CASES[name]["gap"]["distal_node"])
    found = Network(model, *ends).compliance(variants_of((model,), ends[1]))[0]
    assert scaled_difference(found, gap_compliance(Frame(model), *ends)) < 1e-7


@pytest.mark.parametrize("name", CASES)
def test_many_variants_at_once_agree_one_by_one(name: str) -> None:
    base = model_of(CASES[name])
    ends = (CASES[name]["gap"]["proximal_node"], CASES[name]["gap"]["distal_node"])
    models = tuple(with_pins(base, diameter_mm) for diameter_mm in (4.0, 5.0, 6.0))
    found = Network(base, *ends).compliance(variants_of(models, ends[1]))
    for model, compliance in zip(models, found, strict=True):
        assert scaled_difference(compliance, gap_compliance(Frame(model), *ends)) < 1e-7


def with_pins(model: Model, diameter_mm: float) -> Model:
    pin = round_profile(diameter_mm, 193000.0, 74230.0)
    beams = tuple(
        msgspec.structs.replace(b, profile=pin) if b.role == "pin" else b for b in model.beams
    )
    return model._replace(beams=beams)


def test_springs_reached_over_rigid_arms_reduce_exactly() -> None:
    bar = round_profile(11.0, 120000.0, 5000.0)
    k = (5e4, 5e4, 5e4, 2e5, 2e5, 2e5)
    model = Model(
        {"p": (0, 0, 10), "a": (50, 12, 40), "b": (50, 12, -40), "d": (0, 0, -10)},
        (Beam("a", "b", bar),),
        (
            Spring("p", "a", k, arm_i=(50, 0, 30), arm_j=(0, -12, 0)),
            Spring("b", "d", k, arm_i=(0, -12, 0), arm_j=(50, 0, -30)),
        ),
        {"p": (True,) * 6},
    )
    found = Network(model, "p", "d").compliance(variants_of((model,), "d"))[0]
    assert scaled_difference(found, gap_compliance(Frame(model), "p", "d")) < 1e-9


def test_faces_that_nothing_joins_are_refused() -> None:
    pin = Beam("p", "a", round_profile(5.0, 193000.0, 74230.0))
    model = Model({"p": (0, 0, 10), "a": (50, 0, 10), "d": (0, 0, -10)}, (pin,), (), {})
    with pytest.raises(ValueError, match="no path"):
        Network(model, "p", "d")
