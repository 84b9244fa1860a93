"""Moving whole things along and across the limb."""

from functools import singledispatch

from msgspec.structs import replace

from fixplan.case.meaning import Drawn
from fixplan.case.records import (
    Band,
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
    Point,
    Record,
    Support,
    View,
    Wound,
)
from fixplan.case.sound import found, with_record
from fixplan.errors import EditError

Outline = tuple[Point, ...]


def move(case: Case, id_: str, view: View, across_mm: float, along_mm: float) -> Case:
    """Move a thing by `across_mm` in a view (u) and `along_mm` distally (v).

    An outline of the other view moves along with it, not across. A pin slides along its bone only:
    across is its offset, which needs its bearing (`slide_pin`). Raises EditError for a bar, which
    follows its pins.
    """
    return with_record(case, shifted(found(case, id_), view, across_mm, along_mm))


def shifted(thing: Drawn, view: View, across_mm: float, along_mm: float) -> Drawn:
    """The thing moved as `move` says. Raises EditError for a bar."""
    moved = _shifted(thing, view, across_mm, along_mm)
    if not isinstance(moved, Drawn):
        raise EditError(f"{thing.id} cannot be moved by itself; move what holds it")
    return moved


@singledispatch
def _shifted(record: Record, view: View, across_mm: float, along_mm: float) -> Record:
    del view, across_mm, along_mm
    name = getattr(record, "id", "This")
    raise EditError(f"{name} follows the pins that hold it; move those")


@_shifted.register(Fracture)
@_shifted.register(Support)
@_shifted.register(Plate)
def _shifted_range(
    record: Fracture | Support | Plate, view: View, across_mm: float, along_mm: float
) -> Record:
    del view, across_mm
    return replace(record, from_mm=record.from_mm + along_mm, to_mm=record.to_mm + along_mm)


@_shifted.register
def _shifted_nail(record: Nail, view: View, across_mm: float, along_mm: float) -> Nail:
    del view, across_mm
    return replace(
        record,
        from_mm=record.from_mm + along_mm,
        to_mm=record.to_mm + along_mm,
        entry_zone=_band(record.entry_zone, along_mm),
        locking_zones=tuple(_band(zone, along_mm) for zone in record.locking_zones),
    )


@_shifted.register
def _shifted_pin(record: Pin, view: View, across_mm: float, along_mm: float) -> Pin:
    del view, across_mm
    return replace(record, level_mm=record.level_mm + along_mm)


@_shifted.register(Injury)
@_shifted.register(FreeOutline)
def _shifted_pair(
    record: Injury | FreeOutline, view: View, across_mm: float, along_mm: float
) -> Record:
    front = across_mm if view == "front" else 0.0
    side = across_mm if view == "side" else 0.0
    return replace(
        record,
        front=_points(record.front, front, along_mm),
        side=_points(record.side, side, along_mm),
    )


@_shifted.register
def _shifted_wound(record: Wound, view: View, across_mm: float, along_mm: float) -> Wound:
    across = across_mm if view == record.view else 0.0
    return replace(
        record,
        outline=_points(record.outline, across, along_mm),
        line=_points(record.line, across, along_mm),
    )


@_shifted.register
def _shifted_incision(record: Incision, view: View, across_mm: float, along_mm: float) -> Incision:
    across = across_mm if view == record.view else 0.0
    return replace(record, line=_points(record.line, across, along_mm))


@_shifted.register
def _shifted_candidate(
    record: Candidate, view: View, across_mm: float, along_mm: float
) -> Candidate:
    parts = tuple(_part(part, view, across_mm, along_mm) for part in record.parts)
    return replace(record, parts=parts)


def _part(part: CorridorPart, view: View, across_mm: float, along_mm: float) -> CorridorPart:
    moved = _shifted(part, view, across_mm, along_mm)
    if not isinstance(moved, CorridorPart):
        raise EditError("this part of the later fixation cannot be moved; draw it anew")
    return moved


def _points(outline: Outline, across_mm: float, along_mm: float) -> Outline:
    return tuple((u + across_mm, v + along_mm) for u, v in outline)


def _band(band: Band, along_mm: float) -> Band:
    return (band[0] + along_mm, band[1] + along_mm)
