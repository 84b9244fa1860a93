"""How each bone is customarily pinned: diameters (D16), sides, kind, levels."""

from collections.abc import Mapping
from functools import lru_cache
from math import inf
from typing import Literal, TypeVar

import msgspec

from fixplan.errors import EditError
from fixplan.frame.patterns import kin_of
from fixplan.limb.anatomy import Limb
from fixplan.limb.library import load_toml

Kind = Literal["half", "through"]
T = TypeVar("T")


class LowerPart(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The part of a bone from a share of its length on, in which thinner pins are usual."""

    from_share: float
    most_mm: float


class Diameters(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Diameters (mm) listed for a bone, thickest first, with evidence ids.

    `lower_part`: where no default is thicker than so much, whatever the bone's width.
    `narrow_mm`: how narrow a plate may be between its tables in the reference adult, less the walls
    that are to stay.
    """

    half_mm: tuple[float, ...]
    through_mm: tuple[float, ...]
    evidence: tuple[str, ...]
    note: str = ""
    lower_part: LowerPart | None = None
    narrow_mm: float | None = None

    def listed_mm(self, kind: Kind) -> tuple[float, ...]:
        """The diameters listed for a kind of pin."""
        return self.half_mm if kind == "half" else self.through_mm


class DiameterList(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """resources/diameters.toml: the ratio (percent of the bone's width) that a default may fill."""

    schema: int
    ratio_percent: float
    ratio_note: str
    bones: dict[str, Diameters]


class Side(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A range of customary bearings (deg), counter-clockwise from one to the other."""

    name: str
    from_deg: float
    to_deg: float


class EntryBand(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Sides of entry (deg) in the order they are tried, up to a share of the bone's length.

    `sides`: all that are customary there; none listed: every side is. `tilt_deg`: customary tilt.
    `depth_mm`: how far in bone a pin customarily ends, where it is not to pass the far cortex.
    `step`: the build step (frames.toml) of a pin that goes in otherwise than usual there.
    """

    to_share: float
    bearings_deg: tuple[float, ...]
    tilt_deg: float = 0.0
    depth_mm: float | None = None
    sides: tuple[Side, ...] = ()
    step: str = ""


class Custom(msgspec.Struct, frozen=True):
    """The customary sides (name, from, to in degrees) of a bone at one level, and why those."""

    sides: tuple[tuple[str, float, float], ...]
    why: str
    evidence: tuple[str, ...]


class Entry(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """How a bone is customarily pinned; `levels_share` bounds where starting frames put pins.

    `levels_why`: what bounds them above and below, in words. `why`: what lies on the
    other sides, in words that end a sentence. `tip_mm`: how far a pin goes past the far cortex.
    """

    kind: Kind
    evidence: tuple[str, ...]
    levels_share: tuple[float, float]
    bands: tuple[EntryBand, ...]
    levels_why: tuple[str, str] = ("", "")
    why: str = ""
    note: str = ""
    tip_mm: float = 2.0


class EntryList(msgspec.Struct, frozen=True, eq=False, forbid_unknown_fields=True):
    """resources/customary.toml: customary entry by bone. Compared by identity."""

    schema: int
    bones: dict[str, Entry]


def diameter_list() -> DiameterList:
    """Listed diameters. Raises LibraryError when the file does not hold what it should."""
    return load_toml("diameters.toml", DiameterList)


def entry_list() -> EntryList:
    """Customary entries. Raises LibraryError when the file does not hold what it should."""
    return load_toml("customary.toml", EntryList)


def default_diameter(
    limb: Limb, bone: str, level_mm: float, bearing_deg: float, kind: Kind = "half"
) -> float:
    """Thickest listed diameter (mm) that stays within the listed ratio of the bone's width there.

    Where even the thinnest is over it, the thinnest: the hole-ratio rule then says so. Where the
    bone has no width at that level, the thickest; of a plate, the thickest that a narrow one of
    its size has room for. Raises EditError for a bone with none listed.
    """
    listed = _usual(limb, bone, level_mm, _listed(bone, kind))
    if limb.bones[bone].is_plate:
        most = _room_in_plate_mm(limb, bone)
    elif limb.section(bone, level_mm) is None:
        return listed[0]
    else:
        most = limb.width_mm(bone, level_mm, bearing_deg) * diameter_list().ratio_percent / 100
    return next((diameter for diameter in listed if diameter <= most), listed[-1])


def _room_in_plate_mm(limb: Limb, bone: str) -> float:
    known = diameters_of(bone)
    narrow = None if known is None else known.narrow_mm
    return inf if narrow is None else narrow * limb.growth.across[bone]


def _usual(limb: Limb, bone: str, level_mm: float, listed: tuple[float, ...]) -> tuple[float, ...]:
    """The listed diameters (mm) without those too thick for the part of the bone."""
    known = diameters_of(bone)
    part = None if known is None else known.lower_part
    if part is None:
        return listed
    whole = limb.bones[bone]
    if (level_mm - whole.from_mm) / (whole.to_mm - whole.from_mm) < part.from_share:
        return listed
    return tuple(one for one in listed if one <= part.most_mm) or listed[-1:]


def customary_kind(bone: str) -> Kind:
    """Half-pin or through-pin, as is customary in the bone. Raises EditError for other bones."""
    return entry_of(bone).kind


def customary_bearings(limb: Limb, bone: str, level_mm: float) -> tuple[float, ...]:
    """Customary sides of entry (deg) at a level, the usual one first.

    Raises EditError for a bone that is not customarily pinned.
    """
    return band_at(limb, bone, level_mm).bearings_deg


def band_at(limb: Limb, bone: str, level_mm: float) -> EntryBand:
    """How a bone is pinned at a level. Raises EditError for a bone that is not."""
    whole = limb.bones[bone]
    share = (level_mm - whole.from_mm) / (whole.to_mm - whole.from_mm)
    bands = entry_of(bone).bands
    return next((band for band in bands if share <= band.to_share), bands[-1])


def custom_of(limb: Limb, bone: str, level_mm: float) -> Custom | None:
    """All customary sides of a bone at a level; None where no side is less customary than others.

    Also None for a bone that is not customarily pinned.
    """
    entry = _of_bone(entry_list().bones, bone)
    if entry is None:
        return None
    sides = tuple((s.name, s.from_deg, s.to_deg) for s in band_at(limb, bone, level_mm).sides)
    return Custom(sides, entry.why, entry.evidence) if sides else None


def step_of(limb: Limb, bone: str, level_mm: float) -> str:
    """The build step of a pin that goes in otherwise than usual there; empty for the usual one."""
    return _step_in(entry_list(), limb, bone, level_mm)


@lru_cache(maxsize=1024)
def _step_in(listed: EntryList, limb: Limb, bone: str, level_mm: float) -> str:
    known = _of_bone(listed.bones, bone) is not None
    return band_at(limb, bone, level_mm).step if known else ""


def customary_sides(limb: Limb, bone: str, level_mm: float) -> tuple[tuple[str, float, float], ...]:
    """Customary sides (name, from, to in degrees) of a bone at a level; empty: every side."""
    custom = custom_of(limb, bone, level_mm)
    return () if custom is None else custom.sides


def holds(side: tuple[str, float, float], bearing_deg: float) -> bool:
    """Whether a bearing lies in a side (name, from, to in degrees)."""
    _, from_deg, to_deg = side
    return (bearing_deg - from_deg) % 360 <= ((to_deg - from_deg) % 360 or 360.0)


def customary_bearing(limb: Limb, bone: str, level_mm: float) -> float:
    """The usual side of entry (deg) at a level. Raises EditError as `customary_bearings`."""
    return customary_bearings(limb, bone, level_mm)[0]


def pinned_levels(limb: Limb, bone: str) -> tuple[float, float]:
    """Levels (mm) between which a starting frame puts pins in a bone."""
    whole, shares = limb.bones[bone], entry_of(bone).levels_share
    low, high = (whole.from_mm + share * (whole.to_mm - whole.from_mm) for share in shares)
    return low, high


def levels_why(bone: str) -> tuple[str, str]:
    """What bounds the levels in which a bone is pinned, above and below; empty where untold."""
    return entry_of(bone).levels_why


def pinned_bones(limb: Limb) -> tuple[str, ...]:
    """Bones of a limb that have both a customary side and a listed diameter."""
    entries, diameters = entry_list().bones, diameter_list().bones
    return tuple(
        bone for bone in limb.bones if _of_bone(entries, bone) and _of_bone(diameters, bone)
    )


def diameters_of(bone: str) -> Diameters | None:
    """What is listed for a bone or its kin; None where nothing is."""
    return _of_bone(diameter_list().bones, bone)


def _of_bone(listed: Mapping[str, T], bone: str) -> T | None:
    """What is listed for a bone, or for its kin: metacarpal-3 is one of metacarpal."""
    return listed.get(bone) or listed.get(kin_of(bone))


def _listed(bone: str, kind: Kind) -> tuple[float, ...]:
    listed = _of_bone(diameter_list().bones, bone)
    found = () if listed is None else listed.half_mm if kind == "half" else listed.through_mm
    if not found:
        raise EditError(
            f"No {kind}-pin diameter is listed for the {bone}; choose another bone or kind of pin."
        )
    return tuple(sorted(found, reverse=True))


def entry_of(bone: str) -> Entry:
    """How a bone is pinned. Raises EditError for one that is not."""
    entry = _of_bone(entry_list().bones, bone)
    if entry is None:
        known = ", ".join(entry_list().bones)
        raise EditError(f"No pin is customary in the {bone}; choose one of {known}.")
    return entry
