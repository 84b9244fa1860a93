"""Copies of pins, bars and outlines: beside the first, in another case, or with sides changed over.

A copy is a new thing with a new id; it lies a step further along where its first place is taken.
"""

from collections.abc import Iterator
from functools import singledispatch
from typing import TypeVar

import msgspec
from msgspec.structs import replace

from fixplan.case.edits import add, move
from fixplan.case.limbs import limb_of_case
from fixplan.case.meaning import Drawn
from fixplan.case.naming import KINDS, field_of
from fixplan.case.records import (
    Anchor,
    Bar,
    Candidate,
    Case,
    CorridorPart,
    FreeOutline,
    Incision,
    Injury,
    Nail,
    Pin,
    PinAnchor,
    Plate,
    Wound,
)
from fixplan.case.scalars import BoneSide, Outline
from fixplan.case.sound import found
from fixplan.case.swapping import swapped
from fixplan.errors import EditError
from fixplan.limb.kinds import limb_kind

Copied = Pin | Bar | Wound | Injury | Candidate
Faced = TypeVar("Faced", Wound, Incision)
Paired = TypeVar("Paired", Injury, FreeOutline)
PIN_STEP_MM = 20.0
STEP_MM = 10.0
BAR_STEP_MM = 30.0
MOST_STEPS = 60
OTHER_SIDE: dict[BoneSide, BoneSide] = {
    "lateral": "medial",
    "anterolateral": "anteromedial",
    "posterolateral": "posteromedial",
    "medial": "lateral",
    "anteromedial": "anterolateral",
    "posteromedial": "posterolateral",
}
NOTHING = "There is no pin, bar or outline to paste; copy one first."


class Clip(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What the clipboard holds: the kind of a thing, and the thing."""

    kind: str
    thing: msgspec.Raw


def copied(case: Case, id_: str) -> Copied:
    """The thing with an id. Raises EditError for what is not copied: a fracture, a support."""
    thing = found(case, id_)
    if isinstance(thing, Copied):
        return thing
    raise EditError(f"{id_} is not copied; pins, bars, wounds, injuries and later fixation are.")


def encoded(thing: Copied) -> bytes:
    """A thing as JSON for the clipboard."""
    kind = KINDS[type(thing)][0]
    return msgspec.json.encode(Clip(kind, msgspec.Raw(msgspec.json.encode(thing))))


def decoded(text: bytes) -> Copied:
    """The thing in what `encoded` gave. Raises EditError for anything else."""
    kinds: dict[str, type[Drawn]] = {word: kind for kind, (word, _) in KINDS.items()}
    try:
        clip = msgspec.json.decode(text, type=Clip)
        thing = msgspec.json.decode(clip.thing, type=kinds[clip.kind])
    except (msgspec.MsgspecError, KeyError, RecursionError) as problem:
        raise EditError(NOTHING) from problem
    if not isinstance(thing, Copied):
        raise EditError(NOTHING)
    return thing


def pasted(case: Case, thing: Copied, *, is_mirrored: bool = False) -> Case:
    """Add a copy as the last of its kind; mirrored: medial and lateral change places.

    Raises:
        EditError: its bone, segment or pins are not in this case, or no place is free.
    """
    _fits(case, thing)
    return _added(_mirrored(case, thing) if is_mirrored else thing, case)


def _fits(case: Case, thing: Copied) -> None:
    limb = limb_of_case(case)
    for name, known in _named(thing):
        if name not in (limb.bones if known == "bone" else limb.segments):
            raise EditError(f"This limb has no {name}; paste it in a case of the same limb.")
    if isinstance(thing, Bar):
        here = {pin.id for pin in case.pins} | {bar.id for bar in case.bars}
        missing = sorted(_held_by(thing) - here)
        if missing:
            raise EditError(f"This case has no {' and '.join(missing)} to hold the bar; lay one.")


def _named(thing: Copied | CorridorPart) -> Iterator[tuple[str, str]]:
    """Bones and segments that a thing names."""
    if isinstance(thing, Candidate):
        for part in thing.parts:
            yield from _named(part)
    elif isinstance(thing, Pin | Plate | Nail):
        yield thing.bone, "bone"
    elif not isinstance(thing, Bar):
        yield thing.segment, "segment"


def _held_by(bar: Bar) -> set[str]:
    anchors = {a.pin if isinstance(a, PinAnchor) else a.bar for a in bar.anchors}
    return anchors | set(bar.also)


@singledispatch
def _added(thing: Copied, case: Case) -> Case:
    """An outline, moved along the limb as long as one like it lies there."""
    bigger = add(case, thing)
    field = field_of(thing)
    for _ in range(MOST_STEPS):
        *others, last = getattr(bigger, field)
        if all(replace(other, id=last.id) != last for other in others):
            return bigger
        bigger = move(bigger, last.id, "side", 0.0, STEP_MM)
    raise EditError("There is no free place for a copy; move the first one away.")


@_added.register
def _(pin: Pin, case: Case) -> Case:
    """A pin further along its bone, at a level that no pin of the bone has."""
    bone = limb_of_case(case).bones[pin.bone]
    taken = [other.level_mm for other in case.pins if other.bone == pin.bone]
    for n in range(MOST_STEPS):
        for level in (pin.level_mm + n * PIN_STEP_MM, pin.level_mm - n * PIN_STEP_MM):
            is_free = all(abs(level - other) >= PIN_STEP_MM for other in taken)
            if is_free and bone.from_mm <= level <= bone.to_mm:
                return add(case, replace(pin, level_mm=level))
    raise EditError(f"No level of the {bone.title} is free for a copy; move a pin first.")


@_added.register
def _(bar: Bar, case: Case) -> Case:
    """A bar further out along what holds it."""
    there = [(other.anchors, other.lay) for other in case.bars]
    for _ in range(MOST_STEPS):
        if (bar.anchors, bar.lay) not in there:
            return add(case, bar)
        first, second = (_further(anchor) for anchor in bar.anchors)
        bar = replace(bar, anchors=(first, second))
    raise EditError("There is no free place for a copy; move a bar first.")


def _further(anchor: Anchor) -> Anchor:
    if isinstance(anchor, PinAnchor):
        return replace(anchor, out_mm=anchor.out_mm + BAR_STEP_MM)
    return replace(anchor, at_mm=anchor.at_mm + BAR_STEP_MM)


def _mirrored(case: Case, thing: Copied) -> Copied:
    """The thing on the limb's other side; of a pelvis, on its other half."""
    if not limb_kind(case.limb).has_both_sides:
        return _turned_over(thing)
    alone = replace(case, pins=(), bars=(), wounds=(), injuries=(), candidates=(), fractures=())
    field = field_of(thing)
    other = swapped(replace(alone, **{field: (thing,)}))
    (over,) = getattr(other, field)
    return _turned_over(thing) if isinstance(thing, Bar) else over


def _turned_over(thing: Copied) -> Copied:
    if isinstance(thing, Pin):
        bearing = (180.0 - thing.bearing_deg) % 360.0
        return replace(thing, bearing_deg=bearing, offset_mm=0.0 - thing.offset_mm)
    if isinstance(thing, Bar):
        return replace(thing, lay=1 if thing.lay == -1 else -1)
    if isinstance(thing, Wound):
        return replace(_faced(thing), outline=_over(thing.view, thing.outline))
    if isinstance(thing, Injury):
        return _paired(thing)
    return replace(thing, parts=tuple(_part_over(part) for part in thing.parts))


def _part_over(part: CorridorPart) -> CorridorPart:
    if isinstance(part, Plate):
        return replace(part, side=OTHER_SIDE.get(part.side, part.side))
    if isinstance(part, Incision):
        return _faced(part)
    return _paired(part) if isinstance(part, FreeOutline) else part


def _paired(region: Paired) -> Paired:
    return replace(region, front=_over("front", region.front))


def _faced(mark: Faced) -> Faced:
    """In the side view the nearer face is the lateral one; in the front view u changes sign."""
    if mark.view == "side":
        return replace(mark, face="far" if mark.face == "near" else "near")
    return replace(mark, line=_over(mark.view, mark.line))


def _over(view: str, points: Outline) -> Outline:
    return tuple((0.0 - u, level) for u, level in points) if view == "front" else points
