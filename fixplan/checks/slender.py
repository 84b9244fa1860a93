"""Bones too slender for the usual margin past the far cortex (resources/clear_directions.toml)."""

from functools import lru_cache

import msgspec

from fixplan.frame.patterns import kin_of
from fixplan.limb.library import load_toml


class Slender(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Bones whose bands keep a margin of their own past the far cortex, mm, and why."""

    bones: tuple[str, ...]
    far_gap_mm: float
    status: str
    note: str


class SlenderBones(msgspec.Struct, frozen=True):
    """What of clear_directions.toml tells of slender bones."""

    slender: tuple[Slender, ...]


@lru_cache(maxsize=64)
def slender_gap_mm(bone: str) -> float | None:
    """The margin past the far cortex (mm) that the bands of a slender bone keep; None for others.

    Raises LibraryError when the file does not hold what it should.
    """
    kin = kin_of(bone)
    for one in load_toml("clear_directions.toml", SlenderBones).slender:
        if bone in one.bones or kin in one.bones:
            return one.far_gap_mm
    return None
