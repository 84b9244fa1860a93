"""What a pin runs into besides its own bone: other bones of its segment, outlined hazards.

The pin is cut into pieces that count as lying in one level each; untilted it is one piece, and the
answer exact. A joint's cavity counts at its authored level only, any other outline to the middle
between its level and the next (D9).
"""

import itertools
import math
from collections.abc import Collection, Iterator
from typing import TYPE_CHECKING

import msgspec
import numpy as np
import shapely
from numpy.typing import NDArray

from fixplan.geometry.hazard_gaps import Part
from fixplan.geometry.hazards import PinPlane, outlined_hazards
from fixplan.geometry.paths import PinPath

if TYPE_CHECKING:
    from fixplan.limb.anatomy import Limb

Array = NDArray[np.float64]

_STEP_MM = 2.0
_MOST_STEPS = 40


class OutlineGap(msgspec.Struct, frozen=True):
    """How near a pin comes to a hazard with an outline on one side of its bone.

    `gap_mm` is from surface to surface, 0 where they meet.
    """

    name: str
    track: str
    kind: str
    grade: str
    part: Part
    gap_mm: float


class _Piece(msgspec.Struct, frozen=True):
    """A piece of a pin that counts as lying in one level; its ends are along the pin, mm."""

    level_mm: float
    part: Part
    inner_mm: float
    outer_mm: float

    def gap_mm(self, path: PinPath, outline: Array, within_mm: float) -> float:
        """Distance from an outline, 0 where they meet; infinite where a glance tells it is far."""
        along = path.line.along_xy
        at, off = np.array((along, (-along[1], along[0]))) @ (outline - path.aim_mm[:2]).T
        inner, outer = (one * path.line.cos_tilt for one in (self.inner_mm, self.outer_mm))
        reach = path.radius_mm + within_mm
        beside = off.min() > reach or off.max() < -reach
        if beside or at.min() > outer + within_mm or at.max() < inner - within_mm:
            return math.inf
        radius = path.radius_mm
        solid = ((inner, -radius), (outer, -radius), (outer, radius), (inner, radius))
        seen = shapely.Polygon(np.column_stack((at, off)))
        return float(shapely.distance(shapely.Polygon(solid), seen))


def other_bones_met(limb: "Limb", path: PinPath) -> tuple[str, ...]:
    """The other bones of its segment that a pin runs into, where their sections are known."""
    others = [one for one in limb.segments[path.segment].bones if one != path.pin.bone]
    reached = [one for one in others if not limb.bones[one].drawn_only]
    return tuple(one for one in reached if _meets(limb, path, one))


def outlined_gaps(
    limb: "Limb", path: PinPath, within_mm: float, grades: Collection[str]
) -> tuple[OutlineGap, ...]:
    """Hazards with an outline that a pin comes nearer to than `within_mm`, the nearest first."""
    best: dict[tuple[str, Part], OutlineGap] = {}
    for piece in _pieces(path):
        for hazard, outline in outlined_hazards(limb, _plane(path, piece), grades):
            gap_mm = piece.gap_mm(path, outline, within_mm)
            known = best.get((hazard.track, piece.part))
            if gap_mm < within_mm and (known is None or gap_mm < known.gap_mm):
                best[hazard.track, piece.part] = OutlineGap(
                    hazard.name, hazard.track, hazard.kind, hazard.grade, piece.part, gap_mm
                )
    return tuple(sorted(best.values(), key=lambda one: one.gap_mm))


def _plane(path: PinPath, piece: _Piece) -> PinPlane:
    thick_mm = path.radius_mm / path.line.cos_tilt
    return PinPlane(path.group, piece.level_mm, path.target_mm, thick_mm, 0.0)


def _meets(limb: "Limb", path: PinPath, bone: str) -> bool:
    whole = limb.bones[bone]
    ends = [path.level_at(at) for at in (path.tip_end_mm, path.skin_mm)]
    if max(ends) < whole.from_mm or min(ends) > whole.to_mm:
        return False
    return any(_meets_at(limb, path, piece, bone) for piece in _unparted(path))


def _meets_at(limb: "Limb", path: PinPath, piece: _Piece, bone: str) -> bool:
    section = limb.section(bone, piece.level_mm)
    if section is None or not section.known:
        return False
    return piece.gap_mm(path, section.outline, 0.0) <= 0


def _pieces(path: PinPath) -> Iterator[_Piece]:
    outer = max(path.skin_mm, path.tip_end_mm)
    far: Part = "near" if path.pin.kind == "through" else "far"
    yield from _cut(path, 0.0, outer, "near")
    if path.tip_end_mm < 0:
        yield from _cut(path, path.tip_end_mm, 0.0, far)


def _unparted(path: PinPath) -> Iterator[_Piece]:
    """Pieces of a pin where near and far side need not be told apart: one, if it is untilted."""
    if not path.line.flat:
        return _pieces(path)
    outer = max(path.skin_mm, path.tip_end_mm)
    return _cut(path, min(path.tip_end_mm, 0.0), outer, "near")


def _cut(path: PinPath, inner: float, outer: float, part: Part) -> Iterator[_Piece]:
    if path.line.flat:
        yield _Piece(path.pin.level_mm, part, inner, outer)
        return
    rise = abs(path.level_at(outer) - path.level_at(inner))
    count = min(max(math.ceil(rise / _STEP_MM), 1), _MOST_STEPS)
    edges = np.linspace(inner, outer, count + 1).tolist()
    for low, high in itertools.pairwise(edges):
        yield _Piece(path.level_at((low + high) / 2), part, low, high)
