"""The order of a whole trip to theatre, and its safety pauses, for one case; no layout.

Texts, conditions and sources stand in resources/trip_order.toml.
"""

from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import Literal

import msgspec

from fixplan.case.limbs import drawn_segments
from fixplan.case.records import Case
from fixplan.case.remembered import remembered
from fixplan.case.scalars import LimbKind
from fixplan.frame.order import order_lines
from fixplan.kit.other_kit import has_dead_space, is_open_anywhere, is_vascular
from fixplan.limb.library import load_toml
from fixplan.sheet.title_block import fracture_words, side_word

When = Literal[
    "always", "open", "dead-space", "frame", "torn", "shunt", "repair", "later", "no-later"
]


class _Step(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A step. `reaches`: told where the field lies in one of these segments; `leaves`: in none."""

    id: str
    title: str
    when: When
    text: str
    evidence: tuple[str, ...]
    limbs: tuple[LimbKind, ...] = ()
    reaches: tuple[str, ...] = ()
    leaves: tuple[str, ...] = ()


class _Item(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    text: str
    when: When
    limbs: tuple[LimbKind, ...] = ()


class _Pause(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    name: str
    moment: str
    evidence: tuple[str, ...]
    items: tuple[_Item, ...]


class TripTexts(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What trip_order.toml holds."""

    schema: int
    step: tuple[_Step, ...]
    pause: tuple[_Pause, ...]


class TripStep(msgspec.Struct, frozen=True):
    """One step: its id, its title, what is done, and the ids of its evidence."""

    id: str
    title: str
    text: str
    evidence: tuple[str, ...]


class Pause(msgspec.Struct, frozen=True):
    """A safety pause with what a frame adds to it."""

    name: str
    moment: str
    items: tuple[str, ...]
    evidence: tuple[str, ...]


@lru_cache(maxsize=1)
def trip_texts() -> TripTexts:
    """The texts as they stand in the data. Raises LibraryError."""
    return load_toml("trip_order.toml", TripTexts)


@remembered
def trip_steps(case: Case) -> tuple[TripStep, ...]:
    """The steps that this case asks for, in order, its own words filled in."""
    words = _words(case)
    return tuple(
        TripStep(one.id, one.title, one.text.format_map(words), one.evidence)
        for one in trip_texts().step
        if _applies(case, one) and _lies_there(case, one)
    )


def _lies_there(case: Case, step: _Step) -> bool:
    """Whether what is drawn lies in the segments that a step speaks of."""
    drawn = drawn_segments(case)
    return (not step.reaches or not drawn.isdisjoint(step.reaches)) and drawn.isdisjoint(
        step.leaves
    )


@remembered
def pauses(case: Case) -> tuple[Pause, ...]:
    """The three pauses with the items that this case asks for."""
    words = _words(case)
    return tuple(
        Pause(
            one.name,
            one.moment,
            tuple(item.text.format_map(words) for item in one.items if _applies(case, item)),
            one.evidence,
        )
        for one in trip_texts().pause
    )


def _applies(case: Case, one: _Step | _Item) -> bool:
    return (not one.limbs or case.limb in one.limbs) and _ASKED[one.when](case)


def _words(case: Case) -> dict[str, str]:
    marked = any(wound.kind == "planned extension" for wound in case.wounds)
    count = len(order_lines(case))
    return {
        "side": side_word(case),
        "limb": case.limb,
        "grade": fracture_words(case),
        "extension": "Along the line that is drawn" if marked else "Along the limb, as agreed",
        "order": f"Steps 1 to {count} of the build order, in that order",
        "vascular": case.vascular_order,
    }


_ASKED: Mapping[When, Callable[[Case], bool]] = {
    "always": lambda case: True,  # noqa: ARG005 (asked like the others)
    "open": is_open_anywhere,
    "dead-space": has_dead_space,
    "frame": lambda case: bool(case.pins),
    "torn": lambda case: is_vascular(case) and case.vascular_order == "no repair",
    "shunt": lambda case: case.vascular_order.startswith("shunt"),
    "repair": lambda case: (
        case.vascular_order.endswith("repair") and case.vascular_order != "no repair"
    ),
    "later": lambda case: bool(case.candidates),
    "no-later": lambda case: not case.candidates,
}
