"""The whole limb, small, in a card; a heavier frame marks the part that is drawn large."""

import functools

import numpy as np

from fixplan.limb.pose import Pose
from fixplan.sheet.box import Box
from fixplan.sheet.ink import (
    BONE_TINT,
    FAINT_INK,
    INK,
    LIMB_LAYER,
    SKIN_TINT,
    SMALL_MM,
    SOFT_INK,
)
from fixplan.sheet.scene import view_scene
from fixplan.sheet.shapes import AnyShape, Fill, Point, Polygon, Stroke, Text
from fixplan.sheet.views import ViewFrame, extent_of

OWNER = "key"
THINNING = 3
PAD_MM = 0.8
CARD = Stroke(FAINT_INK, 0.18)
PART = Stroke(INK, 0.35)


def _thinned(ring: list[Point]) -> tuple[Point, ...]:
    return tuple(ring[::THINNING])


def whole_limb_frame(pose: Pose, box: Box, turn: int) -> ViewFrame:
    """The front view of the whole limb, as large as the box allows."""
    rings = [
        pose.uv_of(name, "front", pose.limb.skin_outline(name, "front"))
        for name in pose.limb.segments
    ]
    extent = extent_of(map(tuple, np.concatenate(rings).tolist()))
    v_size = extent.v_to - extent.v_from
    scale = min(box.height / v_size, box.width / extent.u_size)
    middle = 0.5 * (extent.u_from + extent.u_to)
    x = box.x + 0.5 * box.width - turn * scale * middle
    origin = (x, box.y - scale * extent.v_from)
    return ViewFrame("front", box, scale, origin, turn, (box.x, box.right))


@functools.lru_cache(maxsize=16)
def key_shapes(
    pose: Pose, box: Box, turn: int, v_range: tuple[float, float]
) -> tuple[AnyShape, ...]:
    """The key: the limb's outline and its bones in a card, the drawn part framed."""
    caption = Box(box.x, box.y, box.width, 3.6)
    card = Box(box.x, caption.bottom, box.width, box.height - caption.height)
    inner = Box(card.x + PAD_MM, card.y + PAD_MM, card.width - 2 * PAD_MM, card.height - 2 * PAD_MM)
    frame = whole_limb_frame(pose, inner, turn)
    scene = view_scene(pose, frame)
    shapes: list[AnyShape] = [
        Polygon(owner=OWNER, layer=LIMB_LAYER, points=card.corners, stroke=CARD)
    ]
    edge = Stroke(FAINT_INK, 0.13)
    for name in pose.limb.segments:
        ring = scene.drawn(name, pose.limb.skin_outline(name, "front"))
        shapes.append(
            Polygon(
                owner=OWNER,
                layer=LIMB_LAYER,
                points=_thinned(ring),
                stroke=edge,
                fill=Fill(SKIN_TINT),
            )
        )
    for bone in pose.limb.bones.values():
        ring = scene.drawn(bone.segment, pose.limb.outline(bone.name, "front"))
        shapes.append(
            Polygon(
                owner=OWNER,
                layer=LIMB_LAYER,
                points=_thinned(ring),
                stroke=edge,
                fill=Fill(BONE_TINT),
            )
        )
    top = max(frame.point(0, v_range[0])[1], card.y)
    bottom = min(frame.point(0, v_range[1])[1], card.bottom)
    window = Box(box.x, top, box.width, bottom - top)
    shapes.append(Polygon(owner=OWNER, layer=LIMB_LAYER, points=window.corners, stroke=PART))
    shapes.append(
        Text(
            owner=OWNER,
            layer=LIMB_LAYER,
            at=(box.x, box.y + SMALL_MM),
            text="drawn part",
            size_mm=SMALL_MM,
            colour=SOFT_INK,
        )
    )
    return tuple(shapes)
