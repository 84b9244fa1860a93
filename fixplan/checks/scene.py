"""What one pin is judged against: the limb as it lies and all that is drawn but pins and bars."""

from functools import cached_property, lru_cache

import msgspec
import numpy as np
from numpy.typing import NDArray

from fixplan.case.limbs import pose_of_case
from fixplan.case.records import (
    Candidate,
    Case,
    CorridorPart,
    Fracture,
    Injury,
    Wound,
)
from fixplan.case.remembered import remembered
from fixplan.checks.rules import Rule, by_id, rules
from fixplan.checks.zones import Zone, levels_of
from fixplan.geometry.paths import PinPath
from fixplan.limb.anatomy import Limb
from fixplan.limb.library import load_toml
from fixplan.limb.pictures import reached_by
from fixplan.limb.pose import Pose

Array = NDArray[np.float64]


class Margins(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Default margins round an injury by segment, mm."""

    schema: int
    source: str
    evidence: tuple[str, ...]
    margin_mm: dict[str, float]


class Scene:
    """Compared by identity and remembered, so that a pin's answers can be remembered with it."""

    def __init__(
        self,
        pose: Pose,
        fractures: tuple[Fracture, ...],
        wounds: tuple[Wound, ...],
        injuries: tuple[Injury, ...],
        candidates: tuple[Candidate, ...],
        listed: tuple[Rule, ...],
        *,
        open_growth_plates: bool = False,
    ) -> None:
        self.open_growth_plates = open_growth_plates
        self.pose, self.limb, self.rules = pose, pose.limb, listed
        self.fractures, self.wounds = fractures, wounds
        self.injuries = tuple(i for i in injuries if i.segment in pose.limb.segments)
        self.candidates = candidates
        self.rules_by_id = by_id(listed)

    def seen_from(self, segment: str, path: PinPath) -> tuple[Array, Array]:
        """Both ends of a pin's solid in another segment's frame, as the limb lies."""
        ends = np.array([path.solid.start_mm, path.solid.end_mm])
        seen = self.pose.from_limb(segment, self.pose.to_limb(path.segment, ends))
        return seen[0], seen[1]

    @cached_property
    def parts(self) -> tuple[tuple[Candidate, CorridorPart], ...]:
        """Every part of every candidate for later fixation, with its candidate."""
        return tuple((one, part) for one in self.candidates for part in one.parts)

    @cached_property
    def zones(self) -> dict[str, tuple[Zone, ...]]:
        """The zones of injury of each segment, with their margins."""
        found: dict[str, tuple[Zone, ...]] = {}
        for injury in self.injuries:
            margin_mm = injury.margin_mm
            if margin_mm is None:
                margin_mm = default_margin_mm(injury.segment)
            low, high = levels_of(self.limb, injury)
            levels = low - margin_mm, high + margin_mm
            reaches = reached_by(self.limb, injury.segment, has_side=bool(injury.side))
            zone = Zone(injury, margin_mm, levels, reaches)
            found[injury.segment] = (*found.get(injury.segment, ()), zone)
        return found


def default_margin_mm(segment: str) -> float:
    """Default margin round an injury in a segment, mm (margins.toml); elsewhere the widest."""
    margins = load_toml("margins.toml", Margins).margin_mm
    return margins.get(segment, max(margins.values()))


@lru_cache(maxsize=32)
def _scene(
    pose: Pose,
    fractures: tuple[Fracture, ...],
    wounds: tuple[Wound, ...],
    injuries: tuple[Injury, ...],
    candidates: tuple[Candidate, ...],
    listed: tuple[Rule, ...],
    open_growth_plates: bool,
) -> Scene:
    return Scene(
        pose,
        fractures,
        wounds,
        injuries,
        candidates,
        listed,
        open_growth_plates=open_growth_plates,
    )


@remembered
def scene_of(case: Case) -> Scene:
    """The scene of a case."""
    drawn = case.fractures, case.wounds, case.injuries, case.candidates
    return _scene(pose_of_case(case), *drawn, rules(), case.open_growth_plates)


def bone_share(limb: Limb, bone: str, level_mm: float) -> float:
    """Where a level lies along a bone, 0 at its proximal end and 1 at its distal end."""
    known = limb.bones[bone]
    return (level_mm - known.from_mm) / (known.to_mm - known.from_mm)
