"""The handles of the selected thing: where to take hold of its points and ends."""

from collections.abc import Iterator
from functools import singledispatch
from math import dist

import numpy as np
from numpy.typing import NDArray

from fixplan.case.records import (
    Bar,
    Candidate,
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
from fixplan.case.scalars import Outline, Record
from fixplan.desk.drawn import DrawnSheet
from fixplan.desk.held import anchor_at
from fixplan.desk.tools.base import Handle
from fixplan.geometry.paths import pin_path
from fixplan.sheet.views import ViewFrame

TURN_OUT_MM = 30.0
SEEN_END_ON = 0.3
ENDS = ("from_mm", "to_mm")


def handles_of(thing: Record | None, drawn: DrawnSheet) -> tuple[Handle, ...]:
    """Every handle of a thing, in both views."""
    return () if thing is None else tuple(_handles(thing, drawn, ""))


def middle_u_mm(outline: NDArray[np.float64], level_mm: float) -> float:
    """The middle, across the view, of a closed outline at a level."""
    us = outline[:, 0]
    after = np.roll(outline, -1, axis=0)
    crossing = (outline[:, 1] > level_mm) != (after[:, 1] > level_mm)
    if not crossing.any():
        return float(0.5 * (us.min() + us.max()))
    a, b = outline[crossing], after[crossing]
    found = a[:, 0] + (level_mm - a[:, 1]) * (b[:, 0] - a[:, 0]) / (b[:, 1] - a[:, 1])
    return float(0.5 * (found.min() + found.max()))


@singledispatch
def _handles(thing: Record, drawn: DrawnSheet, part: str) -> Iterator[Handle]:
    del thing, drawn, part
    yield from ()


@_handles.register
def _pin(pin: Pin, drawn: DrawnSheet, part: str) -> Iterator[Handle]:
    """One outside the skin to turn by, where the pin is not seen end on; the pin itself slides."""
    if pin.bone not in drawn.limb.bones:
        return
    path = pin_path(drawn.limb, pin)
    reach = path.skin_mm + TURN_OUT_MM
    for frame in drawn.views:
        aim, at = drawn.at_of(frame, path.segment, [path.point(0.0), path.point(reach)])
        if dist(aim, at) > SEEN_END_ON * reach * frame.scale:
            yield Handle(at, frame, "turn", part)


@_handles.register
def _bar(bar: Bar, drawn: DrawnSheet, part: str) -> Iterator[Handle]:
    """One at each anchor, in each view."""
    for frame in drawn.views:
        for index, anchor in enumerate(bar.anchors):
            yield Handle(anchor_at(drawn, frame, anchor), frame, "move", part or "anchors", index)


@_handles.register(Fracture)
@_handles.register(Plate)
@_handles.register(Nail)
def _range_on_bone(
    thing: Fracture | Plate | Nail, drawn: DrawnSheet, part: str
) -> Iterator[Handle]:
    bone = drawn.limb.bones.get(thing.bone)
    if bone is None:
        return
    for frame in drawn.views:
        outline = drawn.limb.outline(bone.name, frame.view)
        levels = (thing.from_mm, thing.to_mm)
        points = [(middle_u_mm(outline, level), level) for level in levels]
        for index, at in enumerate(drawn.at_in(frame, bone.segment, points)):
            yield Handle(at, frame, "move", part, index)


@_handles.register
def _splint(support: Support, drawn: DrawnSheet, part: str) -> Iterator[Handle]:
    if support.kind != "splint" or support.segment not in drawn.limb.segments:
        return
    frame = drawn.view_frame("side")
    outline = drawn.limb.skin_outline(support.segment, "side")
    points = [(float(outline[:, 0].min()), level) for level in (support.from_mm, support.to_mm)]
    for index, at in enumerate(drawn.at_in(frame, support.segment, points)):
        yield Handle(at, frame, "move", part, index)


@_handles.register
def _wound(wound: Wound, drawn: DrawnSheet, part: str) -> Iterator[Handle]:
    frame = drawn.view_frame(wound.view)
    yield from _points(drawn, frame, wound.segment, wound.outline, f"{part}outline")
    yield from _points(drawn, frame, wound.segment, wound.line, f"{part}line")


@_handles.register
def _incision(incision: Incision, drawn: DrawnSheet, part: str) -> Iterator[Handle]:
    frame = drawn.view_frame(incision.view)
    yield from _points(drawn, frame, incision.segment, incision.line, f"{part}line")


@_handles.register(Injury)
@_handles.register(FreeOutline)
def _outlines(region: Injury | FreeOutline, drawn: DrawnSheet, part: str) -> Iterator[Handle]:
    front, side = drawn.view_frame("front"), drawn.view_frame("side")
    yield from _points(drawn, front, region.segment, region.front, f"{part}front")
    yield from _points(drawn, side, region.segment, region.side, f"{part}side")


@_handles.register
def _candidate(candidate: Candidate, drawn: DrawnSheet, part: str) -> Iterator[Handle]:
    del part
    for index, piece in enumerate(candidate.parts):
        yield from _handles(piece, drawn, f"{index}:")


def _points(
    drawn: DrawnSheet, frame: ViewFrame, segment: str, points: Outline, part: str
) -> Iterator[Handle]:
    """Each point of an outline, and the middle of each edge, where a point can be added."""
    known = bool(points) and segment in drawn.limb.segments
    ats = drawn.at_in(frame, segment, points) if known else []
    for index, at in enumerate(ats):
        yield Handle(at, frame, "vertex", part, index)
    closes = not part.endswith("line")
    for index, (a, b) in enumerate(zip(ats, [*ats[1:], *ats[: 1 if closes else 0]], strict=False)):
        middle = (0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1]))
        yield Handle(middle, frame, "between", part, index)
