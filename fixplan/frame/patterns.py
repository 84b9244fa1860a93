"""The trade's own patterns of frame and where their parts start, from resources/frames.toml."""

from functools import cache
from typing import Literal

import msgspec
from msgspec.structs import replace

from fixplan.case.records import Pin
from fixplan.case.scalars import LimbKind
from fixplan.errors import EditError
from fixplan.limb.library import load_toml

Sides = tuple[float, float]
"""Sides of entry (deg) of the proximal and the distal pin of a pair."""

PatternKind = Literal[
    "per-fragment",
    "single-bar",
    "ankle-delta",
    "joint-spanning",
    "foot-columns",
    "front-bar",
]


class Layout(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Where pins and bars are put before anyone moves them, in mm.

    `fracture_least_mm`, `apart_least_mm`: what is kept to a fracture and between two pins
    where the usual distances leave too little room. `by_thinner`: evidence of cautions for which
    the thickest listed pin that is free of them is taken. `opened_for`: evidence of cautions that
    an open approach answers, for it shows what they speak of.
    """

    evidence: tuple[str, ...]
    step_mm: float
    fracture_mm: float
    apart_mm: float
    fracture_least_mm: float
    apart_least_mm: float
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
    never_through: tuple[str, ...]
    opened_for: tuple[str, ...]
    by_thinner: tuple[str, ...]
    other_side_deg: float
    near_skin_mm: dict[str, float] = {}

    @property
    def out_mm(self) -> float:
        """Usual distance of a bar's axis from the skin."""
        return self.outs_mm[0]


class Size(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What a frame of other segments than the large ones has in place of the layout's values, mm.

    `segments`: where a frame is of this size, unless its pattern names another.
    """

    segments: tuple[str, ...]
    source: str
    bar_mm: float
    step_mm: float
    fracture_mm: float
    apart_mm: float
    fracture_least_mm: float
    apart_least_mm: float
    outs_mm: tuple[float, ...]
    link_clear_mm: float
    link_past_mm: tuple[float, ...]
    skin_most_mm: float | None = None


class GroupRules(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What one pin, or none, may hold (D14); lengths in mm."""

    evidence: tuple[str, ...]
    fracture_mm: float
    bridged_mm: float
    one_pin_bones: tuple[str, ...]
    end_blocks: dict[str, tuple[str, str]]


class GrowthRules(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The stature under which it is asked whether growth plates are open."""

    evidence: tuple[str, ...]
    asked_below_cm: float


class Pattern(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename={"when": "for"}):
    """A starting frame: its name, what it is for, and where its pins begin.

    `from_joint_mm`: by bone, how far off its end at the spanned joint the first pin is looked for.
    `from_fracture_mm`: by bone, how far off a fracture, where that is more than is usual.
    `bearings_deg`: by bone, sides of a pair of pins that are tried in this order, in place of the
    customary ones. `spread_mm`: how far apart a pair is at most wished.
    `spans`: the joint that it bridges.
    `apex`: the bone whose pins carry a bar to each end of the through-pin in the bone `heel`.
    `open_from_share`: by bone, the share of its length from which pins are placed open where no
    place is clear without; 0: by custom always.
    `instead`: by bone, what else can be done where a side of its fracture has not two pins.
    `levels_share`: the part of its bones, as shares of their length, in which pins are looked for.
    `belly_mm`: the room that a front bar is to leave over the belly, that far to either side.
    `columns`: bones held out by a bar of their own, and the end of the heel pin that it starts at.
    """

    name: str
    short: str
    when: str
    kind: PatternKind
    bones: tuple[str, ...]
    evidence: tuple[str, ...]
    limb: LimbKind = "leg"
    size: str = ""
    pins_a_side: int = 2
    from_joint_mm: dict[str, float] = {}
    from_fracture_mm: dict[str, float] = {}
    bearings_deg: dict[str, tuple[Sides, ...]] = {}
    spans: str = ""
    apex: str = ""
    heel: str = ""
    open_from_share: dict[str, float] = {}
    instead: dict[str, str] = {}
    levels_share: tuple[float, float] = (0.0, 1.0)
    columns: dict[str, Literal["outer", "far"]] = {}
    spread_mm: float = 1000.0
    belly_mm: tuple[float, float] | None = None

    @property
    def bones_in_words(self) -> str:
        """The kinds of bone that it is for, each once: "metacarpal or phalanx"."""
        kinds = dict.fromkeys(bone.rstrip("-0123456789").rpartition("-")[2] for bone in self.bones)
        return " or ".join(kinds)


def kin_of(bone: str) -> str:
    """What a bone is one of: metacarpal-3 is one of metacarpal; empty for a bone of its own."""
    return bone.rpartition("-")[0]


class OrderLine(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One line of the build order, with evidence ids.

    `bones`: those, or kin of those, whose pins it tells of; `pins` the kind of pin, if only one.
    """

    text: str
    evidence: tuple[str, ...]
    bones: tuple[str, ...] = ()
    pins: Literal["", "half", "through"] = ""

    def tells_of(self, pin: Pin) -> bool:
        """Whether a pin is one that the line tells of."""
        is_kind = not self.pins or pin.kind == self.pins
        return is_kind and any(one in self.bones for one in (pin.bone, kin_of(pin.bone)))


class Frames(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """All of resources/frames.toml."""

    schema: int
    layout: Layout
    sizes: dict[str, Size]
    groups: GroupRules
    growth: GrowthRules
    patterns: dict[str, Pattern]
    order: dict[str, OrderLine]


@cache
def frames() -> Frames:
    """Patterns, layout, texts. Raises LibraryError when the file does not hold what it should."""
    return load_toml("frames.toml", Frames)


@cache
def layout(size: str = "") -> Layout:
    """Where parts start; with the name of a size, as that size of frame has them."""
    large = frames().layout
    if not size:
        return large
    other = frames().sizes[size]
    return replace(
        large,
        bar_mm=other.bar_mm,
        step_mm=other.step_mm,
        fracture_mm=other.fracture_mm,
        apart_mm=other.apart_mm,
        fracture_least_mm=other.fracture_least_mm,
        apart_least_mm=other.apart_least_mm,
        outs_mm=other.outs_mm,
        link_clear_mm=other.link_clear_mm,
        link_past_mm=other.link_past_mm,
        skin_most_mm=other.skin_most_mm or large.skin_most_mm,
    )


def size_of(segment: str) -> str:
    """The size of frame that a segment takes; empty for the large one."""
    sizes = frames().sizes.items()
    return next((name for name, size in sizes if segment in size.segments), "")


def patterns(limb: LimbKind | None = None) -> dict[str, Pattern]:
    """Starting frames by id, in the order they are offered; those of one limb, or all."""
    listed = frames().patterns
    return {name: one for name, one in listed.items() if limb in (None, one.limb)}


def pattern(pattern_id: str) -> Pattern:
    """The pattern with this id. Raises EditError for an unknown one."""
    known = patterns()
    if pattern_id not in known:
        raise EditError(
            f'There is no starting frame "{pattern_id}"; choose one of {", ".join(known)}.'
        )
    return known[pattern_id]
