"""Trips against records: what a trip that was done should have left behind, and has not."""

from collections.abc import Iterator

from fixplan.case.records import Case
from fixplan.case.trip_edits import in_order
from fixplan.case.trip_records import Trip
from fixplan.trips.covering import changes_pouch, pouch_trips
from fixplan.trips.prompts import Prompt


def crossing_prompts(case: Case) -> Iterator[Prompt]:
    """Prompts about trips and records that do not tell the same."""
    for trip in case.trips:
        if trip.done_at is not None:
            yield from _unrecorded(case, trip)
    yield from _out_too_early(case)
    yield from _pouch_left(case)


def _named(trip: Trip) -> str:
    return trip.id.replace("-", " ")


def _unrecorded(case: Case, trip: Trip) -> Iterator[Prompt]:
    if "debridement" in trip.what and not any(
        one.trip in (None, trip.id) for one in case.debridements
    ):
        text = f"{_named(trip)} is done with a debridement: record what it found"
        yield Prompt("trip.debridement-record", "not assessed", trip.id, text, ("OF-07",))
    if "beads in" in trip.what:
        spaces = [one for one in case.dead_spaces if one.trip in (None, trip.id)]
        if not any(one.beads_in is not None or one.device == "spacer" for one in spaces):
            text = f"{_named(trip)} put beads in: record how many"
            yield Prompt("trip.bead-count", "not assessed", trip.id, text, ("LA-11",))


def _out_too_early(case: Case) -> Iterator[Prompt]:
    """Beads that are counted out at a trip that is not done, or at none."""
    trips = {trip.id: trip for trip in case.trips}
    for space in case.dead_spaces:
        if space.device != "beads" or space.beads_out is None:
            continue
        out = trips.get(space.out_trip or "")
        if out is None:
            text = f"{space.beads_out} beads are counted out, and no trip is named for it"
            yield Prompt("trip.beads-out", "not assessed", space.id, text, ("LA-11",))
        elif out.done_at is None:
            text = f"{space.beads_out} beads are counted out, and {_named(out)} is not done"
            yield Prompt("trip.beads-out", "caution", space.id, text, ("LA-11",))


def _pouch_left(case: Case) -> Iterator[Prompt]:
    """A look at the wound after a pouch went on, with no change of the pouch recorded."""
    order, pouches = in_order(case.trips), pouch_trips(case)
    first = min((order.index(one) for one in pouches), default=len(order))
    for trip in order[first + 1 :]:
        looked = {"second look", "debridement"} & set(trip.what)
        if trip.done_at is not None and looked and not changes_pouch(case, trip):
            text = f"{_named(trip)} looked again: was the bead pouch changed? Record the cover"
            yield Prompt("trip.pouch", "not assessed", trip.id, text, ("LA-14",))
