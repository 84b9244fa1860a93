"""What a trip to theatre takes beside the frame (resources/other_kit.toml)."""

from collections.abc import Callable, Mapping
from typing import Literal

import msgspec

from fixplan.case.limbs import drawn_segments
from fixplan.case.records import Case
from fixplan.case.scalars import LimbKind, OpenGrade, WoundKind
from fixplan.limb.library import load_toml

When = Literal["always", "open", "wound", "vascular", "dead-space", "splint"]


class Item(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One line of other kit, and when it is asked for.

    `limbs`: of which limbs, all if none are named; `reaches`: only where the field lies in one of
    these segments, `leaves`: only where it lies in none of them.
    """

    name: str
    when: When
    limbs: tuple[LimbKind, ...] = ()
    reaches: tuple[str, ...] = ()
    leaves: tuple[str, ...] = ()


class OtherKit(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What other_kit.toml holds; grades and wounds by what they ask for."""

    schema: int
    source: str
    dead_space_grades: tuple[OpenGrade, ...]
    dead_space_wounds: tuple[WoundKind, ...]
    open_wounds: tuple[WoundKind, ...]
    release_wounds: tuple[WoundKind, ...]
    vascular_grades: tuple[OpenGrade, ...]
    kit: tuple[Item, ...]


def other_kit(cases: tuple[Case, ...]) -> tuple[str, ...]:
    """What any of the cases takes beside its frame. Raises LibraryError."""
    return tuple(one.name for one in _listed().kit if any(_is_asked(one, case) for case in cases))


def _is_asked(item: Item, case: Case) -> bool:
    drawn = drawn_segments(case)
    return (
        (not item.limbs or case.limb in item.limbs)
        and (not item.reaches or not drawn.isdisjoint(item.reaches))
        and drawn.isdisjoint(item.leaves)
        and _ASKED[item.when](case)
    )


def is_open_anywhere(case: Case) -> bool:
    """Whether anything in a case is open: a fracture's grade, a wound, an injury."""
    graded = any(one.open_grade not in ("closed", "not graded") for one in case.fractures)
    wounded = any(wound.kind in _listed().open_wounds for wound in case.wounds)
    return graded or wounded or any(one.grade == "open" for one in case.injuries)


def _has_wound(case: Case) -> bool:
    return is_open_anywhere(case) or any(
        one.kind in _listed().release_wounds for one in case.wounds
    )


def is_vascular(case: Case) -> bool:
    """Whether an artery is torn by a fracture's grade, or an order for it is chosen."""
    graded = any(one.open_grade in _listed().vascular_grades for one in case.fractures)
    return graded or case.vascular_order != "no repair"


def _listed() -> OtherKit:
    return load_toml("other_kit.toml", OtherKit)


def has_dead_space(case: Case) -> bool:
    """Whether a case leaves a dead space, by the grades and wounds that the data name."""
    listed = _listed()
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
    "open": is_open_anywhere,
    "wound": _has_wound,
    "vascular": is_vascular,
    "dead-space": has_dead_space,
    "splint": _has_splint,
}
