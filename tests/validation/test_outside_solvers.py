"""The frame solver against two independent solvers: calfem-python (springs), PyNiteFEA (rigid).

All reference frames, and frames drawn at random: a few in the normal run, 200 with `-m many`.
Aim: largest relative difference of the gap's movement under 1e-5, shift and turn each scaled by
their own largest value. Nothing here is measured on a real frame.
"""

import numpy as np
import pytest

from fixplan.frame.elements import Model
from fixplan.frame.solve import Frame, gap_movement
from tests.validation.outside_solvers import calfem_movement, pynite_movement, with_rigid_joints
from tests.validation.random_frames import random_frame
from tests.validation.test_frame_solver import CASES, model_of

AIM = 1e-5
FEW, MANY = 8, 200


def compared(model: Model, faces: tuple[str, str], theirs: object) -> float:
    """Largest relative difference of the gap's movement under the six unit loads."""
    frame = Frame(model)
    loads = frame.gap_units(*faces)
    solved = frame.solve_vectors(loads)
    ours = gap_movement(solved, *faces)
    solved.movement = theirs(model, loads)
    other = gap_movement(solved, *faces)
    blocks = [(ours[k : k + 3], other[k : k + 3]) for k in (0, 3)]
    return max(float((np.abs(a - b).max(axis=0) / np.abs(b).max(axis=0)).max()) for a, b in blocks)


def faces_of(name: str) -> tuple[str, str]:
    gap = CASES[name]["gap"]
    return gap["proximal_node"], gap["distal_node"]


@pytest.mark.parametrize("name", CASES)
def test_reference_frames_agree_with_calfem(name: str) -> None:
    assert compared(model_of(CASES[name]), faces_of(name), calfem_movement) < AIM


@pytest.mark.parametrize("name", CASES)
def test_reference_frames_with_rigid_joints_agree_with_pynite(name: str) -> None:
    model = with_rigid_joints(model_of(CASES[name]))
    faces = faces_of(name)
    assert compared(model, faces, pynite_movement) < AIM


@pytest.mark.parametrize("seed", range(FEW))
@pytest.mark.parametrize("with_arms", [False, True])
def test_random_frames_agree_with_calfem(seed: int, with_arms: bool) -> None:
    model, faces = random_frame(seed, with_arms=with_arms)
    assert compared(model, faces, calfem_movement) < AIM


@pytest.mark.parametrize("seed", range(2))
def test_random_frames_with_rigid_joints_agree_with_pynite(seed: int) -> None:
    model, faces = random_frame(seed)
    assert compared(with_rigid_joints(model), faces, pynite_movement) < AIM


@pytest.mark.many
@pytest.mark.parametrize("seed", range(MANY))
def test_many_random_frames_agree_with_both(seed: int) -> None:
    model, faces = random_frame(seed)
    assert compared(model, faces, calfem_movement) < AIM
    assert compared(with_rigid_joints(model), faces, pynite_movement) < AIM
