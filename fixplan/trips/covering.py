"""What covers a wound at a trip, read from the cover records: for good, for a time, or not told.

A vacuum, a bead pouch and a simple dressing hold a wound until it is covered; they cover nothing
for good, and stop no clock of cover (OF-14, OF-15, LA-14, LA-16).
"""

from typing import Literal

from fixplan.case.dead_space_records import CoverKind
from fixplan.case.records import Case
from fixplan.case.trip_records import Trip

Covering = Literal["none", "definitive", "temporary", "not recorded"]
CLOSING: tuple[CoverKind, ...] = ("primary closure", "skin graft", "flap")
HOLDING: tuple[CoverKind, ...] = ("vacuum", "bead pouch", "simple dressing")


def kinds_at(case: Case, trip: Trip) -> frozenset[CoverKind]:
    """The kinds of cover recorded at a trip; one that names no trip counts where cover is a task.

    What is not decided is no kind.
    """
    told = [one for one in case.cover if one.kind != "not decided"]
    named = frozenset(one.kind for one in told if one.trip == trip.id)
    if named or "cover" not in trip.what:
        return named
    return frozenset(one.kind for one in told if one.trip is None)


def covering(case: Case, trip: Trip) -> Covering:
    """What a trip does to the cover of the wound."""
    kinds = kinds_at(case, trip)
    if kinds & set(CLOSING):
        return "definitive"
    if kinds:
        return "temporary"
    return "not recorded" if "cover" in trip.what else "none"


def may_cover(case: Case, trip: Trip) -> bool:
    """Whether a trip covers the wound for good, as recorded or, with no record, as its task."""
    return covering(case, trip) in ("definitive", "not recorded")


def pouch_trips(case: Case) -> tuple[Trip, ...]:
    """The trips at which a bead pouch is recorded; one that names no trip goes with its beads."""
    pouches = [one for one in case.cover if one.kind == "bead pouch"]
    named = {one.trip for one in pouches if one.trip is not None}
    loose = any(one.trip is None for one in pouches)
    return tuple(
        trip
        for trip in case.trips
        if trip.id in named or (loose and not named and "beads in" in trip.what)
    )


def changes_pouch(case: Case, trip: Trip) -> bool:
    """Whether a trip takes a pouch off or changes it: by its cover record, or with its beads."""
    return bool(kinds_at(case, trip)) or bool({"beads in", "beads out"} & set(trip.what))
