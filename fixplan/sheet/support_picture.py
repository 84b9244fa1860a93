"""Splint, foot bar and heel stand as plain symbols: what holds foot or heel beside the frame."""

import functools

import numpy as np

from fixplan.case.records import Support
from fixplan.case.scalars import SupportKind
from fixplan.frame.joining import BarPath
from fixplan.limb.anatomy import Limb
from fixplan.limb.kinds import limb_kind
from fixplan.sheet.box import box_round
from fixplan.sheet.clipping import spans_at
from fixplan.sheet.cutting import cut_outline
from fixplan.sheet.frame_picture import Held, segment_near
from fixplan.sheet.ink import INK, METAL, METAL_LIGHT, SMALL_MM, SUPPORT_LAYER
from fixplan.sheet.marks import plated_text
from fixplan.sheet.scene import ViewScene
from fixplan.sheet.shapes import AnyShape, Fill, Line, Point, Polygon, Stroke
from fixplan.sheet.strips import rod

SPLINT_STROKE = Stroke(INK, 0.25)
HIDDEN = Stroke(INK, 0.2, "dash")
SPLINT_MM = 8.0
OFF_SKIN_MM = 3.0
SHORT_MM = 14.0
BELOW_MM = 3.2


def _splint_side(scene: ViewScene, support: Support) -> list[Point]:
    """A strip along the posterior skin."""
    ring = [(u, v) for u, v in scene.limb.skin_outline(support.segment, "side").tolist()]
    inner, outer = [], []
    for level in np.linspace(support.from_mm, support.to_mm, 12).tolist():
        spans = spans_at(ring, level)
        if spans:
            back = spans[0][0] - OFF_SKIN_MM
            inner.append((back, level))
            outer.append((back - SPLINT_MM, level))
    return [*inner, *reversed(outer)]


def _splint_front(scene: ViewScene, support: Support) -> list[Point]:
    """The strip behind the limb, seen from the front."""
    ring = [(u, v) for u, v in scene.limb.skin_outline(support.segment, "front").tolist()]
    left, right = [], []
    for level in np.linspace(support.from_mm, support.to_mm, 12).tolist():
        spans = spans_at(ring, level)
        if spans:
            left.append((spans[0][0] + OFF_SKIN_MM, level))
            right.append((spans[-1][1] - OFF_SKIN_MM, level))
    return [*left, *reversed(right)]


def _splint(scene: ViewScene, support: Support) -> list[AnyShape]:
    is_side = scene.frame.view == "side"
    drawn = _splint_side(scene, support) if is_side else _splint_front(scene, support)
    if len(drawn) < 3:
        return []
    page = scene.drawn(support.segment, drawn)
    if is_side:
        return cut_outline(support.id, SUPPORT_LAYER, scene, page, SPLINT_STROKE, Fill(METAL_LIGHT))
    return cut_outline(support.id, SUPPORT_LAYER, scene, page, HIDDEN)


def _foot(limb: Limb) -> tuple[str, str]:
    """The segment of the heel and the one before it; empty where the limb has none."""
    row = limb_kind(limb.kind)
    heel, before, *_ = (*row.beyond(row.heel), "", "")
    return heel, before


def foot_target(limb: Limb, kind: SupportKind) -> tuple[str, Point] | None:
    """Where a foot bar or a heel stand ends in the side view, as (segment, drawn point).

    Before the forefoot, or behind and below the heel; None for a splint or a limb without foot.
    """
    heel_part, fore_part = _foot(limb)
    if kind == "splint" or not heel_part:
        return None
    skin = limb.skin_outline(heel_part, "side")
    if kind == "foot bar" and fore_part:
        return fore_part, _under_the_ball(limb, fore_part)
    heel, toes, sole = float(skin[:, 0].min()), float(skin[:, 0].max()), float(skin[:, 1].max())
    at = (0.72 * toes, sole + 6.0) if kind == "foot bar" else (heel - 12.0, 0.5 * sole)
    return heel_part, at


def _under_the_ball(limb: Limb, fore_part: str) -> Point:
    """Below the sole under the first metatarsal's head, in the forefoot's side view."""
    level = limb.segments[fore_part].to_mm
    ring = [(u, v) for u, v in limb.skin_outline(fore_part, "side").tolist()]
    return spans_at(ring, level)[0][0] - 8.0, level


def _front_target(limb: Limb, kind: SupportKind) -> tuple[str, Point] | None:
    """The same place in the front view, where the foot is seen from above."""
    heel_part, fore_part = _foot(limb)
    if kind == "splint" or not heel_part:
        return None
    if kind == "foot bar" and fore_part:
        ring = [(u, v) for u, v in limb.skin_outline(fore_part, "front").tolist()]
        middle = [0.5 * (a + b) for a, b in spans_at(ring, limb.segments[fore_part].to_mm)]
        return fore_part, (middle[0] if middle else 0.0, limb.segments[fore_part].to_mm)
    skin = limb.skin_outline(heel_part, "front")
    heel, toes = float(skin[:, 1].min()), float(skin[:, 1].max())
    return heel_part, (0.0, 0.72 * toes if kind == "foot bar" else heel - 8.0)


def _hung(scene: ViewScene, support: Support, path: BarPath, held: Held) -> list[AnyShape]:
    """A rod from the bar's lower end to the foot, with a crosspiece.

    In the front view it runs behind the heel or below the sole, and is dashed.
    """
    is_side = scene.frame.view == "side"
    target = (foot_target if is_side else _front_target)(scene.limb, support.kind)
    if target is None:
        return []
    lower = max(path.start_mm, path.end_mm, key=lambda point: point[2])
    along_mm = path.ends_along_mm[1] if lower == path.end_mm else path.ends_along_mm[0]
    (start,) = scene.posed(segment_near(held, along_mm), [lower])
    (end,) = scene.drawn(target[0], [target[1]])
    width = max(scene.frame.scale * 8.0, 0.9)
    cross = 14.0 * scene.frame.scale
    ends = ((end[0] - cross, end[1]), (end[0] + cross, end[1]))
    if not is_side:
        return [
            *cut_outline(support.id, SUPPORT_LAYER, scene, list(rod(start, end, width)), HIDDEN),
            *cut_outline(support.id, SUPPORT_LAYER, scene, list(rod(*ends, width)), HIDDEN),
        ]
    return [
        Polygon(
            owner=support.id,
            layer=SUPPORT_LAYER,
            points=rod(start, end, width),
            stroke=Stroke(INK, 0.2),
            fill=Fill(METAL_LIGHT),
        ),
        Line(
            owner=support.id,
            layer=SUPPORT_LAYER,
            points=ends,
            stroke=Stroke(METAL, max(width, 1.0)),
        ),
    ]


@functools.lru_cache(maxsize=128)
def draw_support(
    scene: ViewScene, support: Support, path: BarPath | None, held: Held
) -> tuple[AnyShape, ...]:
    """A support in one view."""
    shapes: list[AnyShape] = []
    if support.kind == "splint":
        if support.segment in scene.limb.segments and support.to_mm > support.from_mm:
            shapes += _splint(scene, support)
    elif path is not None:
        shapes += _hung(scene, support, path, held)
    return tuple(shapes)


@functools.lru_cache(maxsize=128)
def support_name(support: Support, shapes: tuple[AnyShape, ...]) -> tuple[AnyShape, ...]:
    """The name of a support by what is drawn of it; below it where it is short."""
    points = [p for shape in shapes if isinstance(shape, Polygon | Line) for p in shape.points]
    if not points:
        return ()
    around = box_round(points)
    x, y = around.x + 0.5 * around.width, around.y + 0.5 * around.height
    if max(around.width, around.height) < SHORT_MM:
        y = around.bottom + BELOW_MM
    return plated_text(f"{support.id}:label", (x, y), support.kind, SMALL_MM, INK, "centre")
