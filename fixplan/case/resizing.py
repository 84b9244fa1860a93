"""Another limb size: levels scale along, outlines and corridors across, in one edit (D11)."""

from typing import TypeVar

from msgspec.structs import replace

from fixplan.case.limb_growth import LimbGrowth
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import (
    Anchor,
    Bar,
    BarAnchor,
    Candidate,
    Case,
    CorridorPart,
    Fracture,
    FreeOutline,
    LimbSize,
    Nail,
    Pin,
    Plate,
    Support,
    Wound,
)
from fixplan.case.scalars import Band, Point, View
from fixplan.case.sound import sound, sound_case

Outline = tuple[Point, ...]
AnyRange = TypeVar("AnyRange", Fracture, Support, Plate, Nail)


def set_size(case: Case, size: LimbSize, *, keep_mm: bool = False) -> Case:
    """Give the limb another size; what is drawn keeps its place on the limb.

    Levels scale with their segment's length, outlines across with its skin, corridors and a pin's
    offset with their bone. Diameters, lengths, margins, half-widths and thicknesses stay. With
    `keep_mm` nothing that is drawn changes. Raises EditError when a value would leave its bounds.
    """
    resized = sound(replace(case, size=sound(size, "The size")), "The case")
    before, after = limb_of_case(case), limb_of_case(resized)
    if keep_mm or before is after:
        return resized
    growth = LimbGrowth(before, after)
    return sound_case(sound(_grown(resized, growth), "The case"))


def _grown(case: Case, growth: LimbGrowth) -> Case:
    return replace(
        case,
        fractures=tuple(_grown_range(one, growth.along_bone(one.bone)) for one in case.fractures),
        wounds=tuple(_grown_wound(one, growth) for one in case.wounds),
        injuries=tuple(
            replace(
                one,
                front=_grown_outline(one.front, one.segment, "front", growth),
                side=_grown_outline(one.side, one.segment, "side", growth),
            )
            for one in case.injuries
        ),
        candidates=tuple(_grown_candidate(one, growth) for one in case.candidates),
        pins=tuple(_grown_pin(one, growth) for one in case.pins),
        bars=tuple(_grown_bar(one, case, growth) for one in case.bars),
        supports=tuple(_grown_range(one, growth.along(one.segment)) for one in case.supports),
    )


def _grown_range(record: AnyRange, along: float) -> AnyRange:
    return replace(record, from_mm=record.from_mm * along, to_mm=record.to_mm * along)


def _grown_wound(wound: Wound, growth: LimbGrowth) -> Wound:
    return replace(
        wound,
        outline=_grown_outline(wound.outline, wound.segment, wound.view, growth),
        line=_grown_outline(wound.line, wound.segment, wound.view, growth),
    )


def _grown_pin(pin: Pin, growth: LimbGrowth) -> Pin:
    across = growth.bone(pin.bone)
    level_mm = pin.level_mm * growth.along_bone(pin.bone)
    return replace(pin, level_mm=level_mm, offset_mm=pin.offset_mm * across)


def _grown_candidate(candidate: Candidate, growth: LimbGrowth) -> Candidate:
    return replace(candidate, parts=tuple(_grown_part(part, growth) for part in candidate.parts))


def _grown_part(part: CorridorPart, growth: LimbGrowth) -> CorridorPart:
    if isinstance(part, Plate):
        return replace(
            _grown_range(part, growth.along_bone(part.bone)),
            width_mm=part.width_mm * growth.bone(part.bone),
        )
    if isinstance(part, Nail):
        return _grown_nail(part, growth)
    if isinstance(part, FreeOutline):
        return replace(
            part,
            front=_grown_outline(part.front, part.segment, "front", growth),
            side=_grown_outline(part.side, part.segment, "side", growth),
        )
    return replace(part, line=_grown_outline(part.line, part.segment, part.view, growth))


def _grown_nail(nail: Nail, growth: LimbGrowth) -> Nail:
    along = growth.along_bone(nail.bone)
    return replace(
        _grown_range(nail, along),
        width_mm=nail.width_mm * growth.bone(nail.bone),
        entry_zone=_grown_band(nail.entry_zone, along),
        locking_zones=tuple(_grown_band(zone, along) for zone in nail.locking_zones),
    )


def _grown_band(band: Band, along: float) -> Band:
    return (band[0] * along, band[1] * along)


def _grown_outline(outline: Outline, segment: str, view: View, growth: LimbGrowth) -> Outline:
    if not outline:
        return outline
    across, down = growth.skin(segment), growth.down_view(segment, view)
    return tuple((u * across, v * down) for u, v in outline)


def _grown_bar(bar: Bar, case: Case, growth: LimbGrowth) -> Bar:
    """A link's place along another bar moves with the pins that hold that bar."""
    first, second = (_grown_anchor(anchor, case, growth) for anchor in bar.anchors)
    return replace(bar, anchors=(first, second))


def _grown_anchor(anchor: Anchor, case: Case, growth: LimbGrowth) -> Anchor:
    if isinstance(anchor, BarAnchor):
        return replace(anchor, at_mm=anchor.at_mm * growth.along_bone(_bone_under(anchor, case)))
    return anchor


def _bone_under(anchor: BarAnchor, case: Case) -> str:
    """The bone of the first pin found beneath a bar."""
    bars = {bar.id: bar for bar in case.bars}
    under: Anchor = anchor
    while isinstance(under, BarAnchor):
        under = bars[under.bar].anchors[0]
    held = under.pin
    return next(pin.bone for pin in case.pins if pin.id == held)
