"""The schematic limb in one view: skin, bones, break lines, and the words at the view's edges."""

import functools

from fixplan.case.records import View
from fixplan.sheet.clipping import clipped_lines, clipped_ring, spans_at
from fixplan.sheet.ink import (
    BONE_TINT,
    INK,
    LIMB_LAYER,
    OUTLINE,
    SKIN,
    SKIN_INK,
    SKIN_TINT,
    SOFT_INK,
)
from fixplan.sheet.scene import ViewScene
from fixplan.sheet.shapes import AnyShape, Fill, Line, Point, Polygon, Stroke, Text

OWNER = "limb"
BREAK_TOOTH_MM = 1.6


def _skin_rings(scene: ViewScene) -> list[list[Point]]:
    """The skin of each segment on the page."""
    view = scene.frame.view
    return [scene.drawn(name, scene.limb.skin_outline(name, view)) for name in scene.limb.segments]


def _skins(scene: ViewScene) -> list[AnyShape]:
    """Outlines first, tints over them: where two segments meet, no line remains."""
    rings = _skin_rings(scene)
    box = scene.frame.box
    stroke = Stroke(SKIN.colour, 2 * SKIN.width_mm)
    shapes: list[AnyShape] = [
        Line(owner=OWNER, layer=LIMB_LAYER, points=tuple(piece), stroke=stroke)
        for ring in rings
        for piece in clipped_lines(ring, box)
    ]
    for ring in rings:
        inside = clipped_ring(ring, box)
        if inside:
            shapes.append(
                Polygon(
                    owner=OWNER,
                    layer=LIMB_LAYER,
                    points=tuple(inside),
                    stroke=None,
                    fill=Fill(SKIN_TINT),
                )
            )
    return shapes


def _depth(scene: ViewScene, bone: str) -> float:
    """How near to the viewer a bone lies: its middle along the line of sight."""
    other: View = "side" if scene.frame.view == "front" else "front"
    return float(scene.limb.outline(bone, other)[:, 0].mean())


def _bones(scene: ViewScene) -> list[AnyShape]:
    """Every bone, the farthest first; a cut bone has no line along the cut."""
    shapes: list[AnyShape] = []
    box = scene.frame.box
    for name in sorted(scene.limb.bones, key=lambda bone: _depth(scene, bone)):
        bone = scene.limb.bones[name]
        ring = scene.drawn(bone.segment, scene.limb.outline(name, scene.frame.view))
        inside = clipped_ring(ring, box)
        if not inside:
            continue
        shapes.append(
            Polygon(
                owner=OWNER,
                layer=LIMB_LAYER + 1,
                points=tuple(inside),
                stroke=None,
                fill=Fill(BONE_TINT),
            )
        )
        shapes += [
            Line(owner=OWNER, layer=LIMB_LAYER + 1, points=tuple(piece), stroke=OUTLINE)
            for piece in clipped_lines(ring, box)
        ]
    return shapes


def break_line(x_from: float, x_to: float, y: float) -> Line:
    """A thin line with one tooth: the limb goes on beyond it (ISO 128)."""
    middle, tooth = 0.5 * (x_from + x_to), BREAK_TOOTH_MM
    points = (
        (x_from - 2.0, y),
        (middle - tooth, y),
        (middle - 0.4 * tooth, y - tooth),
        (middle + 0.4 * tooth, y + tooth),
        (middle + tooth, y),
        (x_to + 2.0, y),
    )
    return Line(owner=OWNER, layer=LIMB_LAYER + 2, points=points, stroke=Stroke(SKIN_INK, 0.2))


def _breaks(scene: ViewScene) -> list[AnyShape]:
    """Break lines where the window cuts the skin above and below."""
    box = scene.frame.box
    shapes: list[AnyShape] = []
    rings = _skin_rings(scene)
    for y in (box.y, box.bottom):
        inner = y + (0.05 if y == box.y else -0.05)
        spans = [span for ring in rings for span in spans_at(ring, inner)]
        cut = any(
            min(p[1] for p in ring) < y - 0.2 < max(p[1] for p in ring) for ring in rings
        ) or any(min(p[1] for p in ring) < y + 0.2 < max(p[1] for p in ring) for ring in rings)
        if spans and cut:
            shapes.append(break_line(min(s[0] for s in spans), max(s[1] for s in spans), y))
    return shapes


@functools.lru_cache(maxsize=16)
def limb_shapes(scene: ViewScene) -> tuple[AnyShape, ...]:
    """The limb in one view."""
    return (*_skins(scene), *_bones(scene), *_breaks(scene))


VIEW_TITLES: dict[View, tuple[str, str]] = {
    "front": ("FRONT", "facing the patient"),
    "side": ("SIDE", "from the lateral side"),
}
EDGE_WORDS: dict[View, tuple[str, str]] = {
    "front": ("lateral", "medial"),
    "side": ("anterior", "posterior"),
}
"""The words at the edges where u grows, and where it falls."""


def edge_words(view: View, mirror: int) -> tuple[str, str]:
    """The words at the view's left and right edge on the page."""
    grows, falls = EDGE_WORDS[view]
    return (falls, grows) if mirror > 0 else (grows, falls)


@functools.lru_cache(maxsize=16)
def view_words(
    view: View, mirror: int, limits: tuple[float, float], y: float, size_mm: float
) -> tuple[AnyShape, ...]:
    """Title over a view, how it is seen, and the two words at its edges.

    `limits` are the left and right edge of what is drawn, `y` the baseline of the title.
    """
    title, seen = VIEW_TITLES[view]
    middle = 0.5 * (limits[0] + limits[1])
    left, right = edge_words(view, mirror)
    lower = y + 1.35 * size_mm
    texts = (
        (middle, y, title, "centre", True, INK, size_mm + 0.6),
        (middle, lower, seen, "centre", False, SOFT_INK, size_mm),
        (limits[0], lower + 1.5 * size_mm, left, "left", False, INK, size_mm),
        (limits[1], lower + 1.5 * size_mm, right, "right", False, INK, size_mm),
    )
    return tuple(
        Text(
            owner="view-words",
            layer=LIMB_LAYER,
            at=(x, level),
            text=text,
            size_mm=round(size, 1),
            bold=bold,
            italic=text in (left, right),
            colour=colour,
            align=align,  # type: ignore[arg-type]
        )
        for x, level, text, align, bold, colour, size in texts
    )


def drawn_limits(scene: ViewScene) -> tuple[float, float]:
    """Left and right edge of the limb inside its window, page mm."""
    box = scene.frame.box
    points = [p for ring in _skin_rings(scene) for p in clipped_ring(ring, box)]
    if not points:
        return box.x, box.right
    xs = [x for x, _ in points]
    return min(xs), max(xs)
