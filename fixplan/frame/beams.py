"""The case as nodes and beams: pins, bars, clamps and the held pieces of bone.

The fracture gap is empty. Clamps and pin-in-bone are 6-way springs, their offsets rigid arms.
Axes of mechanics: X anterior, Y medial, Z proximal, from the posed limb's x lateral, y anterior,
level distal; a left limb is modelled as its mirror image, which changes no stiffness.
Assumed values: resources/mechanics.toml and materials.toml, each with its source.
"""

from functools import lru_cache
from itertools import pairwise

import msgspec
import numpy as np
from msgspec.structs import replace

from fixplan.case.limbs import limb_of_case, pose_of_case
from fixplan.case.records import Case, Pin
from fixplan.errors import UnstableFrame
from fixplan.frame.bodies import Body, Gap, bodies, gaps
from fixplan.frame.elements import Array, Beam, Model, Profile, Spring, round_profile
from fixplan.frame.joining import BarPath, Clamp, bar_paths
from fixplan.frame.pin_lines import PinLine, pin_lines
from fixplan.frame.vectors import Vector, across, cross, dot, minus, size, unit, vector
from fixplan.geometry.paths import pin_path
from fixplan.limb.anatomy import Limb
from fixplan.limb.library import load_toml

Flags = tuple[bool, bool, bool, bool, bool, bool]
FIXED: Flags = (True,) * 6
TIGHT_MM = 1e-3


class Modulus(msgspec.Struct, frozen=True):
    """Elastic values of one kind of part, MPa; `yield_mpa` 0 where none may be quoted."""

    shear_share: float
    source: str
    e_mpa: float = 0.0
    g_mpa: float = 0.0
    yield_mpa: float = 0.0
    outer_mm: float = 0.0
    bore_mm: float = 0.0


class InBone(msgspec.Struct, frozen=True):
    """Springs of a pin in bone, N/mm and N*mm per radian."""

    translation_n_per_mm: float
    rotation_nmm_per_rad: float
    poor_rotation_nmm_per_rad: float
    poor_bones: tuple[str, ...]
    source: str


class ClampGive(msgspec.Struct, frozen=True):
    """Springs of a clamp, N/mm and N*mm per radian, with the band that is tried."""

    translation_n_per_mm: float
    rotation_nmm_per_rad: float
    low_rotation_nmm_per_rad: float
    high_rotation_nmm_per_rad: float
    source: str


class Assumed(msgspec.Struct, frozen=True):
    """resources/mechanics.toml."""

    schema: int
    pin: Modulus
    bar: Modulus
    pin_in_bone: InBone
    clamp: ClampGive
    bone: Modulus


class BarMaterial(msgspec.Struct, frozen=True):
    """What a bar is made of, MPa."""

    name: str
    e_mpa: float
    g_mpa: float
    radiolucent: bool
    source: str


class Materials(msgspec.Struct, frozen=True):
    """resources/materials.toml."""

    schema: int
    bars: dict[str, BarMaterial]


@lru_cache(maxsize=1)
def assumed() -> Assumed:
    """Values assumed by the frame model, with their sources."""
    return load_toml("mechanics.toml", Assumed)


@lru_cache(maxsize=1)
def materials() -> Materials:
    """Materials of bars."""
    return load_toml("materials.toml", Materials)


class FrameModel(msgspec.Struct, frozen=True):
    """A case ready to be solved: the model, and the two face nodes of each gap in order."""

    model: Model
    gaps: tuple[Gap, ...]
    faces: tuple[tuple[str, str], ...]
    held: tuple[Body, ...]


def frame_model(case: Case, clamp_rotation_nmm_per_rad: float | None = None) -> FrameModel:
    """Nodes, beams and springs of a case. Raises UnstableFrame when no two pieces are held."""
    held = bodies(case)
    if len(held) < 2:
        raise UnstableFrame(
            "The frame does not hold two pieces of bone: "
            "put pins on both sides and join them by bars."
        )
    turn = clamp_rotation_nmm_per_rad or assumed().clamp.rotation_nmm_per_rad
    maker = _Maker(case, turn)
    for body in held:
        maker.add_body(body)
    for path in maker.paths.values():
        maker.add_bar(path)
    maker.join_bars()
    for pin in (pin for body in held for pin in body.pins):
        maker.add_pin(pin)
    between = gaps(case)
    faces = tuple(
        (maker.one(f"{g.proximal.id}/distal"), maker.one(f"{g.distal.id}/proximal"))
        for g in between
    )
    supports = {f"{held[0].id}/proximal": FIXED}
    return FrameModel(maker.model(supports), between, faces, held)


class _Maker:
    """Collects nodes and members of one case."""

    def __init__(self, case: Case, clamp_rotation: float) -> None:
        self.case, self.limb, self.pose = case, limb_of_case(case), pose_of_case(case)
        self.paths: dict[str, BarPath] = bar_paths(case)
        self.lines: dict[str, PinLine] = pin_lines(case)
        self.turn = clamp_rotation
        self.nodes: dict[str, Vector] = {}
        self.beams: list[Beam] = []
        self.springs: list[Spring] = []
        self.same: dict[str, str] = {}
        self.clamps = [
            clamp for path in self.paths.values() for clamp in path.joints if clamp.reaches
        ]

    def add_body(self, body: Body) -> None:
        """A piece of bone as a chain of tube beams through its pins' levels."""
        piece = body.fragment
        stops = [(piece.from_mm, f"{body.id}/proximal")]
        stops += [(pin.level_mm, f"{pin.id}/bone") for pin in body.pins]
        stops += [(piece.to_mm, f"{body.id}/distal")]
        for level, name in stops:
            self.nodes[name] = self._on_bone(body.segment, piece.bone, level)
        for (low, above), (high, below) in pairwise(stops):
            profile = self._tube(piece.bone, (low + high) / 2)
            self._beam(above, below, profile, body.id, "bone")

    def add_bar(self, path: BarPath) -> None:
        """A bar as beams between its clamps; the free ends carry nothing and are left out."""
        found = materials().bars.get(path.bar.material) or materials().bars["carbon"]
        profile = round_profile(
            path.bar.diameter_mm, found.e_mpa, found.g_mpa, shear_share=assumed().bar.shear_share
        )
        joints = [c for c in self.clamps if path.bar.id in (c.bar, c.other)]
        stops = sorted((self._along(path, c), c.id) for c in joints)
        for place, name in stops:
            self.nodes[f"{path.bar.id}@{name}"] = _mechanics(path.at(place))
        for (_, first), (_, second) in pairwise(stops):
            self._beam(
                f"{path.bar.id}@{first}", f"{path.bar.id}@{second}", profile, path.bar.id, "bar"
            )

    def join_bars(self) -> None:
        """The clamps between bars, once every bar has its nodes."""
        for clamp in (c for c in self.clamps if c.other in self.paths):
            self._clamp(clamp, f"{clamp.other}@{clamp.id}", self.paths[clamp.other].direction)

    def add_pin(self, pin: Pin) -> None:
        """A pin as beams from where it enters the bone to its clamps, sprung in the bone."""
        path = pin_path(self.limb, pin)
        walls = [("outer", path.near_mm)] + (
            [("far", path.far_mm)] if pin.kind == "through" else []
        )
        for end, wall_mm in walls:
            joints = [c for c in self.clamps if c.other == pin.id and c.end == end]
            if joints:
                self._half(pin, end, wall_mm, joints)

    def _half(self, pin: Pin, end: str, wall_mm: float, joints: list[Clamp]) -> None:
        line = self.lines[pin.id]
        root = f"{pin.id}/{end}"
        entry = _mechanics(vector(np.add(line.aim, np.multiply(line.outward, wall_mm))))
        self.nodes[root] = entry
        self._root(pin, root, entry)
        steel = assumed().pin
        profile = round_profile(
            pin.diameter_mm, steel.e_mpa, steel.g_mpa, shear_share=steel.shear_share
        )
        last = root
        for clamp in sorted(joints, key=lambda c: size(minus(_mechanics(c.at_other_mm), entry))):
            node = f"{pin.id}@{clamp.id}"
            self.nodes[node] = _mechanics(clamp.at_other_mm)
            self._beam(last, node, profile, pin.id, "pin")
            self._clamp(clamp, node, line.outward)
            last = node

    def _root(self, pin: Pin, root: str, entry: Vector) -> None:
        give, bone = assumed().pin_in_bone, f"{pin.id}/bone"
        poor = pin.bone in give.poor_bones
        turn = give.poor_rotation_nmm_per_rad if poor else give.rotation_nmm_per_rad
        k = (give.translation_n_per_mm,) * 3 + (turn,) * 3
        arm = minus(entry, self.nodes[bone])
        self.springs.append(Spring(bone, root, k, arm_i=arm, owner=pin.id, role="pin in bone"))

    def _clamp(self, clamp: Clamp, other: str, other_way: Vector) -> None:
        """Spring at the other part's axis, reached over a rigid arm from the bar's axis."""
        bar = f"{clamp.bar}@{clamp.id}"
        first = unit(_mechanics(other_way))
        second = unit(across(_mechanics(self.paths[clamp.bar].direction), first))
        axes = (first, second, cross(first, second))
        k = (assumed().clamp.translation_n_per_mm,) * 3 + (self.turn,) * 3
        arm = minus(self.nodes[other], self.nodes[bar]) if bar in self.nodes else (0.0, 0.0, 0.0)
        self.springs.append(Spring(bar, other, k, axes, arm_i=arm, owner=clamp.id, role="clamp"))

    def _beam(self, i: str, j: str, profile: Profile, owner: str, role: str) -> None:
        """A beam; where two nodes fall together the second becomes the first."""
        if size(minus(self.nodes[i], self.nodes[j])) > TIGHT_MM:
            self.beams.append(Beam(i, j, profile, owner, role))
        else:
            self.same[j] = self.same.get(i, i)

    def one(self, name: str) -> str:
        """The node that stands for a name, where several fall together."""
        return self.same.get(name, name)

    def model(self, supports: dict[str, Flags]) -> Model:
        """What was collected, with nodes that fall together made one."""
        one = self.one
        beams = tuple(replace(b, i=one(b.i), j=one(b.j)) for b in self.beams)
        springs = tuple(replace(s, i=one(s.i), j=one(s.j)) for s in self.springs)
        nodes = {name: at for name, at in self.nodes.items() if name not in self.same}
        return Model(nodes, beams, springs, {one(name): held for name, held in supports.items()})

    def _along(self, path: BarPath, clamp: Clamp) -> float:
        """Where a clamp sits on a bar, from beside the bar's first anchor."""
        at = clamp.at_bar_mm if clamp.bar == path.bar.id else clamp.at_other_mm
        return dot(minus(at, path.origin_mm), path.direction)

    def _on_bone(self, segment: str, bone: str, level_mm: float) -> Vector:
        cut = self.limb.section(bone, level_mm)
        x, y = cut.target if cut is not None else (0.0, 0.0)
        posed = self.pose.to_limb(segment, np.array([[x, y, level_mm]], dtype=float))
        return _mechanics(vector(posed[0]))

    def _tube(self, bone: str, level_mm: float) -> Profile:
        return _tube(self.limb, bone, level_mm)


def _tube(limb: Limb, bone: str, level_mm: float) -> Profile:
    """Tube of the bone's own width and canal at a level, or the assumed one where not known."""
    values = assumed().bone
    outer, bore = values.outer_mm, values.bore_mm
    cut = limb.section(bone, level_mm)
    if cut is not None and cut.known and cut.canal is not None:
        outer, bore = _mean_width(cut.outline), _mean_width(cut.canal)
    return round_profile(outer, values.e_mpa, values.g_mpa, bore, values.shear_share)


def _mean_width(ring: Array) -> float:
    return float(np.ptp(ring, axis=0).mean())


def _mechanics(at_mm: Vector) -> Vector:
    """From the posed limb (x lateral, y anterior, level distal) to mechanics' axes."""
    return at_mm[1], -at_mm[0], -at_mm[2]
