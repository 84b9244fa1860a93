"""Parts to choose from: pins, bars, clamps of resources/parts.toml (a house file may differ)."""

from functools import cache
from typing import Literal

import msgspec

from fixplan.errors import LibraryError
from fixplan.limb.library import load_toml


class PinStock(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Pins of one diameter: (total length, thread length) in mm, shortest first."""

    diameter_mm: float
    stock: tuple[tuple[float, float], ...]


class BarStock(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Bars of one diameter: lengths in mm, shortest first, and materials."""

    diameter_mm: float
    lengths_mm: tuple[float, ...]
    materials: tuple[str, ...]


class ClampPart(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A clamp: what it joins to a bar, and the sizes in mm that it takes.

    `offset_mm` lies between the two axes, `reach_mm` is how far the true distance may differ;
    it takes `grip_mm` of the pin's length, and `beyond_mm` stands out past it.
    """

    name: str
    joins: Literal["pin", "bar"]
    first_mm: tuple[float, ...]
    bar_mm: tuple[float, ...]
    offset_mm: float
    reach_mm: float
    grip_mm: float
    beyond_mm: float

    def takes(self, joins: str, first_mm: float, bar_mm: float) -> bool:
        """Whether the clamp joins a pin or bar of diameter `first_mm` to a bar of `bar_mm`."""
        return (
            self.joins == joins
            and min(self.first_mm) <= first_mm <= max(self.first_mm)
            and min(self.bar_mm) <= bar_mm <= max(self.bar_mm)
        )


class SkinDoubt(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """How far the skin may lie from where it is drawn, by segment, in mm."""

    source: str
    uncertainty_mm: dict[str, float]


class Parts(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Everything that can be asked for."""

    schema: int
    source: str
    half_pins: dict[str, PinStock]
    through_pins: dict[str, PinStock]
    bars: dict[str, BarStock]
    clamps: dict[str, ClampPart]
    skin: SkinDoubt


@cache
def parts() -> Parts:
    """Parts as listed. Raises LibraryError when the file does not hold what it should."""
    listed = load_toml("parts.toml", Parts)
    if not {"pin-to-bar", "bar-to-bar"} <= listed.clamps.keys():
        raise LibraryError(
            "parts.toml lists no clamp pin-to-bar or bar-to-bar under [clamps]; add both."
        )
    return listed


def clamp_for(joins: Literal["pin", "bar"], first_mm: float, bar_mm: float) -> str | None:
    """Name of the first listed clamp that takes both diameters (mm), None when none does."""
    for name, part in parts().clamps.items():
        if part.takes(joins, first_mm, bar_mm):
            return name
    return None


def clamp_part(name: str | None, joins: Literal["pin", "bar"]) -> ClampPart:
    """Clamp of that name; with no name, the ordinary one, so that a bar can still be drawn."""
    return parts().clamps[name or f"{joins}-to-bar"]


def stocked_bar_mm(diameter_mm: float, needed_mm: float) -> float | None:
    """Shortest stocked bar of that diameter at or over the needed length in mm, else None."""
    for bar in parts().bars.values():
        if bar.diameter_mm == diameter_mm:
            return min((x for x in bar.lengths_mm if x >= needed_mm), default=None)
    return None


def pin_stock(
    kind: Literal["half", "through"], diameter_mm: float
) -> tuple[tuple[float, float], ...]:
    """Stocked (length, thread) in mm of a kind and diameter, shortest first; empty when none."""
    listed = parts().half_pins if kind == "half" else parts().through_pins
    found = [pin.stock for pin in listed.values() if pin.diameter_mm == diameter_mm]
    return tuple(sorted(found[0])) if found else ()
