"""Every change to debridements, dead spaces and covers; what else names them follows."""

from collections.abc import Mapping

from msgspec.structs import replace

from fixplan.case.dead_space_records import Cover, DeadSpace, PatientAnswers
from fixplan.case.debridement_records import Debridement
from fixplan.case.naming import retired_with
from fixplan.case.records import Case
from fixplan.case.sound import sound, sound_case
from fixplan.errors import EditError

CareRecord = DeadSpace | Debridement | Cover

KINDS: Mapping[type, tuple[str, str]] = {
    DeadSpace: ("dead-space", "dead_spaces"),
    Debridement: ("debridement", "debridements"),
    Cover: ("cover", "cover"),
}
"""For each kind the word in its id and the case's field that holds it."""


def add_care(case: Case, record: CareRecord) -> Case:
    """Add a record under the next id of its kind; the id it comes with is not looked at."""
    word, field = KINDS[type(record)]
    listed: tuple[CareRecord, ...] = getattr(case, field)
    numbers = [_number(id_, word) for id_ in (*(one.id for one in listed), *case.retired)]
    added = replace(record, id=f"{word}-{max(numbers, default=0) + 1}")
    return _with(case, field, (*listed, sound(added, added.id)))


def change_care(case: Case, id_: str, **fields: object) -> Case:
    """Change fields of a record by name. Raises EditError."""
    record = care_of(case, id_)
    field = KINDS[type(record)][1]
    changed = sound(replace(record, **{**fields, "id": id_}), id_)
    listed: tuple[CareRecord, ...] = getattr(case, field)
    return _with(case, field, tuple(changed if one.id == id_ else one for one in listed))


def remove_care(case: Case, id_: str) -> Case:
    """Take a record out; its id is not given again."""
    field = KINDS[type(care_of(case, id_))][1]
    listed: tuple[CareRecord, ...] = getattr(case, field)
    kept = replace(case, retired=retired_with(case, {id_}))
    return _with(kept, field, tuple(one for one in listed if one.id != id_))


def care_of(case: Case, id_: str) -> CareRecord:
    """The record with this id. Raises EditError when there is none."""
    every: tuple[CareRecord, ...] = (*case.dead_spaces, *case.debridements, *case.cover)
    for one in every:
        if one.id == id_:
            return one
    raise EditError(f"{id_} is not in the case; choose it again")


def change_answers(case: Case, **fields: object) -> Case:
    """Change what was answered about the patient. Raises EditError."""
    answers: PatientAnswers = sound(replace(case.answers, **fields), "The answers")
    return sound_case(replace(case, answers=answers))


def forgetting_trip(case: Case, trip: str) -> Case:
    """The case with no record that names this trip; the records stay."""
    return replace(
        case,
        dead_spaces=tuple(_space_without(one, trip) for one in case.dead_spaces),
        debridements=tuple(
            replace(one, trip=None) if one.trip == trip else one for one in case.debridements
        ),
        cover=tuple(replace(one, trip=None) if one.trip == trip else one for one in case.cover),
    )


def forgetting_drawn(case: Case, gone: set[str]) -> Case:
    """The case with no record that names one of these drawn things; the records stay."""
    return replace(
        case,
        dead_spaces=tuple(
            replace(one, drawn=None) if one.drawn in gone else one for one in case.dead_spaces
        ),
        debridements=tuple(_record_without(one, gone) for one in case.debridements),
    )


def _space_without(space: DeadSpace, trip: str) -> DeadSpace:
    into = None if space.trip == trip else space.trip
    out = None if space.out_trip == trip else space.out_trip
    same = into == space.trip and out == space.out_trip
    return space if same else replace(space, trip=into, out_trip=out)


def _record_without(record: Debridement, gone: set[str]) -> Debridement:
    if not {record.fracture, record.injury} & gone:
        return record
    return replace(
        record,
        fracture=None if record.fracture in gone else record.fracture,
        injury=None if record.injury in gone else record.injury,
    )


def _number(id_: str, word: str) -> int:
    tail = id_.removeprefix(f"{word}-")
    return int(tail) if tail != id_ and tail.isdecimal() and len(tail) < 10 else 0


def _with(case: Case, field: str, records: tuple[CareRecord, ...]) -> Case:
    return sound_case(sound(replace(case, **{field: records}), "The case"))
