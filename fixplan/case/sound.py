"""The gate every edit goes through: a change that leaves the case wrong is refused in words."""

import re
from typing import TypeVar

import msgspec
from msgspec.structs import replace

from fixplan.case.meaning import Drawn, case_problems, drawn_things
from fixplan.case.naming import field_of
from fixplan.case.records import Case
from fixplan.case.scalars import Record
from fixplan.errors import EditError

AnyRecord = TypeVar("AnyRecord", bound=Record)
AnyDrawn = TypeVar("AnyDrawn", bound=Drawn)

_LIMIT = re.compile(
    r"Expected `\w+` (?P<sign><=|>=|<|>) (?P<limit>\S+) - at `\$\.(?P<field>[^`]+)`"
)
_SIGNS = {"<=": "at most", ">=": "at least", "<": "less than", ">": "more than"}


def found(case: Case, id_: str) -> Drawn:
    """The thing with this id. Raises EditError when there is none."""
    for thing in drawn_things(case):
        if thing.id == id_:
            return thing
    raise EditError(f"{id_} is not in the case; select it again")


def found_as(case: Case, id_: str, kind: type[AnyDrawn]) -> AnyDrawn:
    """The thing with this id, of this kind. Raises EditError when there is none."""
    thing = found(case, id_)
    if not isinstance(thing, kind):
        raise EditError(f"{id_} is not a {kind.__name__.lower()}; select another thing")
    return thing


def sound(record: AnyRecord, name: str) -> AnyRecord:
    """The record itself when every value is within its bounds. Raises EditError in words."""
    try:
        return msgspec.convert(msgspec.to_builtins(record), type(record))
    except (msgspec.ValidationError, OverflowError) as problem:
        raise EditError(f"{name}: {_in_words(str(problem))}") from problem


def sound_case(case: Case) -> Case:
    """The case itself when it makes sense. Raises EditError with what is wrong."""
    problems = case_problems(case)
    if problems:
        raise EditError(f"{'; '.join(problems[:3])}; change that first")
    return case


def with_record(case: Case, record: Drawn) -> Case:
    """The case with the record in place of the one that has its id. Raises EditError."""
    kept = sound(record, record.id)
    found_as(case, kept.id, type(kept))
    field = field_of(kept)
    things: tuple[Drawn, ...] = getattr(case, field)
    changed = tuple(kept if thing.id == kept.id else thing for thing in things)
    return sound_case(replace(case, **{field: changed}))


def _in_words(message: str) -> str:
    match = _LIMIT.fullmatch(message)
    if match:
        return f"{match['field']} must be {_SIGNS[match['sign']]} {match['limit']}"
    return message.replace("`", "")
