"""Every change to a case, as a function from Case to Case.

Nothing is changed in place. An edit that cannot be made raises EditError in one sentence.
"""

from msgspec.structs import replace as with_fields

from fixplan.case.meaning import Drawn
from fixplan.case.naming import (
    field_of,
    next_number,
    word_of,
)
from fixplan.case.records import (
    Acceptance,
    Anchor,
    Bar,
    Candidate,
    Case,
    CorridorPart,
    Fracture,
    Injury,
    Pin,
    PinAnchor,
    Support,
    Wound,
)
from fixplan.case.removal import remove, removed_with
from fixplan.case.renumbering import renumber_from_proximal
from fixplan.case.resizing import set_size
from fixplan.case.scalars import Side
from fixplan.case.shifting import move
from fixplan.case.sound import AnyRecord, found, found_as, sound, sound_case, with_record
from fixplan.case.swapping import swapped
from fixplan.case.vertices import (
    OutlineName,
    delete_vertex,
    insert_vertex,
    move_vertex,
    outline_of,
    set_outline,
)
from fixplan.case.within import slide_within_mm
from fixplan.errors import EditError
from fixplan.limb.kinds import limb_kind

__all__ = [
    "OutlineName",
    "accept",
    "add",
    "add_bar",
    "add_candidate",
    "add_fracture",
    "add_injury",
    "add_pin",
    "add_support",
    "add_wound",
    "change",
    "change_case",
    "change_part",
    "delete_vertex",
    "found",
    "found_as",
    "insert_vertex",
    "mirrored",
    "move",
    "move_vertex",
    "outline_of",
    "remove",
    "removed_with",
    "renumber_from_proximal",
    "replace",
    "set_outline",
    "set_side",
    "set_size",
    "slide_bar",
    "slide_pin",
    "tilt_pin",
    "turn_pin",
    "withdraw",
]


def add(case: Case, record: Drawn) -> Case:
    """Add a thing under the next id (and, for a pin or bar, number) of its kind.

    The id and number that the record comes with are not looked at; the new thing is the last of its
    kind in the case that comes back.
    """
    number = next_number(case, record)
    changes: dict[str, object] = {"id": f"{word_of(record)}-{number}"}
    if isinstance(record, Pin | Bar):
        changes["number"] = number
    added = sound(with_fields(record, **changes), str(changes["id"]))
    field = field_of(added)
    bigger = with_fields(case, **{field: (*getattr(case, field), added)})
    if isinstance(added, Pin):
        bigger = with_fields(bigger, last_number=number)
    return sound_case(sound(bigger, "The case"))


def add_fracture(case: Case, fracture: Fracture) -> Case:
    """Add a fracture under the next fracture id."""
    return add(case, fracture)


def add_wound(case: Case, wound: Wound) -> Case:
    """Add a mark on the skin under the next wound id."""
    return add(case, wound)


def add_injury(case: Case, injury: Injury) -> Case:
    """Add a zone of injury under the next injury id."""
    return add(case, injury)


def add_candidate(case: Case, candidate: Candidate) -> Case:
    """Add a candidate for later fixation under the next candidate id."""
    return add(case, candidate)


def add_pin(case: Case, pin: Pin) -> Case:
    """Add a pin under the next number; a number is never given twice (D17)."""
    return add(case, pin)


def add_bar(case: Case, bar: Bar) -> Case:
    """Add a bar under the next number."""
    return add(case, bar)


def add_support(case: Case, support: Support) -> Case:
    """Add a splint, foot bar or heel stand."""
    return add(case, support)


def replace(case: Case, record: Drawn) -> Case:
    """Put a changed record in the place of the one with its id."""
    return with_record(case, record)


def change(case: Case, id_: str, **fields: object) -> Case:
    """Change fields, given by name, of the thing with this id."""
    return with_record(case, _with(found(case, id_), id_, fields))


def change_case(case: Case, **fields: object) -> Case:
    """Change fields of the case itself: label, notes, joint angles (size: `set_size`)."""
    return sound_case(sound(_with(case, "The case", fields), "The case"))


def change_part(case: Case, id_: str, part: int, **fields: object) -> Case:
    """Change fields of one part (plate, nail, incision, outline) of a candidate."""
    candidate = found_as(case, id_, Candidate)
    if not 0 <= part < len(candidate.parts):
        raise EditError(f"{id_} has no part {part + 1}; it has {len(candidate.parts)}")
    changed: CorridorPart = _with(candidate.parts[part], id_, fields)
    parts = (*candidate.parts[:part], changed, *candidate.parts[part + 1 :])
    return with_record(case, with_fields(candidate, parts=parts))


def slide_pin(case: Case, pin_id: str, along_mm: float, across_mm: float = 0.0) -> Case:
    """Slide a pin distally, as far as its bone goes, and sideways across its own axis."""
    pin = found_as(case, pin_id, Pin)
    slid_mm = slide_within_mm(case, pin.bone, pin.level_mm, pin.level_mm, along_mm)
    level, offset = pin.level_mm + slid_mm, pin.offset_mm + across_mm
    return with_record(case, with_fields(pin, level_mm=level, offset_mm=offset))


def turn_pin(case: Case, pin_id: str, by_deg: float) -> Case:
    """Turn a pin's entry side; the bearing stays within 0 to 360 degrees."""
    pin = found_as(case, pin_id, Pin)
    return with_record(case, with_fields(pin, bearing_deg=(pin.bearing_deg + by_deg) % 360.0))


def tilt_pin(case: Case, pin_id: str, by_deg: float) -> Case:
    """Tilt a pin; + raises its outer end proximally."""
    pin = found_as(case, pin_id, Pin)
    return with_record(case, with_fields(pin, tilt_deg=pin.tilt_deg + by_deg))


def slide_bar(case: Case, bar_id: str, out_mm: float) -> Case:
    """Move a bar away from the skin at each pin that anchors it; negative: nearer."""
    bar = found_as(case, bar_id, Bar)
    first, second = (_further_out(anchor, out_mm) for anchor in bar.anchors)
    return with_record(case, with_fields(bar, anchors=(first, second)))


def accept(case: Case, acceptance: Acceptance) -> Case:
    """Keep a finding on purpose, with a reason; an earlier one for the same finding gives way."""
    kept = sound(acceptance, "The reason")
    others = _other_acceptances(case, kept.rule, kept.subjects)
    return sound(with_fields(case, acceptances=(*others, kept)), "The case")


def withdraw(case: Case, rule: str, subjects: tuple[str, ...]) -> Case:
    """Take back an acceptance. Raises EditError when there is none for that finding."""
    others = _other_acceptances(case, rule, subjects)
    if len(others) == len(case.acceptances):
        raise EditError(f"{rule} was not accepted for {', '.join(subjects)}; nothing to take back")
    return with_fields(case, acceptances=others)


def set_side(case: Case, side: Side) -> Case:
    """Say which limb it is; nothing else changes, for all else is stored alike for both (D12)."""
    return with_fields(case, side=side)


def mirrored(case: Case) -> Case:
    """The same plan for the other limb; a pelvis' bones of one side become those of the other."""
    other: dict[Side, Side] = {"right": "left", "left": "right", "both": "both"}
    changed = swapped(case) if limb_kind(case.limb).has_both_sides else case
    return set_side(changed, other[case.side])


def _with(record: AnyRecord, name: str, fields: dict[str, object]) -> AnyRecord:
    if "id" in fields or "number" in fields:
        raise EditError(
            f"{name}: an id or number cannot be changed; renumber from proximal instead"
        )
    try:
        return with_fields(record, **fields)
    except TypeError as problem:
        raise EditError(f"{name}: {problem}; change a field that it has") from problem


def _further_out(anchor: Anchor, out_mm: float) -> Anchor:
    if isinstance(anchor, PinAnchor):
        return with_fields(anchor, out_mm=anchor.out_mm + out_mm)
    return anchor


def _other_acceptances(case: Case, rule: str, subjects: tuple[str, ...]) -> tuple[Acceptance, ...]:
    return tuple(
        item for item in case.acceptances if (item.rule, item.subjects) != (rule, subjects)
    )
