"""Regions that the trainee is to draw: what can be asked so, in which words, and what is right."""

from collections.abc import Iterator

from msgspec.structs import replace

from fixplan.case.records import Candidate, FreeOutline, Incision, Injury, Nail, Plate, Wound
from fixplan.errors import ExerciseError
from fixplan.teach.draft import Draft, Thing, placed, regions_of
from fixplan.teach.records import Asked, AskedKind

ASK_WORDS: dict[AskedKind, str] = {
    "injury": "Draw the zone of injury",
    "wound": "Draw the wound",
    "plate": "Mark where the plate will go",
    "nail": "Mark where the nail will go",
    "incision": "Draw the incision",
    "outline": "Draw what must be kept free",
}
_PART_KINDS: dict[type[object], AskedKind] = {
    Plate: "plate",
    Nail: "nail",
    Incision: "incision",
    FreeOutline: "outline",
}


def asked_kind(thing: Thing) -> AskedKind | None:
    """As what a trainee can be asked to draw a thing; None for one that cannot be drawn so."""
    if isinstance(thing, Injury):
        return "injury"
    if isinstance(thing, Wound):
        return "wound"
    if isinstance(thing, Candidate):
        kinds = [_PART_KINDS[type(part)] for part in thing.parts if type(part) in _PART_KINDS]
        return kinds[0] if kinds else None
    return None


AskedRegion = tuple[Asked, tuple[str, ...]]
"""What is asked for, and which things answer to it."""


def asked_regions(draft: Draft) -> list[AskedRegion]:
    """Those of the exercise that is changed, as far as they are asked still, then the new ones."""
    things = {thing.id: thing for thing in placed(draft, "asked")}
    stand = things.keys() | _shown_as_before(draft)
    kept = [one for one in _asked_before(draft) if stand & set(one[1])]
    told = {name for _, names in kept for name in names}
    new = [(_asked(draft, one), (one.id,)) for one in things.values() if one.id not in told]
    return [*kept, *new]


def _shown_as_before(draft: Draft) -> set[str]:
    """What the exercise that is changed gave, and gives still; it may answer to a region too."""
    if draft.edited is None:
        return set()
    before = {thing.id for thing in regions_of(draft.edited.exercise.given)}
    return before & {thing.id for thing in placed(draft, "shown")}


def _asked_before(draft: Draft) -> Iterator[AskedRegion]:
    """The asked regions of the exercise that is changed; one weight for all follows the draft's."""
    if draft.edited is None or draft.edited.teacher is None:
        return
    before = draft.edited.exercise.asked
    truths = {one.asked: one.things for one in draft.edited.teacher.truths}
    drawn = {thing.id for thing in regions_of(draft.case)}
    is_one_weight = len({one.weight for one in before}) == 1
    for one in before:
        weight = draft.asked_weight if is_one_weight else one.weight
        things = tuple(name for name in truths[one.id] if name in drawn)
        yield replace(one, weight=weight), things


def _asked(draft: Draft, thing: Thing) -> Asked:
    kind = asked_kind(thing)
    if kind is None:
        raise ExerciseError(f"{thing.id} cannot be asked for; show it or hide it.")
    return Asked(id=thing.id, kind=kind, text=ASK_WORDS[kind], weight=draft.asked_weight)
