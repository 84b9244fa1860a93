"""What well-formed dead spaces, debridements and covers can still get wrong."""

from collections import Counter
from collections.abc import Iterator

from fixplan.case.dead_space_records import DeadSpace
from fixplan.case.debridement_records import Debridement
from fixplan.case.records import Case

UNITS = ("g", "mg")


def care_problems(case: Case) -> Iterator[str]:
    """Every error of meaning in dead spaces, debridements and covers, one clause each."""
    ids = Counter(_ids(case))
    yield from (f"the id {id_} is used {n} times" for id_, n in ids.items() if n > 1)
    yield from _trip_problems(case)
    drawn = {one.id for one in case.wounds} | {one.id for one in case.injuries}
    for space in case.dead_spaces:
        yield from (f"{space.id} {text}" for text in _space_problems(space))
        if space.drawn is not None and space.drawn not in drawn:
            yield f"{space.id} takes its area from {space.drawn}, which is no wound or injury here"
    for record in case.debridements:
        yield from (f"{record.id} {text}" for text in _debridement_problems(case, record))


def _ids(case: Case) -> Iterator[str]:
    yield from (one.id for one in case.dead_spaces)
    yield from (one.id for one in case.debridements)
    yield from (one.id for one in case.cover)


def _trip_problems(case: Case) -> Iterator[str]:
    trips = {trip.id for trip in case.trips}
    named = [(one.id, one.trip) for one in case.dead_spaces]
    named += [(one.id, one.out_trip) for one in case.dead_spaces]
    named += [(one.id, one.trip) for one in case.debridements]
    named += [(one.id, one.trip) for one in case.cover]
    for id_, trip in named:
        if trip is not None and trip not in trips:
            yield f"{id_} names {trip}, which is not in the case"


def _space_problems(space: DeadSpace) -> Iterator[str]:
    if space.packets == 0:
        yield "has 0 packets of cement; type 1 or more, or leave it open"
    told = [one for one in space.drugs if one.unit not in UNITS]
    if told:
        amounts = " and ".join(f"{one.drug} in {one.unit!r}" for one in told)
        yield f"has {amounts}; give the amount in g or mg"
    counts = Counter((one.drug, one.preloaded) for one in space.drugs)
    for (drug, preloaded), count in counts.items():
        if count > 1:
            place = "in the cement as bought" if preloaded else "mixed in"
            yield f"names {drug} {count} times {place}; give it once, with the whole amount"
    if space.volume_ml is not None and space.drawn is not None:
        yield "has a typed volume and a drawn outline; keep one of them"
    if space.out_trip is not None and space.out_trip == space.trip:
        yield f"goes in and comes out at {space.trip}; name two trips"


def _debridement_problems(case: Case, record: Debridement) -> Iterator[str]:
    named = Counter(one.compartment for one in record.muscles)
    for compartment, count in named.items():
        if count > 1:
            yield f"judges the {compartment} compartment {count} times; judge it once"
    for word, id_, known in (
        ("fracture", record.fracture, {one.id for one in case.fractures}),
        ("injury", record.injury, {one.id for one in case.injuries}),
    ):
        if id_ is not None and id_ not in known:
            yield f"is about the {word} {id_}, which is not in the case"
