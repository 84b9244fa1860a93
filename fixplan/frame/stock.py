"""Parts to choose from: pins, bars, clamps of resources/parts.toml (a house file may differ)."""

from functools import cache
from typing import Literal

import msgspec

from fixplan.errors import LibraryError
from fixplan.limb.library import load_toml

ScannerStatus = Literal["conditional", "unsafe", "not known"]
"""What the papers of a part say of a magnetic scanner."""


class PinStock(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Pins of one diameter: (total length, thread length) in mm, shortest first.

    `self_drilling`: no drill is asked for; `mini`: for hand and forefoot.
    """

    diameter_mm: float
    stock: tuple[tuple[float, float], ...]
    self_drilling: bool = False
    mini: bool = False
    scanner: ScannerStatus = "not known"


class BarStock(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Bars of one diameter: lengths in mm, shortest first, and materials."""

    diameter_mm: float
    lengths_mm: tuple[float, ...]
    materials: tuple[str, ...]
    scanner: ScannerStatus = "not known"


class ClampPart(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A clamp: what it joins to a bar, and the sizes in mm that it takes.

    `offset_mm` lies between the two axes, `reach_mm` is how far the true distance may differ;
    it takes `grip_mm` of the pin's length, and `beyond_mm` stands out past it. `family` is the
    letter of the clamps whose sizes these are, `spanner_mm` the spanner that turns its nut.
    """

    name: str
    joins: Literal["pin", "bar", "pins"]
    first_mm: tuple[float, ...]
    bar_mm: tuple[float, ...]
    offset_mm: float
    reach_mm: float
    grip_mm: float
    beyond_mm: float
    family: str = ""
    spanner_mm: float = 0.0
    scanner: ScannerStatus = "not known"

    def takes(self, joins: str, first_mm: float, bar_mm: float) -> bool:
        """Whether the clamp joins a pin or bar of diameter `first_mm` to a bar of `bar_mm`."""
        return (
            self.joins == joins
            and min(self.first_mm) <= first_mm <= max(self.first_mm)
            and min(self.bar_mm) <= bar_mm <= max(self.bar_mm)
        )


class DrillPair(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Diameters of a pin and its drill, mm, with evidence and the publication that pairs them."""

    pin_mm: float
    drill_mm: float
    evidence: str
    source: str


class SupportParts(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What a support takes: bars (diameter, length, count) and clamps (bar, bar, count); mm."""

    evidence: str
    source: str
    bars: tuple[tuple[float, float, int], ...]
    bar_clamps: tuple[tuple[float, float, int], ...]


class SmallParts(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """How many caps a pin's end and a bar take, and how many spanners a frame."""

    source: str
    caps_a_pin_end: int
    caps_a_bar: int
    spanners: int


class Spares(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """How many more of each are wanted in the room."""

    source: str
    pins_a_type: int
    clamps_a_type: int
    longest_bars: int


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
    drills: tuple[DrillPair, ...]
    supports: dict[str, SupportParts]
    small_parts: SmallParts
    spares: Spares
    skin: SkinDoubt


SAME_MM = 0.05


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


def drill_for(pin_mm: float) -> DrillPair | None:
    """The drill that a publication pairs with a pin of that diameter; None when none does."""
    return next((one for one in parts().drills if abs(one.pin_mm - pin_mm) < SAME_MM), None)


def is_self_drilling(kind: Literal["half", "through"], diameter_mm: float) -> bool:
    """Whether the listed pins of a kind and diameter need no drill."""
    listed = parts().half_pins if kind == "half" else parts().through_pins
    return any(one.self_drilling for one in listed.values() if one.diameter_mm == diameter_mm)
