"""A dead space in words: beads or spacer, cement, surface, drug, and the published ranges."""

from collections.abc import Iterator

from fixplan.case.dead_space_records import DeadSpace
from fixplan.case.records import Case
from fixplan.trips.dead_space import Filling
from fixplan.trips.drugs import antibiotics, drug_name, drug_of, grams, packet_of
from fixplan.trips.packets import DrugLoad
from fixplan.trips.space_prompts import stay_words, worked_out

MM2_PER_CM2 = 100.0


def device_words(space: DeadSpace) -> str:
    """Beads, a spacer, or the question."""
    return {"beads": "beads", "spacer": "a spacer"}.get(space.device, "beads or spacer?")


def counted(count: int, word: str) -> str:
    """Such as "1 packet" or "3 packets"."""
    return f"1 {word}" if count == 1 else f"{count} {word}s"


def headline(case: Case, space: DeadSpace) -> str:
    """The dead space in a few words."""
    filling, _ = worked_out(case, space)
    if filling is None:
        return device_words(space)
    packets = counted(filling.load.packets, "packet")
    what = counted(filling.beads, "bead") if filling.beads else "spacer"
    return f"{what}, {packets} of cement"


def space_lines(case: Case, space: DeadSpace) -> tuple[str, ...]:
    """What is worked out for a dead space, a line each."""
    filling, trouble = worked_out(case, space)
    lines = [] if filling is None else [*_filling_lines(space, filling)]
    if trouble:
        lines.append(f"Not worked out: {trouble}")
    return (*lines, *_drug_lines(space, filling), *_stay_line(space), *_count_line(space))


def _filling_lines(space: DeadSpace, filling: Filling) -> Iterator[str]:
    volume = filling.volume
    room = f" for {volume.ml:.3g} mL ({volume.origin})" if volume else ""
    packets = f"{counted(filling.load.packets, 'packet')} of {packet_of(space).powder_g:g} g"
    cement = f"{filling.cement_ml:.3g} mL of cement, {packets}"
    if not filling.beads:
        yield f"Spacer{room}: {cement}; {_block_words(filling)}"
        return
    strands = counted(filling.strands, "strand")
    yield f"{counted(filling.beads, 'bead')} of {filling.bead_mm:g} mm, {strands}{room}: {cement}"
    yield (
        f"Surface {filling.surface_mm2 / MM2_PER_CM2:.0f} cm², "
        f"{filling.beads_mm2_per_ml / MM2_PER_CM2:.1f} cm² for each mL; "
        f"a block of the same cement {_block_words(filling)}"
    )


def _block_words(filling: Filling) -> str:
    return (
        f"{filling.block_mm2 / MM2_PER_CM2:.0f} cm², "
        f"{filling.block_mm2_per_ml / MM2_PER_CM2:.1f} cm² for each mL"
    )


def _drug_lines(space: DeadSpace, filling: Filling | None) -> Iterator[str]:
    if not space.drugs:
        return
    if filling is None:
        for one in space.drugs:
            bought = ", in the cement as bought" if one.preloaded else ""
            yield f"{drug_name(one.drug)} {grams(one):g} g a packet{bought}"
    else:
        yield from (_load_words(one) for one in filling.load.drugs)
        yield (
            f"All drug: {filling.load.percent_of_powder:.1f} % of powder, "
            f"{filling.load.percent_of_mix:.1f} % of mix, by mass"
        )
    yield from range_lines(space)
    yield antibiotics().caution


def _load_words(one: DrugLoad) -> str:
    bought = f" ({one.preloaded_g:g} g as bought)" if one.preloaded_g else ""
    return (
        f"{one.name} {one.packet_g:.3g} g a packet{bought}: {one.mixed_g:.3g} g mixed, "
        f"about {one.implanted_g:.2g} g implanted"
    )


def range_lines(space: DeadSpace) -> Iterator[str]:
    """The published ranges of each drug in a dead space."""
    for id_ in dict.fromkeys(one.drug for one in space.drugs):
        known = drug_of(id_)
        if known is None:
            yield f"{drug_name(id_)}: no published range is listed"
        else:
            told = "; ".join(one.words for one in known.ranges)
            yield f"{known.name}, published in {antibiotics().limits.per_powder_g:g} g: {told}"


def _stay_line(space: DeadSpace) -> Iterator[str]:
    if space.device != "not decided":
        verb = "Out or changed" if space.device == "beads" else "Out"
        ids = "LA-12" if space.device == "beads" else "LA-13"
        yield f"{verb} after {stay_words(space.device)} ({ids})"


def _count_line(space: DeadSpace) -> Iterator[str]:
    if space.device == "beads":
        yield f"Beads in: {_blank(space.beads_in)}   out: {_blank(space.beads_out)}"


def _blank(count: int | None) -> str:
    return "______" if count is None else str(count)
