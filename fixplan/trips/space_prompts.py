"""Prompts about a dead space: beads or spacer, its size, how long it stays, count, dressing."""

from collections.abc import Iterator

from fixplan.case.dead_space_records import DeadSpace
from fixplan.case.records import Case
from fixplan.errors import FixplanError
from fixplan.trips.cover import STRAIGHT, lies_on
from fixplan.trips.dead_space import Filling, bead_mm, filling_of, volume_of
from fixplan.trips.drug_checks import drug_prompts
from fixplan.trips.drugs import antibiotics, stay_of
from fixplan.trips.prompts import Prompt, by_weight


def space_prompts(case: Case, space: DeadSpace) -> tuple[Prompt, ...]:
    """Everything that one dead space asks, the weightiest first."""
    return by_weight(_prompts(case, space))


def _prompts(case: Case, space: DeadSpace) -> Iterator[Prompt]:
    filling, trouble = worked_out(case, space)
    if trouble:
        yield Prompt("space.size", "not assessed", space.id, trouble, ("LA-09",))
    elif filling is None and space.device != "not decided" and space.carrier != "absorbable":
        text = "no volume, outline with depth or strand is given: nothing is worked out"
        yield Prompt("space.size", "not assessed", space.id, text, ("LA-09",))
    yield from _device(space)
    yield from _order(case, space)
    if filling is not None:
        yield from _size(space, filling)
        yield from _against_volume(case, space, filling)
    yield from drug_prompts(case, space, filling)
    yield from _count(space)
    yield from over_beads(case, space)


def worked_out(case: Case, space: DeadSpace) -> tuple[Filling | None, str]:
    """What fills a dead space, or why that cannot be worked out."""
    try:
        return filling_of(case, space), ""
    except FixplanError as problem:
        return None, str(problem)


def stay_words(device: str) -> str:
    """How long beads or a spacer stay, such as "2 to 4 weeks (outer 6)"."""
    stay = stay_of(device)
    outer = "" if stay.outer_weeks == stay.weeks[1] else f" (outer {stay.outer_weeks:g})"
    return f"{stay.weeks[0]:g} to {stay.weeks[1]:g} weeks{outer}"


def _device(space: DeadSpace) -> Iterator[Prompt]:
    if space.device == "not decided":
        text = (
            f"beads or spacer? Beads come out or are changed after {stay_words('beads')}, "
            f"a spacer before bone graft stays {stay_words('spacer')} on purpose"
        )
        yield Prompt("space.device", "not assessed", space.id, text, ("LA-12", "LA-13"))
        return
    stay, words = stay_of(space.device), stay_words(space.device)
    if space.out_trip is None:
        text = f"no trip is named at which the {space.device} come out or are changed: {words}"
        if space.device == "spacer":
            text = f"no trip is named at which the spacer comes out: {words}"
        yield Prompt("space.out", "caution", space.id, text, stay.evidence)
    else:
        yield Prompt("space.out", "note", space.id, f"{space.device}: {words}", stay.evidence)


def _order(case: Case, space: DeadSpace) -> Iterator[Prompt]:
    """In before out, by the order of the trips."""
    trips = [trip.id for trip in case.trips]
    into, out = space.trip, space.out_trip
    if into in trips and out in trips and trips.index(str(out)) < trips.index(str(into)):
        text = f"out at {_named(out)}, which comes before {_named(into)}"
        yield Prompt("space.order", "caution", space.id, text, ("LA-11",))


def _named(trip: str | None) -> str:
    return str(trip).replace("-", " ")


def _size(space: DeadSpace, filling: Filling) -> Iterator[Prompt]:
    usual = antibiotics().beads
    low, high = usual.usual_mm
    if filling.beads and not low <= bead_mm(space) <= high:
        text = f"beads of {bead_mm(space):g} mm; usual are {low:g} to {high:g} mm"
        yield Prompt("space.bead", "note", space.id, text, ("LA-08",))
    if filling.beads > filling.load.packets * usual.per_packet_moulds:
        text = (
            f"{filling.beads} beads from {_packets(filling.load.packets)}: moulds gave about "
            f"{usual.per_packet_moulds} a packet before the cement set; have more moulds or packets"
        )
        yield Prompt("space.moulds", "note", space.id, text, ("LA-10",))
    low, high = usual.packing_usual_percent
    packing = space.packing_percent
    if filling.volume and packing is not None and not low <= packing <= high:
        text = (
            f"beads are to fill {packing:g} % of the space; loose ones fill {low:g} to {high:g} %"
        )
        yield Prompt("space.packing", "note", space.id, text, ("DS-01",))
    if filling.is_short:
        text = f"{_packets(filling.load.packets)} mixed, {filling.needed} needed for this cement"
        yield Prompt("space.packets", "caution", space.id, text, ("LA-09",))


def _against_volume(case: Case, space: DeadSpace, filling: Filling) -> Iterator[Prompt]:
    """Beads on strands against the space that they are for, at its packing (DS-01)."""
    if filling.volume is not None or space.device != "beads":
        return
    try:
        volume = volume_of(case, space)
    except FixplanError:
        return
    if volume is None:
        return
    packing = space.packing_percent or antibiotics().beads.packing_percent
    room_ml = volume.ml * packing / 100
    text = (
        f"{filling.cement_ml:.1f} mL of beads for a space of {volume.ml:g} mL, which holds "
        f"{room_ml:.1f} mL at {packing:g} %"
    )
    if filling.cement_ml > room_ml:
        yield Prompt("space.full", "caution", space.id, f"{text}: they do not fit", ("DS-01",))
    else:
        share = 100 * filling.cement_ml / room_ml
        words = f"{text}: {share:.0f} % of what would fill it"
        yield Prompt("space.filled", "note", space.id, words, ("DS-01",))


def _packets(count: int) -> str:
    return "1 packet" if count == 1 else f"{count} packets"


def _count(space: DeadSpace) -> Iterator[Prompt]:
    """Beads counted in and out (LA-11)."""
    if space.device != "beads":
        return
    into, out = space.beads_in, space.beads_out
    if into is None:
        text = "beads in: not counted yet; write the count on the theatre sheet"
        yield Prompt("space.count", "note", space.id, text, ("LA-11",))
    if out is not None and into is None:
        text = f"{out} beads out, and how many went in is not known; image the limb"
        yield Prompt("space.count-out", "caution", space.id, text, ("LA-11",))
    elif out is not None and into is not None and out != into:
        text = f"{into} beads in, {out} out: {abs(into - out)} not accounted for; image the limb"
        yield Prompt("space.count-out", "caution", space.id, text, ("LA-11",))


def over_beads(case: Case, space: DeadSpace) -> Iterator[Prompt]:
    """Vacuum straight over beads that are still in (LA-15); a pouch is offered in its place."""
    for cover in case.cover:
        if cover.kind != "vacuum" or not lies_on(case, space, cover):
            continue
        if cover.vacuum_over == "straight over beads":
            yield Prompt("space.vacuum", "caution", space.id, STRAIGHT, ("LA-15", "LA-14"))
        elif cover.vacuum_over == "not asked":
            text = "is a layer closed between the beads and the vacuum? Not told"
            yield Prompt("space.vacuum", "not assessed", space.id, text, ("LA-15",))
