"""Packets of cement and what is in them: grams mixed and implanted, and per cent by mass."""

from math import ceil
from typing import NamedTuple

from fixplan.case.dead_space_records import DeadSpace
from fixplan.errors import EditError
from fixplan.trips.drugs import Packet, antibiotics, drug_name, grams

_WHOLE = 1e-9


class DrugLoad(NamedTuple):
    """One drug in the cement, g: in a packet, per 40 g of powder, mixed in all, implanted."""

    drug: str
    name: str
    packet_g: float
    preloaded_g: float
    per_40_g: float
    mixed_g: float
    implanted_g: float


class Load(NamedTuple):
    """All drug in the cement of a dead space, what was in it as bought included."""

    packets: int
    drugs: tuple[DrugLoad, ...]
    percent_of_powder: float
    percent_of_mix: float

    @property
    def per_40_g(self) -> float:
        """All drugs per 40 g of powder, g."""
        return sum(one.per_40_g for one in self.drugs)


def packets_needed(cement_ml: float, usable_ml: float) -> int:
    """Whole packets that give this volume of cement after waste."""
    if cement_ml <= 0 or usable_ml <= 0:
        raise EditError("Volume and what a packet gives must be more than 0 mL; correct them")
    return max(1, ceil(cement_ml / usable_ml - _WHOLE))


def load_of(space: DeadSpace, packet: Packet, packets: int, cement_ml: float) -> Load:
    """The drug in `packets` packets of which `cement_ml` is implanted.

    Implanted counts with the drug spread evenly through what sets of a packet; what goes to waste
    takes its part with it. Drug in the cement as bought counts, as part of the labelled powder.

    Raises:
        EditError: no packet, or a unit that is not known.
    """
    if packets < 1:
        raise EditError("0 packets of cement hold nothing; type 1 or more")
    share = min(cement_ml / packet.set_ml, packets)
    names = dict.fromkeys(one.drug for one in space.drugs)
    drugs = tuple(_drug_load(space, name, packet, packets, share) for name in names)
    all_g = sum(one.packet_g for one in drugs)
    added_g = all_g - sum(one.preloaded_g for one in drugs)
    mix_g = packet.powder_g + packet.liquid_g + added_g
    return Load(packets, drugs, 100 * all_g / packet.powder_g, 100 * all_g / mix_g)


def _drug_load(space: DeadSpace, drug: str, packet: Packet, packets: int, share: float) -> DrugLoad:
    own = [one for one in space.drugs if one.drug == drug]
    packet_g = sum(grams(one) for one in own)
    return DrugLoad(
        drug,
        drug_name(drug),
        packet_g,
        sum(grams(one) for one in own if one.preloaded),
        packet_g * antibiotics().limits.per_powder_g / packet.powder_g,
        packet_g * packets,
        packet_g * share,
    )
