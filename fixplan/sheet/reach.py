"""How far everything drawn reaches in a view: what the drawing's window must hold, in (u, v) mm."""

import functools
from collections.abc import Iterable, Iterator

import numpy as np

from fixplan.case.records import Candidate, Fracture, Injury, Nail, Pin, Plate, Support, Wound
from fixplan.case.ring_records import RingInjury
from fixplan.case.rings import CREST, HALVES, torn_joints
from fixplan.case.scalars import View
from fixplan.checks.scene import default_margin_mm
from fixplan.geometry.paths import pin_path
from fixplan.limb.anatomy import Limb
from fixplan.limb.pose import Pose
from fixplan.sheet.pin_picture import ends_of
from fixplan.sheet.scene import shows_levels, view_plane
from fixplan.sheet.shapes import Point
from fixplan.sheet.support_picture import foot_target

Region = Fracture | Wound | Injury | Candidate | Support
Placed = Iterator[tuple[str, Point]]
"""Points as (segment, drawn point)."""


@functools.lru_cache(maxsize=4096)
def pin_reach(pose: Pose, pin: Pin, length_mm: float, view: View) -> tuple[Point, ...]:
    """Both ends of a pin, the outer one first."""
    path = pin_path(pose.limb, pin)
    ends = ends_of(path, length_mm)
    plane = view_plane(pose, view, path.segment)
    return tuple(plane.at(*path.point(end).tolist()) for end in (ends.outer_mm, ends.inner_mm))


def margin_of(injury: Injury) -> float:
    """An injury's margin as typed, else the default of its segment, mm."""
    return default_margin_mm(injury.segment) if injury.margin_mm is None else injury.margin_mm


def _levels(limb: Limb, segment: str, levels: Iterable[float], view: View) -> Placed:
    if segment in limb.segments and shows_levels(limb, segment, view):
        for level in levels:
            yield segment, (0.0, level)


def _fracture(limb: Limb, fracture: Fracture, view: View) -> Placed:
    if fracture.bone in limb.bones:
        segment = limb.bones[fracture.bone].segment
        yield from _levels(limb, segment, (fracture.from_mm, fracture.to_mm), view)


def _injury(limb: Limb, injury: Injury, view: View) -> Placed:
    own, other = injury.front, injury.side
    if view == "side":
        own, other = other, own
    margin = margin_of(injury)
    for shift in (-margin, margin):
        yield from ((injury.segment, (u + shift, v + shift)) for u, v in own)
        if not own:
            yield from _levels(limb, injury.segment, [v + shift for _, v in other], view)


def _wound(limb: Limb, wound: Wound, view: View) -> Placed:
    points = wound.outline or wound.line
    if wound.view == view:
        yield from ((wound.segment, point) for point in points)
    else:
        yield from _levels(limb, wound.segment, [v for _, v in points], view)


def _candidate(limb: Limb, candidate: Candidate, view: View) -> Placed:
    for part in candidate.parts:
        if isinstance(part, Plate | Nail) and part.bone in limb.bones:
            segment = limb.bones[part.bone].segment
            yield from _levels(limb, segment, (part.from_mm, part.to_mm), view)


def _support(limb: Limb, support: Support, view: View) -> Placed:
    foot = foot_target(limb, support.kind)
    if foot is not None and view == "side":
        yield foot
    if support.kind == "splint":
        yield from _levels(limb, support.segment, (support.from_mm, support.to_mm), view)


def _placed(limb: Limb, thing: Region, view: View) -> Placed:
    if isinstance(thing, Fracture):
        return _fracture(limb, thing, view)
    if isinstance(thing, Injury):
        return _injury(limb, thing, view)
    if isinstance(thing, Wound):
        return _wound(limb, thing, view)
    if isinstance(thing, Candidate):
        return _candidate(limb, thing, view)
    return _support(limb, thing, view)


@functools.lru_cache(maxsize=64)
def ring_reach(pose: Pose, ring: RingInjury, view: View) -> tuple[Point, ...]:
    """The crests and both ends of each torn joint of a pelvic ring."""
    torn = [end for pair in torn_joints(ring) for end in pair]
    crests = [f"{CREST}_{half}" for half in HALVES] if torn else []
    marks = [pose.limb.landmark(name) for name in (*crests, *torn)]
    found: list[Point] = []
    for mark in marks:
        at = np.array([[mark.x_mm if view == "front" else mark.y_mm, mark.level_mm]])
        found += [(float(u), float(v)) for u, v in pose.uv_of(mark.segment, view, at).tolist()]
    return tuple(found)


@functools.lru_cache(maxsize=512)
def region_reach(pose: Pose, thing: Region, view: View) -> tuple[Point, ...]:
    """Points of a region that the window must hold; empty where its segment is not known."""
    return tuple(
        (float(u), float(v))
        for segment, point in _placed(pose.limb, thing, view)
        if segment in pose.limb.segments
        for u, v in pose.uv_of(segment, view, np.array([point])).tolist()
    )
