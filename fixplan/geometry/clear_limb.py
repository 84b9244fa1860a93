"""Clear directions of an untilted pin at a level of a limb, with the limb's own hazards."""

from functools import lru_cache
from typing import TYPE_CHECKING

import msgspec

from fixplan.geometry.clear_arcs import Arc, Blocked, clear_arcs
from fixplan.geometry.clear_directions import (
    ClearDirections,
    PinShape,
    clear_directions,
    entry_blocked,
    muscle_blocked,
    outside_sides,
    within,
    without,
)
from fixplan.geometry.clear_spread import spread_blocked
from fixplan.geometry.hazards import PinPlane, discs_at, obstacles_at

if TYPE_CHECKING:
    from fixplan.limb.anatomy import Limb

Sector = tuple[str, float, float]

_TETHERS = ("tether",)


class Margins(msgspec.Struct, frozen=True):
    """What must stay free between a pin's surface and a hazard, mm.

    `gap_mm` outside the bone, `far_gap_mm` on the tip's side (None: the same). Published spreads
    count `spread_mm` past the tip; None: they are left out.
    """

    gap_mm: float
    far_gap_mm: float | None = None
    spread_mm: float | None = None


class Bands(msgspec.Struct, frozen=True):
    """The two bands drawn round a section: clear of vessels and nerves, and the customary part.

    `customary` is what is left of `clear` off muscle and tendon, on the customary sides and out of
    published spreads; `spread` is the part of `clear` that lies in these.
    """

    clear: ClearDirections
    customary: tuple[Arc, ...]
    spread: tuple[Arc, ...] = ()


@lru_cache(maxsize=256)
def bands_at(
    limb: "Limb",
    bone: str,
    level_mm: float,
    pin: PinShape,
    margins: Margins,
    sides: tuple[Sector, ...] = (),
    *,
    through_muscle: bool = False,
    unknown: tuple[Blocked, ...] = (),
) -> Bands | None:
    """Both bands of an untilted pin through a bone's target; None where there is no section.

    `sides` are the customary sides as (name, from, to) in degrees; none: every side. In the thigh
    there is muscle on every side: `through_muscle` keeps off tendons alone. `unknown`: bearings of
    which nothing is known, left out of both bands.

    Raises:
        LibraryError: the limb has no such bone.
    """
    section = limb.section(bone, level_mm)
    if section is None or not section.known:
        return None
    plane = PinPlane(
        section.group, level_mm, section.target, pin.radius_mm, margins.gap_mm, margins.far_gap_mm
    )
    clear = clear_directions(
        section.outline,
        section.target,
        pin,
        discs_at(limb, plane),
        obstacles_at(limb, bone, plane),
    )
    if unknown:
        found = (*clear.blocked, *unknown)
        clear = ClearDirections(clear_arcs(found), found)
    muscle = () if through_muscle else muscle_blocked(muscle_sectors(limb, bone, level_mm))
    spread = (
        ()
        if margins.spread_mm is None
        else spread_blocked(limb, bone, level_mm, pin, margins.spread_mm)
    )
    kept_off = (*_tendon_blocks(limb, bone, plane), *muscle, *outside_sides(sides), *spread)
    return Bands(clear, without(clear, kept_off), within(clear, spread))


def _tendon_blocks(limb: "Limb", bone: str, plane: PinPlane) -> tuple[Blocked, ...]:
    """Tendons that the pin would fix between skin and bone."""
    bare = PinPlane(plane.group, plane.level_mm, plane.target, plane.radius_mm, 0.0)
    outlined = (
        one for one in obstacles_at(limb, bone, bare, _TETHERS) if one.name not in limb.bones
    )
    discs = discs_at(limb, bare, _TETHERS)
    return entry_blocked(plane.target, plane.radius_mm, discs, tuple(outlined))


def muscle_sectors(limb: "Limb", bone: str, level_mm: float) -> tuple[Sector, ...]:
    """Muscle sectors (name, from, to in degrees) of the nearer authored level.

    Empty outside the authored levels and for a bone that is not the primary one of its sections.
    """
    reference = limb.groups[limb.group_of(bone)]
    z = level_mm / (reference.span_mm * limb.growth.along[reference.name])
    if bone != reference.primary or not reference.knows(z):
        return ()
    level = min(reference.authored.levels, key=lambda one: abs(one.z - z))
    return tuple((m.name, float(m.from_deg), float(m.to_deg)) for m in level.muscle_sectors)
