"""Reference loads on a frame: the limb carried by hip and heel, and the pull of the muscles.

Weights and forces act on the piece of bone that carries what they act on; each frame's most
proximal piece is held, so that a gap feels what lies distal to it. N, mm, axes of mechanics.
Source: simple statics; figures in resources/loads.toml and segments.toml.
"""

from math import cos, radians, sin
from typing import NamedTuple

import msgspec
import numpy as np

from fixplan.case.limbs import limb_of_case, pose_of_case
from fixplan.case.records import Case
from fixplan.frame.beams import FrameModel, mechanics
from fixplan.frame.bodies import Body, Held
from fixplan.frame.solve import Loads, Wrench
from fixplan.frame.vectors import Vector, across, add, cross, dot, minus, size, times, unit, vector
from fixplan.frame.weights import Patient, Weight, weight_of
from fixplan.limb.library import load_toml

FORWARD: Vector = (1.0, 0.0, 0.0)
NOTHING: Wrench = (0.0,) * 6


class Carried(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A way of carrying the limb by hip and heel."""

    name: str
    raised_deg: float
    turned_deg: float
    source: str


class Pull(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The muscles' pull that a frame holds against, by the bone that it closes the gap of."""

    id: str
    name: str
    body_weight_share: dict[str, float]
    force_n: dict[str, float]
    spasm_factor: float
    source: str


class LoadList(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """resources/loads.toml."""

    schema: int
    evidence: tuple[str, ...]
    patient: Patient
    carried: dict[str, Carried]
    hold: Pull


class ReferenceLoad(NamedTuple):
    """A named load: wrenches at nodes, and what it amounts to in words and newtons.

    `along_n` is the push along the limb on the most distal piece, closing the gap, in N.
    """

    id: str
    name: str
    loads: Loads
    force_n: float
    along_n: float
    words: str


class _Heel(NamedTuple):
    """The line from hip to heel, and what the heel bears of the horizontal limb."""

    hip: Vector
    heel: Vector
    way: Vector
    force_n: float


def load_list() -> LoadList:
    """Reference loads. Raises LibraryError when the file does not hold what it should."""
    return load_toml("loads.toml", LoadList)


def reference_loads(case: Case, model: FrameModel) -> tuple[ReferenceLoad, ...]:
    """All reference loads of a limb; none for a limb whose segments have no listed mass."""
    listed = load_list()
    pieces = _weights_of_pieces(case, model, listed.patient)
    if pieces is None:
        return ()
    heel = _heel(case, listed.patient)
    carried = [_carried(id_, one, model, pieces, heel) for id_, one in listed.carried.items()]
    return (*carried, _pull(case, model, listed))


def patient_words(case: Case) -> str:
    """Which body mass the loads count with."""
    mass_kg = case.size.mass_kg
    if mass_kg is not None:
        return f"{mass_kg:.0f} kg"
    return f"{load_list().patient.mass_kg:.0f} kg, not given"


def hold_force_n(case: Case, bone: str) -> float:
    """The muscles' pull in N on the piece of a bone: as typed in the case, else as listed."""
    if case.length.traction_n is not None:
        return case.length.traction_n
    listed = load_list()
    share = listed.hold.body_weight_share.get(bone)
    if share is not None:
        mass_kg = case.size.mass_kg or listed.patient.mass_kg
        return share * mass_kg * listed.patient.gravity_m_per_s2
    return listed.hold.force_n.get(bone, 0.0)


def _weights_of_pieces(
    case: Case, model: FrameModel, patient: Patient
) -> dict[str, list[tuple[Vector, float]]] | None:
    """For each piece but the first of a frame: points and weights that it carries."""
    carried: dict[str, list[tuple[Vector, float]]] = {}
    for frame in model.frames:
        for body, weights in _shared_out(case, frame, patient):
            if weights is None:
                return None
            placed = [(_placed(case, one), one.force_n) for one in weights]
            carried[body.id] = placed
    return carried


def _shared_out(
    case: Case, frame: Held, patient: Patient
) -> list[tuple[Body, list[Weight] | None]]:
    """Each piece with the weights from the middle of the gap above it to the middle of the next."""
    names = list(limb_of_case(case).segments)
    out: list[tuple[Body, list[Weight] | None]] = []
    for number, body in enumerate(frame.bodies[1:], 1):
        start = _middle(frame.bodies[number - 1], body)
        last = number + 1 == len(frame.bodies)
        end = (names[-1], 1e6) if last else _middle(body, frame.bodies[number + 1])
        weights: list[Weight] = []
        for name in names[names.index(start[0]) : names.index(end[0]) + 1]:
            low = start[1] if name == start[0] else -1e6
            high = end[1] if name == end[0] else 1e6
            weight = weight_of(case, patient, name, low, high)
            if weight is None:
                return [(body, None)]
            weights.append(weight)
        out.append((body, weights))
    return out


def _middle(above: Body, below: Body) -> tuple[str, float]:
    """Segment and level in the middle of a gap; of a joint the start of the segment below it."""
    if above.segment == below.segment:
        return below.segment, (above.fragment.to_mm + below.fragment.from_mm) / 2
    return below.segment, -1e6


def _placed(case: Case, weight: Weight) -> Vector:
    return _mechanics_of(case, weight.segment, weight.at_mm)


def _mechanics_of(case: Case, segment: str, at_mm: Vector) -> Vector:
    return mechanics(vector(pose_of_case(case).to_limb(segment, np.array([at_mm]))[0]))


def _heel(case: Case, patient: Patient) -> _Heel:
    """What the heel bears when hip and heel carry the whole limb: sum of w x over the heel's x."""
    limb = limb_of_case(case)
    first = next(iter(limb.segments.values()))
    hip = _mechanics_of(case, first.name, (0.0, 0.0, first.from_mm))
    point = limb.landmark("heel_point")
    heel = _mechanics_of(case, point.segment, (point.x_mm, point.y_mm, point.level_mm))
    way = unit(minus(heel, hip))
    weights = [weight_of(case, patient, name, -1e6, 1e6) for name in limb.segments]
    turning = sum(
        dot(minus(_placed(case, one), hip), way) * one.force_n for one in weights if one is not None
    )
    return _Heel(hip, heel, way, turning / size(minus(heel, hip)))


def _carried(
    id_: str,
    listed: Carried,
    model: FrameModel,
    pieces: dict[str, list[tuple[Vector, float]]],
    heel: _Heel,
) -> ReferenceLoad:
    up = _up(listed, heel.way)
    loads: Loads = {}
    last = {frame.bodies[-1].id for frame in model.frames}
    for piece, weights in pieces.items():
        forces = [(at, times(up, -weight)) for at, weight in weights]
        if piece in last:
            forces.append((heel.heel, times(up, heel.force_n)))
        node = model.distal[piece]
        loads[node] = _wrench(model.model.nodes[node], forces)
    borne = sum(weight for weights in pieces.values() for _, weight in weights)
    along_n = dot(up, times(heel.way, -1)) * (heel.force_n - borne)
    words = f"{heel.force_n:.0f} N at the heel"
    return ReferenceLoad(id_, listed.name, loads, heel.force_n, along_n, words)


def _up(listed: Carried, way: Vector) -> Vector:
    """Which way is up, for a limb that runs along `way`."""
    front = unit(across(FORWARD, way))
    lateral = cross(way, front)
    turn, raise_ = radians(listed.turned_deg), radians(listed.raised_deg)
    square = add(times(front, cos(turn)), times(lateral, sin(turn)))
    return add(times(square, cos(raise_)), times(way, sin(raise_)))


def _wrench(node: Vector, forces: list[tuple[Vector, Vector]]) -> Wrench:
    total: Vector = (0.0, 0.0, 0.0)
    moment: Vector = (0.0, 0.0, 0.0)
    for at, force in forces:
        total = add(total, force)
        moment = add(moment, cross(minus(at, node), force))
    return (*total, *moment)


def _pull(case: Case, model: FrameModel, listed: LoadList) -> ReferenceLoad:
    loads: Loads = {}
    most = 0.0
    for frame in model.frames:
        above, below = frame.bodies[0], frame.bodies[-1]
        bone = below.fragment.bone
        if above.segment == below.segment or above.fragment.bone == "femur":
            bone = above.fragment.bone
        force = hold_force_n(case, bone)
        proximal = times(_limb_way(case, below.segment), -force)
        loads[model.distal[below.id]] = (*proximal, 0.0, 0.0, 0.0)
        most = max(most, force)
    typed = "typed" if case.length.traction_n is not None else "usual"
    words = f"{most:.0f} N along the limb, {typed}"
    return ReferenceLoad(listed.hold.id, listed.hold.name, loads, most, most, words)


def _limb_way(case: Case, segment: str) -> Vector:
    """Distally along a segment."""
    start, end = (_mechanics_of(case, segment, (0.0, 0.0, at)) for at in (0.0, 100.0))
    return unit(minus(end, start))
