"""A dead space worked out: its volume, beads or spacer, cement, surface and drug."""

from typing import NamedTuple

from fixplan.case.dead_space_records import DeadSpace
from fixplan.case.records import Case, Injury, Wound
from fixplan.case.scalars import Outline
from fixplan.errors import EditError
from fixplan.geometry.grown import outline_area_mm2
from fixplan.trips.beads import (
    MM3_PER_ML,
    bead_surface_mm2,
    bead_volume_ml,
    beads_in_volume,
    beads_on_strand,
    block_surface_mm2,
)
from fixplan.trips.drugs import antibiotics, packet_of
from fixplan.trips.packets import Load, load_of, packets_needed


class Volume(NamedTuple):
    """The volume of a dead space and where it is from."""

    ml: float
    origin: str


class Filling(NamedTuple):
    """What fills a dead space.

    `cement_ml` is what is implanted, `surface_mm2` its surface as beads (0 for a spacer),
    `block_mm2` that of a round block of the same cement; `needed` packets.
    """

    volume: Volume | None
    beads: int
    bead_mm: float
    strands: int
    cement_ml: float
    surface_mm2: float
    block_mm2: float
    needed: int
    load: Load

    @property
    def beads_mm2_per_ml(self) -> float:
        """Surface of the beads for each mL of their cement, mm²."""
        return self.surface_mm2 / self.cement_ml

    @property
    def block_mm2_per_ml(self) -> float:
        """Surface of the block for each mL of the same cement, mm²."""
        return self.block_mm2 / self.cement_ml

    @property
    def is_short(self) -> bool:
        """Whether fewer packets are mixed than the space needs."""
        return self.load.packets < self.needed


def volume_of(case: Case, space: DeadSpace) -> Volume | None:
    """The volume of a dead space; None when nothing is given for it.

    Raises:
        EditError: an outline without depth, or a mark that has no outline.
        GeometryError: an outline that encloses nothing.
    """
    if space.volume_ml is not None:
        return Volume(space.volume_ml, "typed")
    if space.drawn is None:
        return None
    if space.depth_mm is None:
        raise EditError(f"{space.id} has no depth beside the outline of {space.drawn}; type it")
    outline = _outline_of(case, space.drawn)
    if not outline:
        raise EditError(f"{space.drawn} is a line and has no area; draw it as an outline")
    found_ml = outline_area_mm2(outline) * space.depth_mm / MM3_PER_ML
    return Volume(found_ml, f"area of {space.drawn} times {space.depth_mm:g} mm")


def _outline_of(case: Case, id_: str) -> Outline:
    drawn: tuple[Wound | Injury, ...] = (*case.wounds, *case.injuries)
    thing = next((one for one in drawn if one.id == id_), None)
    if thing is None:
        raise EditError(f"{id_} is not in the case; choose another outline")
    return thing.outline if isinstance(thing, Wound) else thing.front or thing.side


def filling_of(case: Case, space: DeadSpace) -> Filling | None:
    """What fills a dead space; None until beads or spacer, and its size, are given.

    None too for an absorbable carrier, which is not assessed.

    Raises:
        EditError: figures that cannot be worked with.
    """
    if space.device == "not decided" or space.carrier == "absorbable":
        return None
    if space.device == "beads" and space.strand_mm is not None:
        return _strands(space, space.strand_mm)
    volume = volume_of(case, space)
    if volume is None:
        return None
    if space.device == "spacer":
        return _filled(space, volume, 0, 0, volume.ml)
    return _loose_beads(space, volume)


def bead_mm(space: DeadSpace) -> float:
    """The diameter of the beads: as typed, else the usual one."""
    return space.bead_mm or antibiotics().beads.diameter_mm


def _strands(space: DeadSpace, strand_mm: float) -> Filling:
    usual = antibiotics().beads
    gap_mm = usual.gap_mm if space.bead_gap_mm is None else space.bead_gap_mm
    strands = space.strands or 1
    beads = strands * beads_on_strand(strand_mm, bead_mm(space), gap_mm)
    return _beads(space, None, beads, strands)


def _loose_beads(space: DeadSpace, volume: Volume) -> Filling:
    usual = antibiotics().beads
    packing = space.packing_percent or usual.packing_percent
    beads = beads_in_volume(volume.ml, bead_mm(space), packing)
    return _beads(space, volume, beads, space.strands or -(-beads // usual.per_strand))


def _beads(space: DeadSpace, volume: Volume | None, beads: int, strands: int) -> Filling:
    if beads == 0:
        raise EditError(f"{space.id} does not hold one bead of {bead_mm(space):g} mm; take smaller")
    return _filled(space, volume, beads, strands, beads * bead_volume_ml(bead_mm(space)))


def _filled(
    space: DeadSpace, volume: Volume | None, beads: int, strands: int, cement_ml: float
) -> Filling:
    packet = packet_of(space)
    needed = packets_needed(cement_ml, packet.usable_ml)
    packets = needed if space.packets is None else space.packets
    return Filling(
        volume=volume,
        beads=beads,
        bead_mm=bead_mm(space),
        strands=strands,
        cement_ml=cement_ml,
        surface_mm2=beads * bead_surface_mm2(bead_mm(space)),
        block_mm2=block_surface_mm2(cement_ml, space.block_length_mm),
        needed=needed,
        load=load_of(space, packet, packets, cement_ml),
    )
