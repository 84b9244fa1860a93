"""What each task of a trip usually needs: who, and what beside the frame (trip_tasks.toml)."""

from collections.abc import Iterable

import msgspec

from fixplan.case.trip_records import Specialty, Trip, TripTask
from fixplan.limb.library import load_toml


class TaskNeeds(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One task, who is usually needed for it, and its kit."""

    id: TripTask
    who: tuple[Specialty, ...]
    kit: tuple[str, ...]


class TaskBook(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """All of trip_tasks.toml."""

    schema: int
    evidence: tuple[str, ...]
    task: tuple[TaskNeeds, ...]


def _needs(tasks: Iterable[TripTask]) -> tuple[TaskNeeds, ...]:
    wanted = set(tasks)
    return tuple(one for one in load_toml("trip_tasks.toml", TaskBook).task if one.id in wanted)


def usual_who(tasks: Iterable[TripTask]) -> tuple[Specialty, ...]:
    """Who is usually needed for these tasks, each once. Raises LibraryError."""
    return tuple(dict.fromkeys(who for one in _needs(tasks) for who in one.who))


def kit_of_trip(trip: Trip) -> tuple[str, ...]:
    """What a trip takes beside the parts of the frame, each once. Raises LibraryError."""
    return tuple(dict.fromkeys(item for one in _needs(trip.what) for item in one.kit))
