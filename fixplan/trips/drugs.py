"""The drugs and the cement of resources/antibiotics.toml, and amounts as they are typed."""

import re
from functools import lru_cache
from typing import Literal

import msgspec

from fixplan.case.dead_space_records import DeadSpace, DrugInCement
from fixplan.errors import EditError
from fixplan.limb.library import load_toml

Family = Literal["aminoglycoside", "glycopeptide", "lincosamide", "carbapenem", "beta-lactam"]
Heat = Literal["stable", "loses some", "decays", "not known"]
Span = tuple[float, float]
Ids = tuple[str, ...]

_GRAMS = {"g": 1.0, "mg": 0.001}
_AMOUNT = re.compile(r"\s*([0-9]+(?:[.,][0-9]+)?)\s*([^\s0-9.,]\S*)?\s*")


class Packet(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One packet of cement: powder, liquid, what can be used of it and what sets."""

    powder_g: float
    liquid_g: float
    usable_ml: float
    set_ml: float
    evidence: Ids


class Beads(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Beads as they are usually made, and how densely they lie."""

    diameter_mm: float
    usual_mm: Span
    gap_mm: float
    per_strand: int
    per_packet_moulds: int
    packing_percent: float
    packing_usual_percent: Span
    evidence: Ids


class Stay(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """How long beads or a spacer stay, in weeks."""

    device: Literal["beads", "spacer"]
    weeks: Span
    outer_weeks: float
    evidence: Ids


class Limits(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Limits of drug in `per_powder_g` of powder, g: bearing load, setting, one drug."""

    per_powder_g: float
    bearing_g: float
    bearing_evidence: Ids
    setting_g: float
    setting_evidence: Ids
    one_drug_g: float
    one_drug_from_g: float
    one_drug_evidence: Ids


class Range(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A published range of a drug in 40 g of powder, g."""

    low_g: float
    high_g: float
    what: str
    evidence: Ids

    @property
    def words(self) -> str:
        """Such as "2 to 3 g (common practice; LA-02)"."""
        figure = f"{self.low_g:g}"
        if self.high_g != self.low_g:
            figure = f"{figure} to {self.high_g:g}"
        return f"{figure} g ({self.what}; {', '.join(self.evidence)})"


class Drug(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A drug, how it bears the heat of setting, and its published ranges."""

    id: str
    name: str
    family: Family
    heat: Heat
    heat_evidence: Ids
    ranges: tuple[Range, ...]


class Antibiotics(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What antibiotics.toml holds."""

    schema: int
    reviewed: str
    caution: str
    packet: Packet
    beads: Beads
    stay: tuple[Stay, ...]
    limits: Limits
    drug: tuple[Drug, ...]


def antibiotics() -> Antibiotics:
    """The drugs, the packet and the limits, house values included. Raises LibraryError."""
    return load_toml("antibiotics.toml", Antibiotics)


def drug_of(id_: str) -> Drug | None:
    """The drug with this id; None for one that is not listed."""
    return _by_id(antibiotics().drug).get(id_)


@lru_cache(maxsize=4)
def _by_id(listed: tuple[Drug, ...]) -> dict[str, Drug]:
    return {one.id: one for one in listed}


def drug_name(id_: str) -> str:
    """A drug's name in words; its id where it is not listed."""
    found = drug_of(id_)
    return found.name if found else id_.replace("-", " ")


def stay_of(device: str) -> Stay:
    """How long beads or a spacer stay."""
    return next(one for one in antibiotics().stay if one.device == device)


def packet_of(space: DeadSpace) -> Packet:
    """The packet that a dead space is filled from: as typed, else the usual one.

    Liquid and volumes of a packet of another size go with its powder.
    """
    usual = antibiotics().packet
    powder_g = space.packet_powder_g or usual.powder_g
    share = powder_g / usual.powder_g
    usable_ml = space.packet_usable_ml or share * usual.usable_ml
    set_ml = max(share * usual.set_ml, usable_ml)
    return Packet(powder_g, share * usual.liquid_g, usable_ml, set_ml, usual.evidence)


def grams(drug: DrugInCement) -> float:
    """The drug in one packet, g. Raises EditError for a unit that is not known."""
    if drug.unit not in _GRAMS:
        raise EditError(f"{drug_name(drug.drug)} is told in {drug.unit!r}; give it in g or mg")
    return drug.amount * _GRAMS[drug.unit]


def typed_amount(text: str, name: str) -> tuple[float, str]:
    """The amount and unit that were typed for a drug, such as "2.4 g" or "500 mg".

    Raises:
        EditError: no amount, nothing of it, or a unit that is not known.
    """
    match = _AMOUNT.fullmatch(text)
    if match is None:
        raise EditError(f"{name}: {text.strip()!r} is no amount; type a number with g or mg")
    amount, unit = float(match[1].replace(",", ".")), match[2] or ""
    if unit not in _GRAMS:
        told = f"the unit {unit!r} is not known" if unit else f"{text.strip()!r} has no unit"
        raise EditError(f"{name}: {told}; give the amount in g or mg")
    if amount == 0:
        raise EditError(f"{name}: 0 {unit} is nothing; type more, or take the drug out")
    return amount, unit
