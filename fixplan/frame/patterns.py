"""The trade's own patterns of frame and where their parts start, from resources/frames.toml."""

from functools import cache
from typing import Literal

import msgspec

from fixplan.errors import EditError
from fixplan.limb.library import load_toml

Sides = tuple[float, float]
"""Sides of entry (deg) of the proximal and the distal pin of a pair."""

PatternKind = Literal["per-fragment", "single-bar", "knee-spanning", "ankle-delta"]


class Layout(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Where pins and bars are put before anyone moves them, in mm."""

    evidence: tuple[str, ...]
    step_mm: float
    fracture_mm: float
    apart_mm: float
    spread_share: float
    spread_most_mm: float
    bar_mm: float
    outs_mm: tuple[float, ...]
    skin_least_mm: float
    skin_most_mm: float
    link_clear_mm: float
    link_past_mm: tuple[float, ...]
    touch_mm: float
    not_by_sliding: tuple[str, ...]

    @property
    def out_mm(self) -> float:
        """Usual distance of a bar's axis from the skin."""
        return self.outs_mm[0]


class GroupRules(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What one pin, or none, may hold (D14); lengths in mm."""

    evidence: tuple[str, ...]
    fracture_mm: float
    bridged_mm: float
    one_pin_bones: tuple[str, ...]
    end_blocks: dict[str, tuple[str, str]]


class Pattern(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename={"when": "for"}):
    """A starting frame: its name, what it is for, and where its pins begin."""

    name: str
    short: str
    when: str
    kind: PatternKind
    bones: tuple[str, ...]
    evidence: tuple[str, ...]
    femur_bearings_deg: tuple[Sides, ...] = ()
    tibia_bearings_deg: tuple[Sides, ...] = ()
    femur_from_knee_mm: float = 0.0
    tibia_from_knee_mm: float = 0.0
    tibia_from_fracture_mm: float = 0.0
    tibia_spread_mm: float = 1000.0
    tibia_from_ankle_mm: float = 0.0


class OrderLine(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One line of the build order, with evidence ids."""

    text: str
    evidence: tuple[str, ...]


class Frames(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """All of resources/frames.toml."""

    schema: int
    layout: Layout
    groups: GroupRules
    patterns: dict[str, Pattern]
    order: dict[str, OrderLine]


@cache
def frames() -> Frames:
    """Patterns, layout, texts. Raises LibraryError when the file does not hold what it should."""
    return load_toml("frames.toml", Frames)


def layout() -> Layout:
    """Where parts start."""
    return frames().layout


def patterns() -> dict[str, Pattern]:
    """Starting frames by id, in the order they are offered."""
    return frames().patterns


def pattern(pattern_id: str) -> Pattern:
    """The pattern with this id. Raises EditError for an unknown one."""
    known = patterns()
    if pattern_id not in known:
        raise EditError(
            f'There is no starting frame "{pattern_id}"; choose one of {", ".join(known)}.'
        )
    return known[pattern_id]
