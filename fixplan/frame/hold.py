"""How firmly a frame holds: stiffness of each gap, and what reference loads do to it.

Inside N, mm, MPa, radians; told in N/mm, N*m per degree, mm and degrees. Stiffness is that of a
test in which every other movement of the gap is free. Turns are about forward, medial, proximal.
Source: linear theory of frames (`fixplan.frame.solve`); limits of trust: resources/mechanics.toml.
"""

from functools import lru_cache
from math import pi
from typing import NamedTuple

import numpy as np

from fixplan.case.limbs import pose_of_case
from fixplan.case.records import Case
from fixplan.case.remembered import remembered
from fixplan.errors import UnstableFrame
from fixplan.frame.assumed import Withdrawn, assumed
from fixplan.frame.beams import FrameModel, frame_model, with_clamps
from fixplan.frame.bodies import Gap, holding
from fixplan.frame.elements import Array
from fixplan.frame.joining import laid_bars
from fixplan.frame.loads import ReferenceLoad, reference_loads
from fixplan.frame.peaks import Peaks, highest
from fixplan.frame.solve import Frame, Solved, gap_movement
from fixplan.frame.vectors import minus, size
from fixplan.limb.pose import Pose

NM_PER_DEGREE = pi / 180 / 1000
QUICK_CLAMPS = 12  # solved in under 3 ms; time grows with the cube
AXIAL, SIDE, FRONT_BACK, TORSION = 2, 3, 4, 5


class Firmness(NamedTuple):
    """Stiffness of a gap: N/mm along the bone, N*m per degree in bending and twist."""

    axial: float
    front_back: float
    side: float
    torsion: float


class Movement(NamedTuple):
    """How the distal face moves against the proximal one: mm and degrees.

    `along_mm` + closes the gap.
    """

    forward_mm: float
    medial_mm: float
    along_mm: float
    turn_deg: tuple[float, float, float]

    @property
    def shift_mm(self) -> float:
        """How far in all."""
        return size((self.forward_mm, self.medial_mm, self.along_mm))

    @property
    def angle_deg(self) -> float:
        """By how much it turns in all."""
        return size(self.turn_deg)


class GapHold(NamedTuple):
    """A gap's stiffness with clamps of one tightness; `buckling_n` is where bending gives way."""

    gap: Gap
    firmness: Firmness
    bending_nmm_per_rad: float
    buckling_n: float
    compliance: Array


class LoadHold(NamedTuple):
    """What one reference load does: movement of each gap in order, and the highest of all parts.

    `withdrawn` tells for each gap whether the number is beyond what the calculation can say.
    """

    load: ReferenceLoad
    movements: tuple[Movement, ...]
    withdrawn: tuple[bool, ...]
    peaks: Peaks


class Results(NamedTuple):
    """Everything for clamps of one tightness."""

    model: FrameModel
    gaps: tuple[GapHold, ...]
    loads: tuple[LoadHold, ...]
    solved: Solved

    def load(self, load_id: str) -> LoadHold | None:
        """The answer to one reference load."""
        return next((one for one in self.loads if one.load.id == load_id), None)


class Hold(NamedTuple):
    """The middle of the clamp band, which leads, and both its ends."""

    low: Results
    middle: Results
    high: Results

    @property
    def all(self) -> tuple[Results, Results, Results]:
        """Loose, usual and tight clamps."""
        return self


def has_frame(case: Case) -> bool:
    """Whether bars hold two pieces of bone, or would if they were joined."""
    held = holding(case)
    return bool(held.frames or held.loose)


def is_quick(case: Case) -> bool:
    """Whether a frame is small enough to be solved at every step of a drag."""
    joints = sum(len(path.joints) for path in laid_bars(case).paths.values())
    return joints <= QUICK_CLAMPS


def quick_hold(case: Case) -> Results:
    """Results for clamps of usual tightness. Raises UnstableFrame."""
    found = _quick(case)
    if isinstance(found, UnstableFrame):
        raise found
    return found


def must_hold(case: Case) -> None:
    """Raises UnstableFrame as `quick_hold` does, with the same words; works out nothing else."""
    model = frame_model(case)
    frame = Frame(model.model)
    frame.solve_vectors(np.concatenate([frame.gap_units(*one) for one in model.faces], axis=1))


@remembered
def _quick(case: Case) -> Results | UnstableFrame:
    try:
        return results(case, frame_model(case))
    except UnstableFrame as problem:
        return problem


def full_hold(case: Case) -> Hold:
    """Results over the whole clamp band. Raises UnstableFrame."""
    return _full(case, quick_hold(case))


@lru_cache(maxsize=8)
def _full_of(key: "_Same") -> Hold:
    return _banded(key.case, key.middle)


def _full(case: Case, middle: Results) -> Hold:
    return _full_of(_Same(case, middle))


class _Same:
    """A case with its middle results as a key: equal only to itself."""

    __slots__ = ("case", "middle")

    def __init__(self, case: Case, middle: Results) -> None:
        self.case, self.middle = case, middle

    def __hash__(self) -> int:
        return id(self.middle)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and self.middle is other.middle


def _banded(case: Case, middle: Results) -> Hold:
    give = assumed().clamp
    low = results(case, with_clamps(middle.model, give.low_rotation_nmm_per_rad))
    high = results(case, with_clamps(middle.model, give.high_rotation_nmm_per_rad))
    return Hold(low, middle, high)


def results(case: Case, model: FrameModel) -> Results:
    """Solves a frame for unit loads on every gap and for all reference loads at once."""
    frame = Frame(model.model)
    values, loads = assumed(), reference_loads(case, model)
    columns = [frame.gap_units(*faces) for faces in model.faces]
    columns.append(frame.load_vectors(tuple(one.loads for one in loads)))
    solved = frame.solve_vectors(np.concatenate(columns, axis=1))
    pose = pose_of_case(case)
    moved = [
        gap_axes(pose, gap) @ gap_movement(solved, *faces)
        for gap, faces in zip(model.gaps, model.faces, strict=True)
    ]
    gaps = tuple(
        _gap_hold(model, n, moved[n][:, 6 * n : 6 * n + 6], pose) for n in range(len(moved))
    )
    first = 6 * len(gaps)
    tops = highest(solved, range(first, first + len(loads)), values.pin.yield_mpa)
    told = tuple(
        _load_hold(one, gaps, [each[:, first + n] for each in moved], top, values.withdrawn)
        for n, (one, top) in enumerate(zip(loads, tops, strict=True))
    )
    return Results(model, gaps, told, solved)


def gap_axes(pose: Pose, gap: Gap) -> Array:
    """Turns movement (6) into the axes of the gap: its segment's, or the fixed one's at a joint."""
    out = np.zeros((6, 6))
    same = gap.proximal.segment == gap.distal.segment
    out[:3, :3] = out[3:, 3:] = segmentgap_axes(pose, gap.proximal.segment) if same else np.eye(3)
    return out


@lru_cache(maxsize=64)
def segmentgap_axes(pose: Pose, segment: str) -> Array:
    """Rows: forward, medial and proximal of a segment in the axes of mechanics."""
    ends = pose.to_limb(segment, np.array([[0.0, 0, 0], [0, 1, 0], [-1, 0, 0], [0, 0, -1]]))
    ways = ends[1:] - ends[0]
    rows: Array = np.stack([ways[:, 1], -ways[:, 0], -ways[:, 2]], axis=1)
    return rows


def _gap_hold(model: FrameModel, n: int, moved: Array, pose: Pose) -> GapHold:
    gap = model.gaps[n]
    compliance = moved @ gap_axes(pose, gap).T
    bending = float(1 / np.linalg.eigvalsh(compliance[SIDE:TORSION, SIDE:TORSION])[-1])
    lever_mm = _lever_mm(model, n)
    return GapHold(gap, firmness_of(compliance), bending, bending / lever_mm, compliance)


def firmness_of(compliance: Array) -> Firmness:
    """The four stiffnesses of a gap from its compliance (6, 6) in its own axes."""
    own = compliance.diagonal().tolist()
    return Firmness(
        1 / own[AXIAL],
        NM_PER_DEGREE / own[FRONT_BACK],
        NM_PER_DEGREE / own[SIDE],
        NM_PER_DEGREE / own[TORSION],
    )


def _lever_mm(model: FrameModel, n: int) -> float:
    """From a gap to the far end of the last piece of its frame."""
    frame = next(frame for frame in model.frames if model.gaps[n] in frame.gaps)
    end = model.model.nodes[model.distal[frame.bodies[-1].id]]
    return max(1.0, size(minus(end, model.model.nodes[model.faces[n][1]])))


def _load_hold(
    load: ReferenceLoad,
    gaps: tuple[GapHold, ...],
    moved: list[Array],
    top: Peaks,
    limits: Withdrawn,
) -> LoadHold:
    movements = tuple(_movement(one) for one in moved)
    over = tuple(
        load.along_n / one.buckling_n > limits.load_share
        or movement.shift_mm > limits.shift_mm
        or movement.angle_deg > limits.turn_deg
        or top.pin_share > limits.yield_share
        for one, movement in zip(gaps, movements, strict=True)
    )
    return LoadHold(load, movements, over, top)


def _movement(moved: Array) -> Movement:
    forward, medial, along = moved[:3].tolist()
    x, y, z = np.degrees(moved[3:]).tolist()
    return Movement(forward, medial, along, (x, y, z))
