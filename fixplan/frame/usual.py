"""The usual frame for a gap, laid on the same limb, and how a drawn frame compares with it."""

from functools import lru_cache
from typing import NamedTuple

import msgspec
from msgspec.structs import replace

from fixplan.case.bare import bare_limb
from fixplan.case.records import Case
from fixplan.errors import EditError, UnstableFrame
from fixplan.frame.bodies import Gap
from fixplan.frame.hold import Firmness, GapHold, quick_hold
from fixplan.frame.starting import lay_frame
from fixplan.limb.library import load_toml

EVEN = 0.05
"""Within this share of each other two stiffnesses are told as alike."""


class ReferenceFrame(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A pattern of frame that a hospital takes as its usual one."""

    pattern: str
    name: str


class ReferenceFrames(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """resources/reference_frames.toml."""

    schema: int
    source: str
    frames: dict[str, ReferenceFrame]


class Compared(NamedTuple):
    """A gap's stiffness over that of the usual frame, which has a name."""

    name: str
    ratios: Firmness

    @property
    def words(self) -> str:
        """How the frame compares, in a few words."""
        firmer = [ratio > 1 + EVEN for ratio in self.ratios]
        softer = [ratio < 1 - EVEN for ratio in self.ratios]
        if any(firmer) and any(softer):
            return "in part firmer, in part softer than your usual frame"
        if any(firmer):
            return "firmer than your usual frame"
        return "softer than your usual frame" if any(softer) else "as firm as your usual frame"


def compared(case: Case, gap: GapHold) -> Compared | None:
    """A gap against the usual frame; None where no usual frame is listed, or it cannot be laid."""
    listed = load_toml("reference_frames.toml", ReferenceFrames).frames
    of_bone = listed.get(f"fracture-{gap.gap.proximal.fragment.bone}", listed.get("fracture"))
    chosen = listed.get(gap.gap.joint) if gap.gap.joint else of_bone
    if chosen is None:
        return None
    limb = replace(bare_limb(case), fractures=case.fractures)
    usual = _usual(limb, chosen.pattern, gap.gap.proximal.fragment.bone, _place(gap.gap))
    if usual is None:
        return None
    return Compared(
        chosen.name, Firmness(*(a / b for a, b in zip(gap.firmness, usual, strict=True)))
    )


def _place(gap: Gap) -> tuple[str, float]:
    return gap.joint, (gap.proximal.fragment.to_mm + gap.distal.fragment.from_mm) / 2


@lru_cache(maxsize=16)
def _usual(bare: Case, pattern: str, bone: str, place: tuple[str, float]) -> Firmness | None:
    """Stiffness of the usual frame at the same joint, or at the gap nearest to the same level."""
    try:
        laid = lay_frame(bare, pattern, lambda *_: (), bone if not place[0] else None)
        gaps = quick_hold(laid.case).gaps
    except (EditError, UnstableFrame):
        return None
    alike = [one for one in gaps if one.gap.joint == place[0]]
    if not alike:
        return None
    return min(alike, key=lambda one: abs(_place(one.gap)[1] - place[1])).firmness
