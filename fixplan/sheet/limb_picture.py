"""The schematic limb in one view: skin, bones, break lines, and the words at the view's edges."""

import functools
from collections.abc import Iterator, Sequence
from math import inf
from typing import NamedTuple

from fixplan.case.scalars import View
from fixplan.limb.silhouettes import skin_rings
from fixplan.limb.words import QUARTERS
from fixplan.sheet.clipping import clipped_lines, clipped_ring, spans_at
from fixplan.sheet.fonts import text_width_mm
from fixplan.sheet.ink import (
    BONE_TINT,
    LIMB_LAYER,
    OUTLINE,
    SKIN,
    SKIN_INK,
    SKIN_TINT,
    SMALL_MM,
    SOFT_INK,
)
from fixplan.sheet.scene import ViewScene
from fixplan.sheet.shapes import AnyShape, Fill, Line, Point, Polygon, Stroke, Text

OWNER = "limb"
BREAK_TOOTH_MM = 1.6
LEAST_SHOWN_MM = 8.0
EDGE_SHARE = 0.25
"""A part that takes less of a view's height than this has no word at its edges."""
ROOM_MM = 4.0
APART_MM = 3.0
"""Free beside a remark between the words at a view's edges."""


@functools.lru_cache(maxsize=16)
def _skin_rings(scene: ViewScene) -> list[list[Point]]:
    """The skin of each segment on the page, and what bridges the knee."""
    return [scene.frame.to_page(ring) for ring in skin_rings(scene.pose, scene.frame.view)]


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
    """A break line at the upper and the lower end of what is drawn, where the limb goes on."""
    box, rings = scene.frame.box, _skin_rings(scene)
    levels = [y for ring in rings for _, y in ring]
    shapes: list[AnyShape] = []
    if min(levels) < box.y - 0.5:
        shapes += _break_at(rings, box.y, 0.05)
    if max(levels) > box.bottom + 0.5:
        shown = [ring for ring in (clipped_ring(ring, box) for ring in rings) if ring]
        lowest = max((y for ring in shown for _, y in ring), default=box.bottom)
        shapes += _break_at(rings, lowest, -0.3)
    return shapes


def _break_at(rings: list[list[Point]], y: float, inward: float) -> list[AnyShape]:
    spans = [span for ring in rings for span in spans_at(ring, y + inward)]
    if not spans:
        return []
    return [break_line(min(s[0] for s in spans), max(s[1] for s in spans), y)]


class Seen(NamedTuple):
    """How a view is seen, and a remark on what of it is seen otherwise; empty if nothing is.

    `edges`: the words at the edges where u grows and where it falls, if not the usual ones.
    """

    words: str
    remark: str
    edges: tuple[str, str] | None = None


@functools.lru_cache(maxsize=16)
def seen_of(scene: ViewScene) -> Seen:
    """How the view is seen; a front view of a foot alone faces the foot.

    A part with words of its own for its sides (radial, palmar) has them at the edges, beside the
    usual ones where other parts are shown too; a foot, which lies across, has the usual ones.
    """
    view = scene.frame.view
    shown = [scene.limb.segments[name] for name in _shown(scene)]
    named = set(_shown(scene, EDGE_SHARE * scene.frame.box.height))
    upright = [one for one in shown if one.name in named and not one.ways.front_seen]
    own = list(dict.fromkeys(one.sides for one in upright))
    edges = _edges(view, own) if own else None
    if view == "side":
        aside = own[0][0] if len(own) == 1 else QUARTERS[0]
        return Seen(VIEW_TITLES[view][1].format(side=aside), "", edges)
    usual = VIEW_TITLES[view][1]
    told = [one.ways.front_seen for one in shown]
    otherwise = next((words for words in told if words), "")
    if "" in told or not told:
        return Seen(usual, otherwise, edges)
    return Seen(otherwise, "", edges)


def _edges(view: View, sides: Sequence[Sequence[str]]) -> tuple[str, str]:
    """The words of all parts where u grows, and where it falls: "lateral / radial"."""
    grows, falls = (0, 2) if view == "front" else (1, 3)
    joined = (dict.fromkeys(words[place] for words in sides) for place in (grows, falls))
    first, second = (" / ".join(words) for words in joined)
    return first, second


def _shown(scene: ViewScene, least_mm: float = LEAST_SHOWN_MM) -> Iterator[str]:
    """The segments of which the view shows more than a little, on the page."""
    view, box = scene.frame.view, scene.frame.box
    for name in scene.limb.segments:
        ring = clipped_ring(scene.drawn(name, scene.limb.skin_outline(name, view)), box)
        if ring and max(y for _, y in ring) - min(y for _, y in ring) >= least_mm:
            yield name


@functools.lru_cache(maxsize=16)
def limb_shapes(scene: ViewScene) -> tuple[AnyShape, ...]:
    """The limb in one view."""
    return (*_skins(scene), *_bones(scene), *_breaks(scene))


VIEW_TITLES: dict[View, tuple[str, str]] = {
    "front": ("FRONT", "facing the patient"),
    "side": ("SIDE", "from the {side} side"),
}
SEEN_OF_BOTH = "from the right; the left side lies behind it"
"""How a limb with both sides is seen in the side view."""
EDGE_WORDS: dict[View, tuple[str, str]] = {
    "front": ("lateral", "medial"),
    "side": ("anterior", "posterior"),
}
"""The words at the edges where u grows, and where it falls."""


def edge_words(
    view: View, mirror: int, *, both_sides: bool = False, edges: tuple[str, str] | None = None
) -> tuple[str, str]:
    """The words at the view's left and right edge on the page; a pelvis has right on the left.

    `edges`: those of the parts that are shown (`Seen.edges`).
    """
    if both_sides and view == "front":
        return "right", "left"
    grows, falls = edges or EDGE_WORDS[view]
    return (falls, grows) if mirror > 0 else (grows, falls)


@functools.lru_cache(maxsize=16)
def view_words(
    view: View,
    mirror: int,
    limits: tuple[float, float],
    y: float,
    size_mm: float,
    *,
    both_sides: bool = False,
    told: Seen | None = None,
    most_x: float = inf,
) -> tuple[AnyShape, ...]:
    """Title over a view, how it is seen, and the two words at its edges, a remark between them.

    Where the remark has no room there it follows on the title. `told` is how it is seen where that
    is not as usual, `limits` are the left and right edge of what is drawn, `y` the baseline of the
    title, `most_x` what the title must not pass. Words at the edges of a narrow view stand apart.
    """
    title, usual = VIEW_TITLES[view]
    seen, remark, edges = told or Seen(usual.format(side=QUARTERS[0]), "")
    if both_sides and view == "side":
        seen = SEEN_OF_BOTH
    left, right = edge_words(view, mirror, both_sides=both_sides, edges=edges)
    beside = sum(text_width_mm(word, size_mm, italic=True) for word in (left, right))
    if remark and limits[1] - limits[0] < beside + text_width_mm(remark, SMALL_MM) + ROOM_MM:
        seen, remark = f"{seen}, {remark}", ""
    bold, gap = round(size_mm + 0.6, 1), 2.0
    wide = text_width_mm(title, bold, True) + gap + text_width_mm(seen, size_mm)
    x = min(0.5 * (limits[0] + limits[1] - wide), most_x - wide)
    after = x + text_width_mm(title, bold, True) + gap
    lower = y + 1.5 * size_mm
    words = functools.partial(Text, owner="view-words", layer=LIMB_LAYER)
    middle = 0.5 * (limits[0] + limits[1])
    apart = 0.5 * max(limits[1] - limits[0], beside + APART_MM)
    between = functools.partial(words, at=(middle, lower), text=remark, size_mm=SMALL_MM)
    return (
        words(at=(x, y), text=title, size_mm=bold, bold=True),
        words(at=(after, y), text=seen, size_mm=size_mm, colour=SOFT_INK),
        words(at=(middle - apart, lower), text=left, size_mm=size_mm, italic=True),
        words(at=(middle + apart, lower), text=right, size_mm=size_mm, italic=True, align="right"),
        *([between(italic=True, colour=SOFT_INK, align="centre")] if remark else ()),
    )
