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
from fixplan.frame.assumed import Assumed, assumed, bar_materials
from fixplan.frame.bodies import Body, Gap, Held, holding, reached_bars
from fixplan.frame.elements import Array, Axes, Beam, Model, Profile, Spring, round_profile
from fixplan.frame.joining import BarPath, Clamp
from fixplan.frame.pin_lines import PinLine, pin_lines
from fixplan.frame.vectors import Vector, across, along, cross, dot, minus, size, times, unit
from fixplan.geometry.paths import PinPath, pin_path
from fixplan.limb.anatomy import Limb
from fixplan.limb.pose import Pose

Flags = tuple[bool, bool, bool, bool, bool, bool]
FIXED: Flags = (True,) * 6
TIGHT_MM = 1e-3
NO_ARM: Vector = (0.0, 0.0, 0.0)


class FrameModel(msgspec.Struct, frozen=True):
    """A case ready to be solved: the model, its frames, and the two face nodes of each gap.

    `proximal` and `distal` name the end nodes of each piece, by its id.
    """

    model: Model
    frames: tuple[Held, ...]
    gaps: tuple[Gap, ...]
    faces: tuple[tuple[str, str], ...]
    proximal: dict[str, str]
    distal: dict[str, str]


def frame_model(
    case: Case,
    clamp_rotation_nmm_per_rad: float | None = None,
) -> FrameModel:
    """Nodes, beams and springs of a case, with ligaments of unbroken joints where it says so.

    Raises UnstableFrame when a piece is free to move, or when no two pieces are held.
    """
    held = holding(case)
    if held.loose:
        raise UnstableFrame(" ".join(held.loose))
    if not held.frames:
        raise UnstableFrame(
            "The frame does not hold two pieces of bone: "
            "put pins on both sides and join them by bars."
        )
    maker = _Maker(case, clamp_rotation_nmm_per_rad)
    for frame in held.frames:
        maker.add_frame(frame)
        if case.spanned_joints == "braced":
            maker.brace(frame.gaps)
    return maker.made(held.frames)


def with_clamps(found: FrameModel, rotation_nmm_per_rad: float) -> FrameModel:
    """The same frame with other clamps, N*mm per radian of turn."""
    turn = (rotation_nmm_per_rad,) * 3
    springs = tuple(
        replace(s, k=(*s.k[:3], *turn)) if s.role == "clamp" else s for s in found.model.springs
    )
    return replace(found, model=found.model._replace(springs=springs))


class _Maker:
    """Collects nodes and members of one case."""

    def __init__(self, case: Case, clamp_rotation: float | None) -> None:
        self.limb, self.pose = limb_of_case(case), pose_of_case(case)
        self.values: Assumed = assumed()
        self.stuff = bar_materials()
        self.paths: dict[str, BarPath] = reached_bars(case)
        self.lines: dict[str, PinLine] = pin_lines(case)
        give = self.values.clamp
        self.clamp_k = (give.translation_n_per_mm,) * 3 + (
            clamp_rotation or give.rotation_nmm_per_rad,
        ) * 3
        self.nodes: dict[str, Vector] = {}
        self.beams: list[Beam] = []
        self.springs: list[Spring] = []
        self.same: dict[str, str] = {}
        self.clamps_on: dict[str, list[Clamp]] = {}
        for path in self.paths.values():
            for clamp in path.joints:
                if clamp.reaches:
                    self.clamps_on.setdefault(clamp.bar, []).append(clamp)
                    self.clamps_on.setdefault(clamp.other, []).append(clamp)

    def add_frame(self, frame: Held) -> None:
        """One frame's pieces, bars, clamps and pins."""
        paths = [path for bar, path in self.paths.items() if bar in frame.parts]
        for body in frame.bodies:
            self._add_body(body)
        for path in paths:
            self._add_bar(path)
        for path in paths:
            for clamp in self.clamps_on.get(path.bar.id, ()):
                if clamp.bar == path.bar.id and clamp.other in self.paths:
                    way = self.paths[clamp.other].direction
                    self._clamp(clamp, f"{clamp.other}@{clamp.id}", way)
        for body in frame.bodies:
            for pin in body.pins:
                self._add_pin(pin, body)

    def brace(self, gaps: tuple[Gap, ...]) -> None:
        """Ligaments of the joints that no fracture cuts loose: a spring with a free hinge."""
        give = self.values.joint
        turn = (give.rotation_nmm_per_rad, give.hinge_nmm_per_rad, give.rotation_nmm_per_rad)
        for gap in (gap for gap in gaps if gap.joint and not gap.broken):
            above, below = f"{gap.proximal.id}/distal", f"{gap.distal.id}/proximal"
            middle = times(minus(self.nodes[below], self.nodes[above]), 0.5)
            k = (*(give.translation_n_per_mm,) * 3, *turn)
            self.springs.append(
                Spring(
                    above,
                    below,
                    k,
                    arm_i=middle,
                    arm_j=times(middle, -1),
                    owner=gap.joint,
                    role="joint",
                )
            )

    def _add_body(self, body: Body) -> None:
        """A piece of bone as a chain of tube beams through its pins' levels."""
        piece = body.fragment
        own = [(p.level_mm, f"{p.id}/bone") for p in body.pins if p.bone == piece.bone]
        stops = [(piece.from_mm, f"{body.id}/proximal"), *own, (piece.to_mm, f"{body.id}/distal")]
        places = _on_bone(self.limb, self.pose, body, tuple(level for level, _ in stops))
        self.nodes.update(zip((name for _, name in stops), places, strict=True))
        for (low, above), (high, below) in pairwise(stops):
            profile = _tube(self.limb, piece.bone, (low + high) / 2, self.values)
            self._beam(above, below, profile, body.id, "bone")

    def _add_bar(self, path: BarPath) -> None:
        """A bar as beams between its clamps; the free ends carry nothing and are left out."""
        bar = path.bar
        stuff = self.stuff.get(bar.material) or self.stuff["carbon"]
        share = self.values.bar.shear_share
        profile = round_profile(bar.diameter_mm, stuff.e_mpa, stuff.g_mpa, shear_share=share)
        stops = sorted((_along(path, c), c.id) for c in self.clamps_on.get(bar.id, ()))
        names = [f"{bar.id}@{clamp}" for _, clamp in stops]
        for (place, _), name in zip(stops, names, strict=True):
            self.nodes[name] = mechanics(path.at(place))
        for first, second in pairwise(names):
            self._beam(first, second, profile, bar.id, "bar")

    def _add_pin(self, pin: Pin, body: Body) -> None:
        """A pin as beams from where it enters the bone to its clamps, sprung in the bone."""
        path = pin_path(self.limb, pin)
        for end in ("outer", "far"):
            joints = [c for c in self.clamps_on.get(pin.id, ()) if c.end == end]
            if joints:
                self._half(pin, end, path, joints, body)

    def _half(self, pin: Pin, end: str, path: PinPath, joints: list[Clamp], body: Body) -> None:
        line = self.lines[pin.id]
        wall_mm = path.near_mm if end == "outer" else path.far_mm
        entry = mechanics(along(line.aim, line.outward, wall_mm))
        last = f"{pin.id}/{end}"
        self.nodes[last] = entry
        self._root(pin, path, last, body)
        steel = self.values.pin
        profile = round_profile(
            pin.diameter_mm, steel.e_mpa, steel.g_mpa, shear_share=steel.shear_share
        )
        placed = [(size(minus(mechanics(c.at_other_mm), entry)), c) for c in joints]
        for _, clamp in sorted(placed, key=lambda one: one[0]):
            node = f"{pin.id}@{clamp.id}"
            self.nodes[node] = mechanics(clamp.at_other_mm)
            self._beam(last, node, profile, pin.id, "pin")
            self._clamp(clamp, node, line.outward)
            last = node

    def _root(self, pin: Pin, path: PinPath, root: str, body: Body) -> None:
        """The pin's hold in its bone; another bone of the segment counts as one with the main."""
        give = self.values.pin_in_bone
        own = f"{pin.id}/bone"
        bone = own if own in self.nodes else f"{body.id}/proximal"
        poor = pin.bone in give.poor_bones or not path.is_bicortical
        turn = give.poor_rotation_nmm_per_rad if poor else give.rotation_nmm_per_rad
        k = (give.translation_n_per_mm,) * 3 + (turn,) * 3
        arm = minus(self.nodes[root], self.nodes[bone])
        self.springs.append(Spring(bone, root, k, arm_i=arm, owner=pin.id, role="pin in bone"))

    def _clamp(self, clamp: Clamp, other: str, other_way: Vector) -> None:
        """Spring at the other part's axis, reached over a rigid arm from the bar's axis."""
        bar = f"{clamp.bar}@{clamp.id}"
        first = unit(mechanics(other_way))
        second = unit(across(mechanics(self.paths[clamp.bar].direction), first))
        axes: Axes = (first, second, cross(first, second))
        arm = minus(self.nodes[other], self.nodes[bar])
        self.springs.append(
            Spring(bar, other, self.clamp_k, axes, arm_i=arm, owner=clamp.id, role="clamp")
        )

    def _beam(self, i: str, j: str, profile: Profile, owner: str, role: str) -> None:
        """A beam; where two nodes fall together the second becomes the first."""
        if size(minus(self.nodes[i], self.nodes[j])) > TIGHT_MM:
            self.beams.append(Beam(i, j, profile, owner, role))
        else:
            self.same[j] = self.same.get(i, i)

    def _one(self, name: str) -> str:
        """The node that stands for a name, where several fall together."""
        return self.same.get(name, name)

    def made(self, frames: tuple[Held, ...]) -> FrameModel:
        """What was collected, with nodes that fall together made one."""
        gaps = tuple(gap for frame in frames for gap in frame.gaps)
        pieces = [body.id for frame in frames for body in frame.bodies]
        proximal = {piece: self._one(f"{piece}/proximal") for piece in pieces}
        distal = {piece: self._one(f"{piece}/distal") for piece in pieces}
        faces = tuple((distal[g.proximal.id], proximal[g.distal.id]) for g in gaps)
        supports = {proximal[frame.bodies[0].id]: FIXED for frame in frames}
        return FrameModel(self._model(supports), frames, gaps, faces, proximal, distal)

    def _model(self, supports: dict[str, Flags]) -> Model:
        beams, springs, nodes = tuple(self.beams), tuple(self.springs), self.nodes
        if self.same:
            one = self._one
            beams = tuple(replace(b, i=one(b.i), j=one(b.j)) for b in beams)
            springs = tuple(replace(s, i=one(s.i), j=one(s.j)) for s in springs)
            nodes = {name: at for name, at in nodes.items() if name not in self.same}
        return Model(nodes, beams, springs, supports)


def _along(path: BarPath, clamp: Clamp) -> float:
    """Where a clamp sits on a bar, from beside the bar's first anchor."""
    at = clamp.at_bar_mm if clamp.bar == path.bar.id else clamp.at_other_mm
    return dot(minus(at, path.origin_mm), path.direction)


@lru_cache(maxsize=512)
def _on_bone(limb: Limb, pose: Pose, body: Body, levels: tuple[float, ...]) -> tuple[Vector, ...]:
    """Places on a bone's middle line, in mechanics' axes."""
    bone = body.fragment.bone
    cuts = [limb.section(bone, level) for level in levels]
    middles = [(0.0, 0.0) if cut is None else (cut.target[0], cut.target[1]) for cut in cuts]
    points = np.array([(x, y, level) for (x, y), level in zip(middles, levels, strict=True)])
    return tuple(mechanics(point) for point in pose.to_limb(body.segment, points).tolist())


@lru_cache(maxsize=2048)
def _tube(limb: Limb, bone: str, level_mm: float, values: Assumed) -> Profile:
    """Tube of the bone's own width and canal at a level, or the assumed one where not known."""
    given = values.bone
    outer, bore = given.outer_mm, given.bore_mm
    cut = limb.section(bone, level_mm)
    if cut is not None and cut.known and cut.canal is not None:
        outer, bore = _mean_width(cut.outline), _mean_width(cut.canal)
    return round_profile(outer, given.e_mpa, given.g_mpa, bore, given.shear_share)


def _mean_width(ring: Array) -> float:
    return float(np.ptp(ring, axis=0).mean())


def mechanics(at_mm: Vector) -> Vector:
    """From the posed limb (x lateral, y anterior, level distal) to mechanics' axes."""
    return at_mm[1], -at_mm[0], -at_mm[2]


def posed(at: Vector) -> Vector:
    """The inverse of `mechanics`."""
    return -at[1], at[0], -at[2]
