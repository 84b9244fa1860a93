"""Whatever frame is drawn: what statics and elasticity say of it holds.

Reciprocity, equilibrium, mirror image, rigid motion, twice the modulus.
"""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from fixplan.case import edits
from fixplan.case.records import Bar, Case, Fracture, LimbSize, Pin, PinAnchor
from fixplan.frame.elements import Model, Profile
from fixplan.frame.hold import quick_hold
from fixplan.frame.solve import Frame, gap_compliance, gap_movement
from tests.validation.random_frames import random_frame

seeds = st.integers(min_value=1000, max_value=10**6)
HOLD = settings(max_examples=12, deadline=None)


def scaled(compliance: np.ndarray) -> np.ndarray:
    size = np.sqrt(compliance.diagonal())
    return compliance / np.outer(size, size)


@HOLD
@given(seeds, st.booleans())
def test_what_a_load_does_elsewhere_that_one_does_here(seed: int, with_arms: bool) -> None:
    model, faces = random_frame(seed, with_arms=with_arms)
    found = scaled(gap_compliance(Frame(model), *faces))
    assert np.abs(found - found.T).max() < 1e-6
    assert np.linalg.eigvalsh(found).min() > 0


@HOLD
@given(seeds)
def test_supports_carry_what_is_loaded(seed: int) -> None:
    model, faces = random_frame(seed, with_arms=True)
    frame = Frame(model)
    load = np.random.default_rng(seed).normal(size=6)
    solved = frame.solve(({faces[1]: tuple(load)},))
    held = frame.index[next(iter(model.supports))]
    pull = frame._member_pull(solved).reshape(len(frame.index), 6)[held]
    span = frame.at[frame.index[faces[1]]] - frame.at[held]
    expected = np.concatenate([load[:3], load[3:] + np.cross(span, load[:3])])
    assert -pull == pytest.approx(expected, rel=1e-5, abs=1e-5 * np.abs(expected).max())


@HOLD
@given(seeds)
def test_a_mirror_image_holds_as_firmly(seed: int) -> None:
    model, faces = random_frame(seed)
    flip = np.array([1.0, -1.0, 1.0])
    nodes = {name: tuple(flip * np.array(at)) for name, at in model.nodes.items()}
    springs = tuple(
        replace(s, axes=tuple(tuple(flip * np.array(axis)) for axis in s.axes))
        for s in model.springs
    )
    one = gap_compliance(Frame(model), *faces).diagonal()
    other = gap_compliance(Frame(model._replace(nodes=nodes, springs=springs)), *faces).diagonal()
    assert other == pytest.approx(one, rel=1e-6)


@HOLD
@given(seeds)
def test_a_rigid_motion_strains_nothing(seed: int) -> None:
    model, _ = random_frame(seed, with_arms=True)
    frame = Frame(model)
    rng = np.random.default_rng(seed)
    shift, turn = rng.normal(size=3), 1e-3 * rng.normal(size=3)
    moved = np.concatenate([shift + np.cross(turn, frame.at), np.tile(turn, (len(frame.at), 1))], 1)
    for matrices, ends in (
        (frame.beam_k, frame.beam_ends),
        (frame.spring_k, frame.spring_ends),
    ):
        flat = moved[ends].reshape(len(ends), 12)
        forces = np.einsum("nij,nj->ni", matrices, flat)
        largest = np.abs(matrices).max() * np.abs(flat).max()
        assert np.abs(forces).max() < 1e-11 * largest


@HOLD
@given(seeds)
def test_twice_the_stiffness_everywhere_halves_the_movement(seed: int) -> None:
    model, faces = random_frame(seed)
    doubled = Model(
        model.nodes,
        tuple(replace(b, profile=_doubled(b.profile)) for b in model.beams),
        tuple(replace(s, k=tuple(2 * k for k in s.k)) for s in model.springs),
        model.supports,
    )
    one, other = (gap_compliance(Frame(m), *faces) for m in (model, doubled))
    assert np.abs(scaled(one) - scaled(2 * other)).max() < 1e-6


def _doubled(profile: Profile) -> Profile:
    return replace(profile, e_mpa=2 * profile.e_mpa, g_mpa=2 * profile.g_mpa)


@HOLD
@given(seeds)
def test_the_place_of_the_origin_does_not_matter(seed: int) -> None:
    model, faces = random_frame(seed, with_arms=True)
    away = np.array([300.0, -200.0, 500.0])
    nodes = {name: tuple(away + np.array(at)) for name, at in model.nodes.items()}
    load = ({faces[1]: (1.0, 2.0, -3.0, 40.0, 50.0, 60.0)},)
    one, other = (
        gap_movement(Frame(m).solve(load), *faces) for m in (model, model._replace(nodes=nodes))
    )
    assert np.abs(one - other).max() < 1e-6 * np.abs(one).max()


def drawn(levels: tuple[float, ...], bearing: float, out_mm: float, side: str) -> Case:
    pins = tuple(
        Pin(
            id=f"pin-{n}",
            number=n,
            bone="tibia",
            level_mm=level,
            bearing_deg=bearing,
            diameter_mm=5.0,
        )
        for n, level in enumerate(levels, 1)
    )
    anchors = (PinAnchor(pin="pin-1", out_mm=out_mm), PinAnchor(pin="pin-4", out_mm=out_mm))
    bar = Bar(id="bar-1", number=1, anchors=anchors, also=("pin-2", "pin-3"))
    broken = Fracture(id="fracture-1", bone="tibia", from_mm=180.0, to_mm=200.0)
    size = LimbSize(stature_mm=1750.0, sex="male", mass_kg=80.0)
    return Case(side=side, size=size, fractures=(broken,), pins=pins, bars=(bar,), last_number=4)


@HOLD
@given(
    st.tuples(st.floats(40, 90), st.floats(110, 160), st.floats(220, 260), st.floats(280, 320)),
    st.floats(70, 130),
    st.floats(30, 60),
)
def test_a_mirrored_case_gives_the_same_numbers(
    levels: tuple[float, float, float, float], bearing: float, out_mm: float
) -> None:
    right = quick_hold(drawn(levels, bearing, out_mm, "right"))
    left = quick_hold(drawn(levels, bearing, out_mm, "left"))
    for one, other in zip(right.gaps, left.gaps, strict=True):
        assert other.firmness == pytest.approx(one.firmness, rel=1e-9)
    for one, other in zip(right.loads, left.loads, strict=True):
        assert other.movements == one.movements


@HOLD
@given(st.floats(30, 45), st.floats(5, 25))
def test_a_bar_further_off_never_holds_more_firmly_along_the_bone(near: float, more: float) -> None:
    levels = (70.0, 140.0, 240.0, 310.0)
    close, far = (
        quick_hold(drawn(levels, 90.0, mm, "right")).gaps[0] for mm in (near, near + more)
    )
    assert far.firmness.axial < close.firmness.axial


@HOLD
@given(st.integers(1, 4))
def test_a_thicker_pin_never_holds_less_firmly(number: int) -> None:
    case = drawn((70.0, 140.0, 240.0, 310.0), 90.0, 35.0, "right")
    thick = edits.change(case, f"pin-{number}", diameter_mm=6.0)
    before, after = (quick_hold(one).gaps[0].firmness for one in (case, thick))
    assert all(b >= a for a, b in zip(before, after, strict=True))


def test_a_beam_without_load_stays_where_it_is() -> None:
    model, faces = random_frame(7)
    moved = Frame(model).solve(({faces[1]: (0.0,) * 6},)).movement
    assert np.abs(moved).max() == 0.0
