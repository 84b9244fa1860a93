"""The limits behind the prompts, from resources/flags.toml and the house file."""

import msgspec

from fixplan.limb.library import load_toml


class CompartmentLimits(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """mmHg: a gap below it, or a pressure above it, supports release (SF-02, SF-03)."""

    gap_mmhg: float
    absolute_mmhg: float


class VascularLimits(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The index below which the artery is imaged (SF-07)."""

    index: float


class EarlyLimits(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Early care: any one of these counts as resuscitated (SF-08); mmol/L."""

    lactate_below: float
    ph_from: float
    base_excess_from: float


class StrictLimits(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Damage control: the borderline patient by blood (SF-09) and by injury load (SF-10)."""

    lactate_above: float
    platelets_below: float
    platelets_worse_below: float
    temperature_below: float
    temperature_worse_below: float
    score_above: int
    score_with_chest_above: int
    chest_above: int
    systolic_below: float


class TetanusRule(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Whose rule it is, and after how many years a booster is due (SF-13)."""

    rule: str
    booster_years: int


class FrameDays(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Days in the frame after which conversion changes (PP-11, PP-12)."""

    long_day: float
    risky_day: float


class Pause(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One safety pause and what a frame adds to it (SF-15, SF-16)."""

    name: str
    items: tuple[str, ...]


class FlagBook(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """All of flags.toml."""

    schema: int
    compartment: CompartmentLimits
    vascular: VascularLimits
    early: EarlyLimits
    strict: StrictLimits
    tetanus: TetanusRule
    frame: FrameDays
    pause: tuple[Pause, ...]


def flag_book() -> FlagBook:
    """The limits with the house values over them. Raises LibraryError."""
    return load_toml("flags.toml", FlagBook)
