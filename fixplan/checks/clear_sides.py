"""The clear directions that a section shows, with this limb's margins and customary sides."""

from functools import lru_cache

import msgspec

from fixplan.case.records import Pin
from fixplan.checks.band_limits import stopped_sides
from fixplan.checks.rules import Rule, rules
from fixplan.checks.slender import Slender, slender_gap_mm
from fixplan.frame.defaults import customary_sides
from fixplan.geometry.clear_arcs import Arc, Blocked
from fixplan.geometry.clear_directions import PinShape
from fixplan.geometry.clear_limb import Bands, Margins, bands_at
from fixplan.limb.anatomy import Limb
from fixplan.limb.library import load_toml

HAZARD_GAP = "hazard-gap"
SPREAD = "pin-in-spread"


class CutSkin(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Bearings (deg) on which the drawn skin of some bones is a cut, and what is said of them."""

    bones: tuple[str, ...]
    from_deg: float
    to_deg: float
    name: str

    def blocked(self, *, through: bool) -> tuple[Blocked, ...]:
        """The bearings as blocked ones; for a through-pin those opposite as well."""
        starts = (self.from_deg, (self.from_deg + 180.0) % 360.0) if through else (self.from_deg,)
        width = self.to_deg - self.from_deg
        return tuple(Blocked(self.name, "near", start, start + width) for start in starts)


class ClearFile(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """resources/clear_directions.toml: muscle on every side, slender bones, and cut skin."""

    schema: int
    through_muscle: tuple[str, ...]
    slender: tuple[Slender, ...]
    not_assessed: tuple[CutSkin, ...]


@lru_cache(maxsize=64)
def not_assessed_sides(bone: str, *, through: bool) -> tuple[Blocked, ...]:
    """Bearings of which nothing is said, for the drawn skin is a cut there.

    Raises LibraryError when the file does not hold what it should.
    """
    own = bone.removesuffix("-right").removesuffix("-left")
    listed = load_toml("clear_directions.toml", ClearFile).not_assessed
    return tuple(
        side for cut in listed if own in cut.bones for side in cut.blocked(through=through)
    )


def goes_through_muscle(bone: str) -> bool:
    """Whether a bone has muscle on every side, so that its customary side keeps off tendons alone.

    Raises LibraryError when the file does not hold what it should.
    """
    return bone in load_toml("clear_directions.toml", ClearFile).through_muscle


def clear_margins() -> Margins:
    """What must stay free of nerves and vessels (mm), so that the rules have nothing to say."""
    return _margins(rules())


def margins_of(bone: str) -> Margins:
    """The margins (mm) that the bands of a bone keep; a slender bone has its own past the bone.

    Raises LibraryError when the file does not hold what it should.
    """
    usual, own_mm = clear_margins(), slender_gap_mm(bone)
    return usual if own_mm is None else Margins(usual.gap_mm, own_mm, usual.spread_mm)


@lru_cache(maxsize=4)
def _margins(listed: tuple[Rule, ...]) -> Margins:
    spread = next((rule.numbers["far"] for rule in listed if rule.kind == SPREAD), None)
    return Margins(_widest_limit(listed, "near"), _widest_limit(listed, "far"), spread)


def _widest_limit(listed: tuple[Rule, ...], part: str) -> float:
    limits = (
        limit
        for rule in listed
        if rule.kind == HAZARD_GAP and rule.target == part
        for limit in rule.below.values()
    )
    return max(limits, default=0.0)


def shape_of(pin: Pin) -> PinShape:
    """What matters of a pin for clear directions."""
    return PinShape(pin.diameter_mm / 2, pin.tip_mm, pin.kind == "through")


def named_sides(limb: Limb, bone: str, level_mm: float) -> tuple[tuple[str, float, float], ...]:
    """The customary sides of entry there: (words, from, to) in degrees; empty: every side."""
    sides = customary_sides(limb, bone, level_mm)
    return tuple((f"customary side ({name})", low, high) for name, low, high in sides)


def clear_bands(
    limb: Limb, bone: str, level_mm: float, shape: PinShape, *, open_approach: bool = False
) -> Bands | None:
    """Both bands of clear directions of an untilted pin through the bone's target.

    Sides on which a rule about levels would be a stop are left out; with an `open_approach` there
    are fewer of them. None where there is no section. Raises LibraryError for a bone that the limb
    does not have.
    """
    return bands_at(
        limb,
        bone,
        level_mm,
        shape,
        margins_of(bone),
        named_sides(limb, bone, level_mm),
        through_muscle=goes_through_muscle(bone),
        unknown=(
            *not_assessed_sides(bone, through=shape.through),
            *stopped_sides(limb, bone, level_mm, shape, open_approach=open_approach),
        ),
    )


def customary_arcs(
    limb: Limb, bone: str, level_mm: float, shape: PinShape, *, open_approach: bool = False
) -> tuple[Arc, ...]:
    """The arcs of the customary band that are wide enough to be drawn."""
    bands = clear_bands(limb, bone, level_mm, shape, open_approach=open_approach)
    return () if bands is None else tuple(arc for arc in bands.customary if not arc.narrow)


def nearest_middle_deg(arcs: tuple[Arc, ...], bearing_deg: float) -> float | None:
    """The middle (deg) of the arc whose middle is nearest to a bearing; None without arcs."""
    middles = [arc.middle_deg for arc in arcs]
    return min(middles, key=lambda one: apart_deg(one, bearing_deg), default=None)


def apart_deg(one: float, other: float) -> float:
    """How far two bearings are apart, 0 to 180 degrees."""
    return abs((one - other + 180.0) % 360.0 - 180.0)
