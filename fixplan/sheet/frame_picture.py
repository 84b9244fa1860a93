"""Bars and clamps in one view; dashed where they run behind the limb."""

import functools
from collections.abc import Mapping
from typing import NamedTuple

from fixplan.case.records import Case
from fixplan.case.scalars import View
from fixplan.frame.joining import BarPath, Clamp, bar_paths
from fixplan.limb.pose import Pose
from fixplan.sheet.ink import BAR_LAYER, CLAMP_LAYER, INK, METAL, METAL_LIGHT, PAPER, SEVERITY_INK
from fixplan.sheet.scene import ViewScene, posed_plane
from fixplan.sheet.shapes import AnyShape, Disc, Fill, Line, Point, Polygon, Stroke
from fixplan.sheet.strips import block, distance, rod, unit_vector

CLAMP_MM = 22.0
"""Drawn length of a clamp, limb mm: a symbol, not a part."""

Held = tuple[tuple[float, str], ...]
"""Where along a bar which segment holds it: (mm along the bar, segment)."""


def held_segments(case: Case, pose: Pose) -> dict[str, Held]:
    """For each bar, the segments that hold it, from its pins or through the bars it holds on."""
    paths = bar_paths(case)
    bones = {pin.id: pin.bone for pin in case.pins}
    held: dict[str, Held] = {}
    for bar in paths:
        held[bar] = _held(bar, paths, bones, pose, ())
    return held


def _held(
    bar: str, paths: dict[str, BarPath], bones: dict[str, str], pose: Pose, seen: tuple[str, ...]
) -> Held:
    places: list[tuple[float, str]] = []
    for joint in paths[bar].joints:
        bone = bones.get(joint.other)
        if bone in pose.limb.bones:
            places.append((joint.along_mm, pose.limb.bones[bone].segment))
    for anchor_at, other in _bar_anchors(paths[bar]):
        if other in paths and other not in seen:
            beneath = _held(other, paths, bones, pose, (*seen, bar))
            if beneath:
                places.append((anchor_at, beneath[0][1]))
    return tuple(sorted(places)) or ((0.0, next(iter(pose.limb.segments))),)


def _bar_anchors(path: BarPath) -> list[tuple[float, str]]:
    return [(joint.along_mm, joint.other) for joint in path.joints if joint.other.startswith("bar")]


def segment_near(held: Held, along_mm: float) -> str:
    """The segment that holds a bar nearest to a place along it."""
    return min(held, key=lambda place: abs(place[0] - along_mm))[1]


def _is_behind(path: BarPath, view: str) -> bool:
    """Whether the bar's middle lies on the far side of the limb in this view."""
    axis = 1 if view == "front" else 0
    return path.start_mm[axis] + path.end_mm[axis] < 0


def _rod_shape(owner: str, a: Point, b: Point, width: float, behind: bool) -> AnyShape:
    stroke = Stroke(INK, 0.2, "dash" if behind else "solid")
    fill = Fill(PAPER if behind else METAL)
    if distance(a, b) < width:
        middle = (0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1]))
        return Disc(
            owner=owner,
            layer=BAR_LAYER,
            centre=middle,
            radius_mm=0.5 * width,
            stroke=stroke,
            fill=fill,
        )
    return Polygon(owner=owner, layer=BAR_LAYER, points=rod(a, b, width), stroke=stroke, fill=fill)


@functools.lru_cache(maxsize=2048)
def bar_ends(pose: Pose, view: View, path: BarPath, held: Held) -> tuple[Point, Point]:
    """Both ends of a bar in a view, as (u, v) mm.

    Each of its outermost joints is put where its segment is drawn, so that a bar between two
    segments meets its clamps; beyond them the bar goes on straight.
    """
    places = sorted(joint.along_mm for joint in path.joints)
    first, last = places[0], places[-1]
    a, b = (
        posed_plane(pose, view, segment_near(held, at)).at(*path.at(at)) for at in (first, last)
    )
    low, high = path.ends_along_mm
    share = 1.0 / (last - first)
    run = (share * (b[0] - a[0]), share * (b[1] - a[1]))
    before, beyond = first - low, high - last
    return (
        (a[0] - before * run[0], a[1] - before * run[1]),
        (b[0] + beyond * run[0], b[1] + beyond * run[1]),
    )


class BarDrawn(NamedTuple):
    """A bar in one view, and its clamps by id."""

    bar: tuple[AnyShape, ...]
    clamps: Mapping[str, tuple[AnyShape, ...]]


@functools.lru_cache(maxsize=1024)
def draw_bar(scene: ViewScene, path: BarPath, held: Held) -> BarDrawn:
    """A bar with its clamps in one view."""
    clamps = {joint.id: _clamp(scene, path, joint, held) for joint in path.joints}
    return BarDrawn(_bar(scene, path, held), clamps)


def _bar(scene: ViewScene, path: BarPath, held: Held) -> tuple[AnyShape, ...]:
    a, b = (scene.frame.point(*end) for end in bar_ends(scene.pose, scene.frame.view, path, held))
    width = max(scene.frame.scale * path.bar.diameter_mm, 1.2)
    behind = _is_behind(path, scene.frame.view)
    body = _rod_shape(path.bar.id, a, b, width, behind)
    if behind:
        return (body,)
    gleam = Line(
        owner=path.bar.id, layer=BAR_LAYER, points=(a, b), stroke=Stroke(METAL_LIGHT, 0.18 * width)
    )
    return (body, gleam)


def _clamp(scene: ViewScene, path: BarPath, clamp: Clamp, held: Held) -> tuple[AnyShape, ...]:
    """A clamp in one view, lying between the two things that it joins."""
    segment = segment_near(held, clamp.along_mm)
    ahead = path.at(clamp.along_mm + 10.0)
    on_bar, on_other, further = scene.posed(segment, [clamp.at_bar_mm, clamp.at_other_mm, ahead])
    centre = (0.5 * (on_bar[0] + on_other[0]), 0.5 * (on_bar[1] + on_other[1]))
    across = distance(on_bar, on_other) + scene.frame.scale * path.bar.diameter_mm
    length = max(scene.frame.scale * CLAMP_MM * 0.7, 2.2)
    ink = INK if clamp.reaches else SEVERITY_INK["stop"]
    stroke = Stroke(ink, 0.22 if clamp.reaches else 0.35, "solid" if clamp.reaches else "dash")
    shape = Polygon(
        owner=clamp.id,
        layer=CLAMP_LAYER,
        points=block(centre, unit_vector(on_bar, further), length, max(across + 0.8, 2.2)),
        stroke=stroke,
        fill=Fill(METAL_LIGHT),
    )
    screw = Disc(
        owner=clamp.id,
        layer=CLAMP_LAYER,
        centre=centre,
        radius_mm=0.45,
        stroke=Stroke(ink, 0.18),
        fill=Fill(PAPER),
    )
    return (shape, screw)
