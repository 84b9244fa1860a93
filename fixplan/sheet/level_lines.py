"""Landmarks on the page: which distances are told from them, and the imaged joint lines."""

import functools
from collections.abc import Sequence

import numpy as np

from fixplan.case.records import Pin
from fixplan.checks.texts import number
from fixplan.frame.pin_words import edge_of, told_level_mm
from fixplan.geometry.paths import pin_path
from fixplan.limb.anatomy import Landmark
from fixplan.limb.words import level_landmark
from fixplan.sheet.clipping import spans_at
from fixplan.sheet.dimensions import Measured, Running
from fixplan.sheet.ink import FAINT_INK, LANDMARK_LAYER
from fixplan.sheet.scene import ViewScene
from fixplan.sheet.shapes import AnyShape, Line, Point, Stroke

OWNER = "level-lines"
JOINT_LINE = Stroke(FAINT_INK, 0.18, "dash-dot")
BEYOND_MM = 2.0


def _page_point(scene: ViewScene, mark: Landmark) -> Point:
    (at,) = scene.solid(mark.segment, [np.array([mark.x_mm, mark.y_mm, mark.level_mm])])
    return at


def _in_window(scene: ViewScene, at: Point) -> bool:
    box = scene.frame.box
    return box.y <= at[1] <= box.bottom


@functools.lru_cache(maxsize=2048)
def _measured(scene: ViewScene, pin: Pin) -> tuple[str, Measured] | None:
    """A pin's distance from the landmark that its level is told from; None for one on an edge."""
    bone = scene.limb.bones[pin.bone]
    path = pin_path(scene.limb, pin)
    level_mm = told_level_mm(path)
    mark = level_landmark(scene.limb, bone.segment, level_mm, pin.bone)
    on_edge = edge_of(scene.limb, pin) is not None
    if mark is None or on_edge or not scene.shows_levels(bone.segment):
        return None
    point = path.near_point_mm if bone.is_plate else np.array([*path.target_mm, pin.level_mm])
    (at,) = scene.solid(bone.segment, [point])
    return mark.id, Measured(at, number(abs(level_mm - mark.level_mm)))


def runs_of(scene: ViewScene, pins: Sequence[Pin]) -> tuple[Running, ...]:
    """The distances of all pins, by the landmark they are told from, from proximal."""
    found: dict[str, list[Measured]] = {}
    for pin in pins:
        told = _measured(scene, pin)
        if told is not None:
            found.setdefault(told[0], []).append(told[1])
    runs = []
    for name, measured in found.items():
        mark = scene.limb.landmark(name)
        ordered = tuple(sorted(measured, key=lambda one: one.at[1]))
        runs.append(Running(mark.name, _page_point(scene, mark), ordered))
    return tuple(sorted(runs, key=lambda run: run.at[1]))


def _joint_lines(scene: ViewScene) -> list[Landmark]:
    """Imaged joint lines that this view can show."""
    return [
        mark
        for mark in scene.limb.landmarks
        if mark.name.endswith("joint line") and scene.shows_levels(mark.segment)
    ]


@functools.lru_cache(maxsize=32)
def joint_names(scene: ViewScene) -> tuple[Running, ...]:
    """The imaged lines in the window, as names without distances."""
    named = [(mark.name, _page_point(scene, mark)) for mark in _joint_lines(scene)]
    return tuple(Running(f"{name} (imaged)", at, ()) for name, at in named if _in_window(scene, at))


@functools.lru_cache(maxsize=32)
def level_lines(scenes: tuple[ViewScene, ...]) -> tuple[AnyShape, ...]:
    """A fine line across the limb at each imaged joint line, in both views."""
    shapes: list[AnyShape] = []
    for scene in scenes:
        for mark in _joint_lines(scene):
            skin = scene.limb.skin_outline(mark.segment, scene.frame.view)
            ring = [(u, v) for u, v in skin.tolist()]
            inward = min(
                max(mark.level_mm, min(v for _, v in ring) + 0.5), max(v for _, v in ring) - 0.5
            )
            spans = spans_at(ring, inward)
            if not spans:
                continue
            ends = [
                (spans[0][0] - BEYOND_MM, mark.level_mm),
                (spans[-1][1] + BEYOND_MM, mark.level_mm),
            ]
            page = scene.drawn(mark.segment, ends)
            if all(_in_window(scene, at) for at in page):
                shapes.append(
                    Line(owner=OWNER, layer=LANDMARK_LAYER, points=tuple(page), stroke=JOINT_LINE)
                )
    return tuple(shapes)
