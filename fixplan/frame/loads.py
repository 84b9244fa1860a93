"""Reference loads on a frame: the limb carried by its two ends, and the pull of the muscles.

Weights and forces act on the piece of bone that carries what they act on; each frame's most
proximal piece is held, so that a gap feels what lies distal to it. N, mm, axes of mechanics.
Source: simple statics; figures in resources/loads.toml and segments.toml.
"""

from collections.abc import Iterator
from functools import lru_cache
from math import cos, radians, sin
from typing import NamedTuple

import msgspec
import numpy as np

from fixplan.case.limbs import pose_of_case
from fixplan.case.records import Case
from fixplan.case.scalars import LimbKind
from fixplan.frame.beams import FrameModel, mechanics
from fixplan.frame.bodies import Body as Piece
from fixplan.frame.bodies import Held
from fixplan.frame.solve import Loads, Wrench
from fixplan.frame.vectors import Vector, across, add, cross, dot, minus, size, times, unit, vector
from fixplan.frame.weights import (
    Body,
    Growing,
    Patient,
    SegmentTable,
    body_of,
    is_growing,
    mass_of,
    segment_table,
    weight_of,
)
from fixplan.limb.library import load_toml
from fixplan.limb.pose import Pose

FORWARD: Vector = (1.0, 0.0, 0.0)
FAR_MM = 1e6
Place = tuple[str, float]
"""A segment and a level in mm."""
Point = tuple[Vector, float]
"""A place in mm and a weight in N."""


class Carried(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A way of carrying a limb by its root and its bearing."""

    limb: LimbKind
    name: str
    raised_deg: float
    turned_deg: float
    source: str


class Bearing(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The landmark that bears a limb beside its root, and that place in words."""

    at: str
    words: str


class Pull(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The muscles' pull that a frame holds against, by the joint or bone whose gap it closes."""

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
    growing: Growing
    bearing: dict[LimbKind, Bearing]
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


class _Borne(NamedTuple):
    """The line from a limb's root to its bearing, and what that bears of the horizontal limb."""

    root: Vector
    end: Vector
    way: Vector
    force_n: float
    place: str


def load_list() -> LoadList:
    """Reference loads. Raises LibraryError when the file does not hold what it should."""
    return load_toml("loads.toml", LoadList)


def reference_loads(case: Case, model: FrameModel) -> tuple[ReferenceLoad, ...]:
    """All reference loads of a limb; none for a limb without a bearing (the pelvis).

    Segments without a listed mass (the forefoot) count with another.
    """
    listed, table = load_list(), segment_table()
    bearing = listed.bearing.get(case.limb)
    if bearing is None:
        return ()
    body, pose = body_of(case, listed.patient, listed.growing), pose_of_case(case)
    pieces = {
        piece.id: _weights(body, table, pose, start, end)
        for frame in model.frames
        for piece, start, end in _shared_out(frame, next(reversed(body.limb.segments)))
    }
    borne = _borne(body, table, pose, bearing)
    carried = [
        _carried(id_, one, model, pieces, borne)
        for id_, one in listed.carried.items()
        if one.limb == case.limb
    ]
    return (*carried, _pull(case, model, listed, pose))


def patient_words(case: Case) -> str:
    """Which body mass the loads count with."""
    mass_kg = case.size.mass_kg
    if mass_kg is not None:
        return f"{mass_kg:.0f} kg"
    listed = load_list()
    assumed_kg = mass_of(case, listed.patient, listed.growing)
    if case.size.stature_mm is None:
        return f"an assumed {assumed_kg:.0f} kg, the reference adult's (mass not given)"
    of = "a child of that stature" if is_growing(case) else "an adult of that stature"
    return f"an assumed {assumed_kg:.0f} kg, as {of} (mass not given)"


def _hold_force_n(case: Case, listed: LoadList, bone: str, joint: str) -> float:
    """The muscles' pull in N across a joint or on a bone: as typed in the case, else as listed."""
    if case.length.traction_n is not None:
        return case.length.traction_n
    share = listed.hold.body_weight_share.get(bone)
    if share is not None:
        mass_kg = mass_of(case, listed.patient, listed.growing)
        return share * mass_kg * listed.patient.gravity_m_per_s2
    forces = listed.hold.force_n
    return forces.get(joint, forces.get(bone, 0.0))


@lru_cache(maxsize=64)
def _weights(
    body: Body, table: SegmentTable, pose: Pose, start: Place, end: Place
) -> tuple[Point, ...]:
    """Weights between two places along the limb, in axes of mechanics."""
    names = list(body.limb.segments)
    found: list[Point] = []
    for name in names[names.index(start[0]) : names.index(end[0]) + 1]:
        low = start[1] if name == start[0] else -FAR_MM
        high = end[1] if name == end[0] else FAR_MM
        weight = weight_of(body, table, name, low, high)
        if weight is not None:
            found.append((_placed(pose, weight.segment, weight.at_mm), weight.force_n))
    return tuple(found)


def _shared_out(frame: Held, last_segment: str) -> Iterator[tuple[Piece, Place, Place]]:
    """Each piece but the first, from the middle of the gap above it to the middle of the next."""
    for number, piece in enumerate(frame.bodies[1:], 1):
        start = _middle(frame.bodies[number - 1], piece)
        last = number + 1 == len(frame.bodies)
        end = (last_segment, FAR_MM) if last else _middle(piece, frame.bodies[number + 1])
        yield piece, start, end


def _middle(above: Piece, below: Piece) -> Place:
    """Segment and level in the middle of a gap; of a joint the start of the segment below it."""
    if above.segment == below.segment:
        return below.segment, (above.fragment.to_mm + below.fragment.from_mm) / 2
    return below.segment, -FAR_MM


def _placed(pose: Pose, segment: str, at_mm: Vector) -> Vector:
    return mechanics(vector(pose.to_limb(segment, np.array([at_mm]))[0].tolist()))


@lru_cache(maxsize=16)
def _borne(body: Body, table: SegmentTable, pose: Pose, bearing: Bearing) -> _Borne:
    """What the bearing bears when it and the root carry the limb: sum of w x over its own x."""
    first = next(iter(body.limb.segments.values()))
    last = next(reversed(body.limb.segments))
    root = _placed(pose, first.name, (0.0, 0.0, first.from_mm))
    point = body.limb.landmark(bearing.at)
    end = _placed(pose, point.segment, (point.x_mm, point.y_mm, point.level_mm))
    way = unit(minus(end, root))
    weights = _weights(body, table, pose, (first.name, -FAR_MM), (last, FAR_MM))
    turning = sum(dot(minus(at, root), way) * weight for at, weight in weights)
    return _Borne(root, end, way, turning / size(minus(end, root)), bearing.words)


def _carried(
    id_: str,
    listed: Carried,
    model: FrameModel,
    pieces: dict[str, tuple[Point, ...]],
    held: _Borne,
) -> ReferenceLoad:
    up = _up(listed, held.way)
    loads: Loads = {}
    last = {frame.bodies[-1].id for frame in model.frames}
    for piece, weights in pieces.items():
        forces = [(at, times(up, -weight)) for at, weight in weights]
        if piece in last:
            forces.append((held.end, times(up, held.force_n)))
        node = model.distal[piece]
        loads[node] = _wrench(model.model.nodes[node], forces)
    borne = sum(weight for weights in pieces.values() for _, weight in weights)
    along_n = dot(up, times(held.way, -1)) * (held.force_n - borne)
    words = f"{held.force_n:.0f} N {held.place}"
    return ReferenceLoad(id_, listed.name, loads, held.force_n, along_n, words)


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


def _pull(case: Case, model: FrameModel, listed: LoadList, pose: Pose) -> ReferenceLoad:
    loads: Loads = {}
    most = 0.0
    for frame in model.frames:
        above, below = frame.bodies[0], frame.bodies[-1]
        bone = below.fragment.bone
        if above.segment == below.segment or above.fragment.bone in listed.hold.body_weight_share:
            bone = above.fragment.bone
        force = _hold_force_n(case, listed, bone, frame.gaps[-1].joint)
        proximal = times(_limb_way(pose, below.segment), -force)
        loads[model.distal[below.id]] = (*proximal, 0.0, 0.0, 0.0)
        most = max(most, force)
    typed = "typed" if case.length.traction_n is not None else "usual"
    words = f"{most:.0f} N along the limb, {typed}"
    return ReferenceLoad(listed.hold.id, listed.hold.name, loads, most, most, words)


def _limb_way(pose: Pose, segment: str) -> Vector:
    """Distally along a segment."""
    start, end = (_placed(pose, segment, (0.0, 0.0, at)) for at in (0.0, 100.0))
    return unit(minus(end, start))
