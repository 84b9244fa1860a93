"""What a trip to theatre takes beside the frame (resources/other_kit.toml)."""

from collections.abc import Callable, Mapping
from typing import Literal

import msgspec

from fixplan.case.records import Case
from fixplan.case.scalars import OpenGrade, WoundKind
from fixplan.limb.library import load_toml

When = Literal["always", "open", "dead-space", "splint"]


class Item(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One line of other kit, and when it is asked for."""

    name: str
    when: When


class OtherKit(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What other_kit.toml holds; the grades and wounds are those that leave a dead space."""

    schema: int
    source: str
    dead_space_grades: tuple[OpenGrade, ...]
    dead_space_wounds: tuple[WoundKind, ...]
    kit: tuple[Item, ...]


def other_kit(cases: tuple[Case, ...]) -> tuple[str, ...]:
    """What any of the cases takes beside its frame. Raises LibraryError."""
    listed = load_toml("other_kit.toml", OtherKit)
    return tuple(one.name for one in listed.kit if any(_ASKED[one.when](case) for case in cases))


def is_open(case: Case) -> bool:
    """Whether anything in a case is open: a fracture's grade, a wound, an open injury."""
    graded = any(one.open_grade not in ("closed", "not graded") for one in case.fractures)
    return graded or bool(case.wounds) or any(one.grade == "open" for one in case.injuries)


def has_dead_space(case: Case) -> bool:
    """Whether a case leaves a dead space, by the grades and wounds that the data name."""
    listed = load_toml("other_kit.toml", OtherKit)
    lost = any(wound.kind in listed.dead_space_wounds for wound in case.wounds)
    return (
        bool(case.dead_spaces)
        or lost
        or any(one.open_grade in listed.dead_space_grades for one in case.fractures)
    )


def _has_splint(case: Case) -> bool:
    return any(support.kind == "splint" for support in case.supports)


_ASKED: Mapping[When, Callable[[Case], bool]] = {
    "always": lambda case: True,  # noqa: ARG005 (asked like the others)
    "open": is_open,
    "dead-space": has_dead_space,
    "splint": _has_splint,
}
