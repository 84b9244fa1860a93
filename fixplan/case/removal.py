"""Taking a thing out of the case, with whatever cannot stand without it."""

from msgspec.structs import replace

from fixplan.case.care_edits import forgetting_drawn
from fixplan.case.meaning import drawn_things
from fixplan.case.naming import names_any, removed_pin, retired_with
from fixplan.case.records import Anchor, Bar, BarAnchor, Case, PinAnchor
from fixplan.case.sound import found, sound_case
from fixplan.case.trip_records import Course


def removed_with(case: Case, id_: str) -> tuple[str, ...]:
    """The ids that go when this thing goes: itself first, then bars and supports left hanging.

    Raises EditError when the thing is not in the case.
    """
    found(case, id_)
    gone = {id_}
    while True:
        bars = {bar.id for bar in case.bars if _held_without(bar, gone) is None}
        hanging = {support.id for support in case.supports if support.bar in gone}
        if (bars | hanging) <= gone:
            break
        gone |= bars | hanging
    others = [thing.id for thing in drawn_things(case) if thing.id in gone and thing.id != id_]
    return (id_, *others)


def remove(case: Case, id_: str) -> Case:
    """The case without this thing and what hung on it alone (see `removed_with`).

    A bar that loses a pin takes hold of the next one it carries; acceptances die with their
    subject (D18); the ids are never given again.
    """
    gone = set(removed_with(case, id_))
    bars = (_held_without(bar, gone) for bar in case.bars if bar.id not in gone)
    kept = replace(
        forgetting_drawn(case, gone),
        fractures=tuple(thing for thing in case.fractures if thing.id not in gone),
        wounds=tuple(thing for thing in case.wounds if thing.id not in gone),
        injuries=tuple(thing for thing in case.injuries if thing.id not in gone),
        candidates=tuple(thing for thing in case.candidates if thing.id not in gone),
        pins=tuple(pin for pin in case.pins if pin.id not in gone),
        bars=tuple(bar for bar in bars if bar is not None),
        supports=tuple(support for support in case.supports if support.id not in gone),
        acceptances=tuple(
            accepted
            for accepted in case.acceptances
            if not any(names_any(subject, gone) for subject in accepted.subjects)
        ),
        pins_on_films=tuple(one for one in case.pins_on_films if one.pin not in gone),
        course=_course_without(case, gone),
        retired=retired_with(case, gone),
    )
    return sound_case(kept)


def _course_without(case: Case, gone: set[str]) -> Course:
    """The course once these things are gone: the log keeps its entries, under another name."""
    course = case.course
    fixation = None if course.fixation in gone else course.fixation
    sites = tuple(
        replace(site, pin=removed_pin(site.pin)) if site.pin in gone else site
        for site in course.pin_sites
    )
    return replace(course, fixation=fixation, pin_sites=sites)


def _held_without(bar: Bar, gone: set[str]) -> Bar | None:
    """The bar once these things are gone: held by another of its pins, or None if it must go."""
    if bar.id in gone:
        return None
    also = tuple(pin for pin in bar.also if pin not in gone)
    anchors: list[Anchor] = []
    for anchor in bar.anchors:
        if _holder(anchor) not in gone:
            anchors.append(anchor)
        elif isinstance(anchor, PinAnchor) and also:
            anchors.append(PinAnchor(pin=also[0], out_mm=anchor.out_mm))
            also = also[1:]
        else:
            return None
    return replace(bar, anchors=(anchors[0], anchors[1]), also=also)


def _holder(anchor: Anchor) -> str:
    return anchor.bar if isinstance(anchor, BarAnchor) else anchor.pin
