"""Regions that a trainee was asked to draw, beside the true ones."""

from collections.abc import Iterator, Sequence

from fixplan.case.limbs import limb_of_case
from fixplan.case.meaning import drawn_things
from fixplan.case.records import Candidate, Case, FreeOutline, Incision, Injury, Nail, Plate, Wound
from fixplan.case.scalars import Id, Outline, Record, View
from fixplan.errors import GeometryError
from fixplan.geometry.corridors import nail_outline, plate_outline
from fixplan.geometry.overlap import Overlap, band, overlap
from fixplan.limb.anatomy import Limb
from fixplan.teach.marks import Part
from fixplan.teach.records import Asked, AskedKind
from fixplan.teach.scheme import NONE, OverlapScheme, share_between

VIEWS: tuple[View, View] = ("front", "side")
Drawn = dict[tuple[str, View], list[Outline]]
"""Outlines by segment and view."""


def region_part(
    asked: Asked, truths: Sequence[Record], own: Sequence[Record], case: Case, given: OverlapScheme
) -> Part:
    """The part of a mark for one asked region: the truth that comes nearest counts.

    `own` are the things that the trainee drew; those of the asked kind count, all together.
    """
    limb = limb_of_case(case)
    drawn = outlines_of(limb, own, asked.kind)
    best = max(
        (one for truth in truths if (one := _compared(drawn, limb, truth, asked.kind))),
        key=lambda one: one.share,
        default=None,
    )
    return Part(
        id=f"region.{asked.id}",
        kind="region",
        words=asked.text,
        weight=asked.weight,
        credit=NONE if best is None else share_between(best.share, given.none, given.full),
        reason="Nothing was drawn." if best is None else overlap_words(best),
        measured=None if best is None else round(100 * best.share, 1),
        limit=100 * given.full,
        unit="%",
        subjects=tuple(str(getattr(one, "id", "")) for one in own),
    )


def overlap_words(found: Overlap) -> str:
    """An overlap in words."""
    return (
        f"{100 * found.share:.0f} % overlap (intersection over union), "
        f"{found.missed_mm2 / 100:.1f} cm² missed, {found.extra_mm2 / 100:.1f} cm² too much, "
        f"{found.largest_mm:.0f} mm at the worst place."
    )


def own_things(case: Case, given: Case) -> tuple[Record, ...]:
    """Regions in a trainee's case that were not given: by id and by what they hold."""
    known = set(drawn_things(given))
    drawn = (*case.wounds, *case.injuries, *case.candidates)
    return tuple(thing for thing in drawn if thing not in known)


def things_named(case: Case, ids: Sequence[Id]) -> tuple[Record, ...]:
    """Drawn things by their ids."""
    return tuple(thing for thing in drawn_things(case) if thing.id in ids)


def outlines_of(limb: Limb, things: Sequence[Record], kind: AskedKind) -> Drawn:
    """What things of one kind cover in each segment and view; nothing on a bone that is unknown."""
    found: Drawn = {}
    for segment, view, outline in _outlines(limb, things, kind):
        if len(outline) > 2:
            found.setdefault((segment, view), []).append(outline)
    return found


def _compared(drawn: Drawn, limb: Limb, truth: Record, kind: AskedKind) -> Overlap | None:
    """Overlap over the views in which the truth is drawn: shares averaged, areas added."""
    true = outlines_of(limb, (truth,), kind)
    if not drawn or not true:
        return None
    views = [_in_view(drawn.get(place, []), outlines) for place, outlines in true.items()]
    if all(one is None for one in views):
        return None
    known = [one for one in views if one is not None]
    return Overlap(
        share=sum(one.share for one in known) / len(views),
        missed_mm2=sum(one.missed_mm2 for one in known),
        extra_mm2=sum(one.extra_mm2 for one in known),
        largest_mm=max(one.largest_mm for one in known),
    )


def _in_view(drawn: list[Outline], true: list[Outline]) -> Overlap | None:
    """None where the trainee drew nothing in this view, or an outline that cannot be used."""
    try:
        return overlap(drawn, true) if drawn else None
    except GeometryError:
        return None


def _outlines(
    limb: Limb, things: Sequence[Record], kind: AskedKind
) -> Iterator[tuple[str, View, Outline]]:
    for thing in things:
        if isinstance(thing, Injury) and kind == "injury":
            yield from ((thing.segment, "front", thing.front), (thing.segment, "side", thing.side))
        elif isinstance(thing, Wound) and kind == "wound":
            line = band(thing.line, thing.half_width_mm) if thing.line else thing.outline
            yield thing.segment, thing.view, tuple(line)
        elif isinstance(thing, Candidate):
            for part in thing.parts:
                yield from _part_outlines(limb, part, kind)


def _part_outlines(
    limb: Limb, part: Record, kind: AskedKind
) -> Iterator[tuple[str, View, Outline]]:
    if isinstance(part, Nail | Plate):
        if kind == ("nail" if isinstance(part, Nail) else "plate") and part.bone in limb.bones:
            segment = limb.bones[part.bone].segment
            for view in VIEWS:
                ring = (
                    nail_outline(limb, part, view)
                    if isinstance(part, Nail)
                    else plate_outline(limb, part, view)
                )
                yield segment, view, tuple((float(u), float(v)) for u, v in ring)
    elif isinstance(part, Incision) and kind == "incision":
        yield part.segment, part.view, tuple(band(part.line, part.half_width_mm))
    elif isinstance(part, FreeOutline) and kind == "outline":
        yield from ((part.segment, "front", part.front), (part.segment, "side", part.side))
