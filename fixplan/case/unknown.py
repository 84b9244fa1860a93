"""Bones and segments that a case names and its limb does not have: kept, and told."""

from collections.abc import Iterator

from fixplan.case.records import Case, Nail, Plate
from fixplan.limb.anatomy import Limb


def unknown_ids(case: Case, limb: Limb) -> tuple[str, ...]:
    """One clause for each thing that stands on a bone or segment the limb does not have."""
    bones = (
        f"{name} is on the bone {bone}, which the {limb.kind} does not have"
        for name, bone in _bones(case)
        if bone not in limb.bones
    )
    segments = (
        f"{name} is on the segment {segment}, which the {limb.kind} does not have"
        for name, segment in _segments(case)
        if segment not in limb.segments
    )
    return (*bones, *segments)


def _bones(case: Case) -> Iterator[tuple[str, str]]:
    yield from ((f"size.bones[{index}]", one.bone) for index, one in enumerate(case.size.bones))
    yield from ((fracture.id, fracture.bone) for fracture in case.fractures)
    yield from ((pin.id, pin.bone) for pin in case.pins)
    for candidate in case.candidates:
        for part in candidate.parts:
            if isinstance(part, Plate | Nail):
                yield candidate.id, part.bone


def _segments(case: Case) -> Iterator[tuple[str, str]]:
    for index, girth in enumerate(case.size.girths):
        yield f"size.girths[{index}]", girth.segment
    yield from ((wound.id, wound.segment) for wound in case.wounds)
    yield from ((injury.id, injury.segment) for injury in case.injuries)
    yield from ((support.id, support.segment) for support in case.supports)
    for candidate in case.candidates:
        for part in candidate.parts:
            if not isinstance(part, Plate | Nail):
                yield candidate.id, part.segment
