"""Moving whole things along and across the limb."""

from collections.abc import Callable, Mapping
from typing import NamedTuple, TypeVar

from msgspec.structs import replace

from fixplan.case.limbs import segment_of
from fixplan.case.meaning import Drawn
from fixplan.case.records import (
    Candidate,
    Case,
    CorridorPart,
    Fracture,
    FreeOutline,
    Incision,
    Injury,
    Nail,
    Pin,
    Plate,
    Support,
    Wound,
)
from fixplan.case.scalars import Band, Point, View
from fixplan.case.sound import found, with_record
from fixplan.case.within import slide_within_mm
from fixplan.errors import EditError
from fixplan.limb.reference import is_seen_from_above

Outline = tuple[Point, ...]
Levelled = TypeVar("Levelled", Fracture, Plate)
Paired = TypeVar("Paired", Injury, FreeOutline)


class Shift(NamedTuple):
    """How far the hand moved in one view: mm across (u) and down (v)."""

    view: View
    u_mm: float
    v_mm: float

    def along_mm(self, segment: str | None) -> float:
        """What of it runs along a segment's levels; none where the view looks along them."""
        from_above = segment is not None and is_seen_from_above(segment)
        return 0.0 if self.view == "front" and from_above else self.v_mm

    def in_view(self, view: View, segment: str) -> Point:
        """The same move as another view shows it: of two views, one direction is common."""
        if view == self.view:
            return (self.u_mm, self.v_mm)
        if not is_seen_from_above(segment):
            return (0.0, self.v_mm)
        return (self.v_mm, 0.0) if view == "side" else (0.0, self.u_mm)


def move(case: Case, id_: str, view: View, across_mm: float, along_mm: float) -> Case:
    """Move a thing by `across_mm` (u) and `along_mm` (v) in a view.

    An outline of the other view follows in the direction that both views show. What has levels only
    (fracture, plate, nail, splint, pin) moves along its segment, a fracture or pin as far as its
    bone goes; a pin's offset has `slide_pin`.
    Raises EditError for a bar or what hangs on one.
    """
    thing = found(case, id_)
    shift = Shift(view, across_mm, along_mm)
    if isinstance(thing, Candidate):
        parts = tuple(_shifted_part(case, part, shift) for part in thing.parts)
        return with_record(case, replace(thing, parts=parts))
    move_one = _DRAWN.get(type(thing))
    if move_one is None or (isinstance(thing, Support) and thing.kind != "splint"):
        raise EditError(f"{id_} follows what holds it; move that")
    return with_record(case, move_one(case, thing, shift))


def _shifted_part(case: Case, part: CorridorPart, shift: Shift) -> CorridorPart:
    return _PARTS[type(part)](case, part, shift)


def _shifted_levels(case: Case, thing: Levelled, shift: Shift) -> Levelled:
    along_mm = shift.along_mm(segment_of(case, thing.bone))
    if isinstance(thing, Fracture):
        along_mm = slide_within_mm(case, thing.bone, thing.from_mm, thing.to_mm, along_mm)
    return replace(thing, from_mm=thing.from_mm + along_mm, to_mm=thing.to_mm + along_mm)


def _shifted_splint(case: Case, splint: Support, shift: Shift) -> Support:
    del case
    along_mm = shift.along_mm(splint.segment)
    return replace(splint, from_mm=splint.from_mm + along_mm, to_mm=splint.to_mm + along_mm)


def _shifted_nail(case: Case, nail: Nail, shift: Shift) -> Nail:
    along_mm = shift.along_mm(segment_of(case, nail.bone))
    return replace(
        nail,
        from_mm=nail.from_mm + along_mm,
        to_mm=nail.to_mm + along_mm,
        entry_zone=_band(nail.entry_zone, along_mm),
        locking_zones=tuple(_band(zone, along_mm) for zone in nail.locking_zones),
    )


def _shifted_pin(case: Case, pin: Pin, shift: Shift) -> Pin:
    wanted_mm = shift.along_mm(segment_of(case, pin.bone))
    along_mm = slide_within_mm(case, pin.bone, pin.level_mm, pin.level_mm, wanted_mm)
    return replace(pin, level_mm=pin.level_mm + along_mm)


def _shifted_pair(case: Case, drawn: Paired, shift: Shift) -> Paired:
    del case
    return replace(
        drawn,
        front=_points(drawn.front, shift.in_view("front", drawn.segment)),
        side=_points(drawn.side, shift.in_view("side", drawn.segment)),
    )


def _shifted_wound(case: Case, wound: Wound, shift: Shift) -> Wound:
    del case
    by = shift.in_view(wound.view, wound.segment)
    return replace(wound, outline=_points(wound.outline, by), line=_points(wound.line, by))


def _shifted_incision(case: Case, incision: Incision, shift: Shift) -> Incision:
    del case
    by = shift.in_view(incision.view, incision.segment)
    return replace(incision, line=_points(incision.line, by))


_DRAWN: Mapping[type[Drawn], Callable[..., Drawn]] = {
    Fracture: _shifted_levels,
    Support: _shifted_splint,
    Pin: _shifted_pin,
    Injury: _shifted_pair,
    Wound: _shifted_wound,
}
_PARTS: Mapping[type[CorridorPart], Callable[..., CorridorPart]] = {
    Plate: _shifted_levels,
    Nail: _shifted_nail,
    FreeOutline: _shifted_pair,
    Incision: _shifted_incision,
}


def _points(outline: Outline, by: Point) -> Outline:
    return tuple((u + by[0], v + by[1]) for u, v in outline)


def _band(band: Band, along_mm: float) -> Band:
    return (band[0] + along_mm, band[1] + along_mm)
